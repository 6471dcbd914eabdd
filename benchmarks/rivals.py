"""General solvers on the same problem: SciPy's and SUNDIALS' CVODE. A flag that says failure is a failure.

Each gives what it found at the end of every phase, or why it failed. No report is asked of them, though the engine
writes one while it is timed: what counts is the integration and the location of the ends. Tolerances are for the states
that the engine controls too, with the engine's own scales; integrals are left out, as there.
"""

from __future__ import annotations

import os
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp

from benchmarks.problem import (
    Problem,
    begin_phase,
    event_of,
    events_into,
    jacobian_into,
    jacobian_of,
    rates_into,
    rates_of,
)

MOST_STEPS = 20_000  # of CVODE in one phase: thirty times what a good setting needs for the whole run
_ROOT_FOUND = 2  # CVODE's flag
_NO_END = "went through the phase without meeting its end"

Integrate = Callable[[int, float, float, np.ndarray, "Found"], "tuple[float, np.ndarray] | None"]


@dataclass
class Found:
    """What a solver found: phase ends in s, ethanol collected in each phase in mol; work done; why it failed, if so."""

    ends: list[float] = field(default_factory=list)
    ethanol: list[float] = field(default_factory=list)
    evaluations: int = 0
    jacobians: int = 0
    looks: int = 0  # at the ends, CVODE only
    failure: str = ""


def engine_solver(problem: Problem, tolerance: float) -> Callable[[], Found]:
    """Return a run with the engine at one tolerance, from charge to report."""

    def run() -> Found:
        outcome = problem.run(tolerance)
        return Found(
            ends=[phase.end for phase in outcome.phases], ethanol=[phase.ethanol for phase in outcome.phases],
            evaluations=outcome.steps + outcome.rejected,
        )  # fmt: skip

    return run


def absolute_tolerances(problem: Problem, tolerance: float, share: float) -> np.ndarray:
    """Return (n,): `share` times `tolerance` times the engine's scales, and no limit on the integrals."""
    atol = np.full(len(problem.packed.state), 1e12)
    scale = problem.packed.scale[:, 0]
    atol[: len(scale)] = share * tolerance * np.where(scale > 0.0, scale, 1e12)
    return atol


def _phases(problem: Problem, integrate: Integrate) -> Found:
    """Go through the phases; `integrate(index, start, latest, y, found)` says when and with what the phase ended."""
    packed, found = problem.packed, Found()
    y, t = packed.state.copy(), 0.0
    out = np.empty(packed.end_channel.shape[1])
    for index in range(len(problem.settings)):
        problem.set_phase(index, t)
        begin_phase(y, problem.data)
        events_into(t, y, out, problem.data)
        if not (out >= 0.0).any():
            ended = integrate(index, t, t + problem.settings[index].at_most, y, found)
            if ended is None:
                return found
            t, y = ended
        found.ends.append(t)
        found.ethanol.append(problem.collected(y))
    return found


def scipy_solver(
    problem: Problem, method: str, tolerance: float, *, share: float = 1.0, own_jacobian: bool = False
) -> Callable[[], Found]:
    """Return a run with SciPy's `solve_ivp`; the ends are its terminal events.

    The derivative is a compiled difference quotient, or SciPy's own when `own_jacobian`.
    """
    data, packed = problem.data, problem.packed
    options = {} if own_jacobian else {"jac": lambda t, y: jacobian_of(t, y, data)}
    options |= {"rtol": tolerance, "atol": absolute_tolerances(problem, tolerance, share)}

    def fun(t, y):
        return rates_of(t, y, data)

    def event(k):
        def g(t, y):
            return event_of(t, y, k, data)

        g.terminal, g.direction = True, 1.0
        return g

    events = [[event(k) for k, channel in enumerate(row) if channel >= 0] for row in packed.end_channel]

    def integrate(index, start, latest, y, found):
        solution = solve_ivp(fun, (start, latest), y, method=method, events=events[index], **options)
        found.evaluations += int(solution.nfev)
        found.jacobians += int(solution.njev)
        if solution.status != 1:
            found.failure = solution.message if solution.status < 0 else _NO_END
            return None
        return float(solution.t[-1]), solution.y[:, -1].copy()

    def run() -> Found:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what they warn of is in the status
            try:
                return _phases(problem, integrate)
            except (ValueError, FloatingPointError, np.linalg.LinAlgError) as error:
                return Found(failure=str(error))

    return run


def cvode_solver(
    problem: Problem, tolerance: float, *, share: float = 1.0, order: int = 5, own_jacobian: bool = False
) -> Callable[[], Found]:
    """Return a run with SUNDIALS' CVODE (BDF up to `order`, dense solver); the ends are its roots.

    Its memory is set up outside the timing. Dense is the right solver here: vapour passes through all stages in no
    time, so that every stage depends on all below it; `linear_solvers` in `accuracy` shows the others.
    """
    return cvode_with(problem, tolerance, share=share, own_jacobian=own_jacobian, max_order=order)


def cvode_with(
    problem: Problem, tolerance: float, *, share: float = 1.0, own_jacobian: bool = False, **options: object
) -> Callable[[], Found]:
    """Return a run with CVODE and any of its options."""
    from sksundae.cvode import CVODE

    data = problem.data
    width = problem.packed.end_channel.shape[1]
    looks = [0]

    def fun(t, y, dy):
        rates_into(t, y, dy, data)

    def jacobian(t, y, dy, out):
        jacobian_into(t, y, dy, out, data)

    def events(t, y, out):
        looks[0] += 1
        events_into(t, y, out, data)

    events.terminal, events.direction = [True] * width, [1] * width
    if not own_jacobian:
        options = {"jacfn": jacobian, **options}
    solver = CVODE(
        fun, rtol=tolerance, atol=absolute_tolerances(problem, tolerance, share), eventsfn=events, num_events=width,
        max_num_steps=MOST_STEPS, **options,
    )  # fmt: skip

    def integrate(index, start, latest, y, found):
        before = looks[0]
        solver.init_step(start, y)
        step = solver.step(latest, "normal", latest)
        found.evaluations += int(step.nfev)
        found.jacobians += int(step.njev)
        found.looks += looks[0] - before
        if step.status != _ROOT_FOUND or not np.isfinite(step.y).all():
            found.failure = step.message if step.status < 0 else _NO_END
            return None
        return float(step.t), np.array(step.y)

    return lambda: _phases(problem, integrate)


@contextmanager
def hushed() -> Iterator[None]:
    """Keep what compiled solvers print about their failures off the screen; the flags say it."""
    sink = os.open(os.devnull, os.O_WRONLY)
    kept = os.dup(1), os.dup(2)
    try:
        os.dup2(sink, 1)
        os.dup2(sink, 2)
        yield
    finally:
        os.dup2(kept[0], 1)
        os.dup2(kept[1], 2)
        for number in (sink, *kept):
            os.close(number)
