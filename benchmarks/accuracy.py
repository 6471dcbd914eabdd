"""Time and error of the engine and its rivals on one plan: a grid of settings each, the fastest good one in a duel.

Every error is against SciPy's Radau at 1e-10, which two other solvers at their tightest must confirm. "Good" is an
error in distilled ethanol of 5e-5 or less; a setting that fails, or whose flags say so, is out however fast it was.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from benchmarks.inside import compiled_calls
from benchmarks.problem import Problem, events_into, problem_of, rates_into
from benchmarks.rivals import Found, cvode_solver, cvode_with, engine_solver, hushed, scipy_solver
from benchmarks.timing import Times, alternate
from middlerun.column import TOLERANCE
from middlerun.column.kernels.compiled import jit
from middlerun.errors import SolverError
from middlerun.plan import Plan

GOOD = 5e-5
ENGINE, CVODE, BDF, RADAU, LSODA = "engine", "CVODE", "SciPy BDF", "SciPy Radau", "SciPy LSODA"
_FINE = (2e-4, 1.5e-4, 7e-5, 5e-5, 2e-5, 1e-7, 1e-8)  # of the engine, which has nothing else to choose
_STEPS = (1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6)
_AGREE = 1e-6  # of distilled ethanol, within which engine and reference must agree to be solving one problem


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One solver with one setting."""

    solver: str
    words: str  # what a reader needs to repeat it
    run: Callable[[], Found]


def errors(found: Found, reference: Found, vessels: list[str]) -> dict[str, float]:
    """Return relative errors in distilled ethanol (all, worst fraction), and the worst phase end's in s."""
    got, true = np.array(found.ethanol), np.array(reference.ethanol)
    kinds = np.array(vessels)[: len(true)]
    fractions = [kinds == kind for kind in dict.fromkeys(vessels) if kind != "none"]
    return {
        "total": abs(float(got.sum() / true.sum()) - 1.0),
        "worst": max(abs(float(got[own].sum() / true[own].sum()) - 1.0) for own in fractions),
        "ends": float(np.abs(np.array(found.ends) - np.array(reference.ends)).max()),
    }


def settings(problem: Problem, *, quick: bool = False) -> list[Setting]:
    """Return the grid. Tolerances are relative; absolute ones are a share of them times the engine's scales."""
    steps = _STEPS[2:6:2] if quick else _STEPS
    tolerances = sorted((*steps, *_FINE), reverse=True)
    grid = [Setting(solver=ENGINE, words=f"{tol:g}", run=engine_solver(problem, tol)) for tol in tolerances]
    for tol in steps:
        for share in (0.1,) if quick else (1.0, 0.1, 0.01):
            for order in (3,) if quick else (5, 3, 2):
                for own in (False, True) if share == 0.1 and not quick else (False,):
                    words = f"{tol:.0e}, absolute × {share:g}, order ≤ {order}, {'own' if own else 'compiled'} Jacobian"
                    run = cvode_solver(problem, tol, share=share, order=order, own_jacobian=own)
                    grid.append(Setting(solver=CVODE, words=words, run=run))
        for share in (0.1,) if quick else (1.0, 0.1):
            for method in ("BDF",) if quick else ("BDF", "Radau", "LSODA"):
                words = f"{tol:.0e}, absolute × {share:g}"
                run = scipy_solver(problem, method, tol, share=share)
                grid.append(Setting(solver=f"SciPy {method}", words=words, run=run))
    for tol in () if quick else (1e-7, 1e-8):
        grid.append(Setting(solver=CVODE, words=f"{tol:.0e}", run=cvode_solver(problem, tol)))
        for method in ("BDF", "Radau", "LSODA"):
            grid.append(Setting(solver=f"SciPy {method}", words=f"{tol:.0e}", run=scipy_solver(problem, method, tol)))
    return grid


def reference(problem: Problem, *, quick: bool = False) -> tuple[Found, list[dict[str, object]]]:
    """Return the reference and how far the other solvers at their tightest are from it."""
    if quick:
        true = cvode_solver(problem, 1e-10)()
        return true, []
    true = scipy_solver(problem, "Radau", 1e-10)()
    if true.failure:
        raise SolverError(f"The reference failed: {true.failure}.")
    checks = []
    for name, run in (
        ("CVODE at 1e-11", cvode_solver(problem, 1e-11)),
        ("engine at 1e-9", engine_solver(problem, 1e-9)),
    ):
        found = run()
        wrong = errors(found, true, problem.vessels()) if not found.failure else {}
        if wrong.get("worst", 1.0) > _AGREE:
            raise SolverError(f"{name} and the reference do not agree ({found.failure or wrong}): not one problem.")
        checks.append({"solver": name, **wrong})
    return true, checks


def _try(setting: Setting, true: Found, vessels: list[str]) -> dict[str, object]:
    times = Times()
    found: list[Found] = []

    def once() -> None:
        with hushed():
            try:
                found.append(setting.run())
            except SolverError as error:
                found.append(Found(failure=str(error)))

    times.add(once)
    row = {"solver": setting.solver, "setting": setting.words, "failure": found[-1].failure}
    if not found[-1].failure:
        for _ in range(3 if times.cpu[0] < 0.2 else 1):
            times.add(once)
        row |= errors(found[-1], true, vessels)
    return row | times.summary() | {"evaluations": found[-1].evaluations, "jacobians": found[-1].jacobians}


def measure(name: str, plan: Plan, *, quick: bool = False) -> dict[str, object]:
    """Measure a plan, called `name`: grid, duel of the fastest good settings, cost of calling back into Python."""
    problem = problem_of(plan)
    started = time.perf_counter()
    true, checks = reference(problem, quick=quick)
    grid = settings(problem, quick=quick)
    rows = [_try(setting, true, problem.vessels()) for setting in grid]
    default = Setting(solver=ENGINE, words=f"{TOLERANCE:g}, default", run=engine_solver(problem, TOLERANCE))
    chosen = {ENGINE: default, f"{ENGINE}, with packing and report": default}
    for solver in dict.fromkeys(setting.solver for setting in grid):
        for mark, keys in (("", ("total",)), (" *", ("total", "worst"))):
            best = _fastest(rows, solver, keys)
            if best is not None and (solver != ENGINE or mark):
                chosen[solver + mark] = grid[best]
    return {
        "plan": name, "states": len(problem.packed.state), "good": GOOD, "hours": true.ends[-1] / 3600.0,
        "checks": checks, "grid": rows, "duel": _duel(chosen, true, problem.vessels(), 3 if quick else 15),
        "calls": calls(problem), "solvers": [] if quick else linear_solvers(problem, true),
        "took": time.perf_counter() - started,
    }  # fmt: skip


def _duel(chosen: dict[str, Setting], true: Found, vessels: list[str], rounds: int) -> list[dict[str, object]]:
    """Time the chosen settings in turn; of the engine its compiled integration alone, but where the label says more."""
    works = {label: setting.run for label, setting in chosen.items()}
    for label in (ENGINE, f"{ENGINE} *"):
        if label in chosen:
            works[label] = _integration(chosen[label])
    times, rows = alternate(works, rounds), []
    for label, setting in chosen.items():
        found = setting.run()
        row = {"name": label, "solver": setting.solver, "setting": setting.words, **errors(found, true, vessels)}
        row |= {"evaluations": found.evaluations, "jacobians": found.jacobians, "looks": found.looks}
        rows.append(row | times[label].summary())
    return rows


def _integration(setting: Setting) -> Callable[[], object]:
    """Return the engine's compiled integration alone, from packed numbers to the phases' ends, as it is for a rival."""
    alone = compiled_calls(setting.run)["simulate"]

    def integrate() -> None:
        alone.put_back()
        alone()

    return integrate


def _fastest(rows: list[dict[str, object]], solver: str, keys: tuple[str, ...]) -> int | None:
    good = [
        (row["cpu"], i) for i, row in enumerate(rows)
        if row["solver"] == solver and not row["failure"] and all(row[key] <= GOOD for key in keys)
    ]  # fmt: skip
    return min(good)[1] if good else None


@jit
def _rates_often(count, y, dy, data):
    for _ in range(count):
        rates_into(0.0, y, dy, data)


@jit
def _ends_often(count, y, out, data):
    for _ in range(count):
        events_into(0.0, y, out, data)


def calls(problem: Problem, count: int = 20_000) -> dict[str, float]:
    """Return s for one evaluation of the rates and one look at the ends, called from compiled code and from Python."""
    y = problem.packed.state.copy()
    dy, out, data = np.empty_like(y), np.empty(problem.packed.end_channel.shape[1]), problem.data

    def rates_from_python() -> None:
        for _ in range(count):
            rates_into(0.0, y, dy, data)

    def ends_from_python() -> None:
        for _ in range(count):
            events_into(0.0, y, out, data)

    works = {
        "rates": lambda: _rates_often(count, y, dy, data),
        "rates_from_python": rates_from_python,
        "ends": lambda: _ends_often(count, y, out, data),
        "ends_from_python": ends_from_python,
    }
    return {name: times.summary()["cpu"] / count for name, times in alternate(works, 5).items()}


def linear_solvers(problem: Problem, true: Found) -> list[dict[str, object]]:
    """Return how CVODE does with other linear solvers at one setting: why dense is the one that is compared."""
    found = []
    for name, options in (
        ("dense", {}),
        ("LAPACK dense", {"linsolver": "lapackdense"}),
        ("band as wide as the matrix", _whole_band(problem)),
        ("GMRES without preconditioner", {"linsolver": "gmres", "krylov_dim": 10}),
    ):
        own = "krylov_dim" in options
        run = cvode_with(problem, 1e-5, share=0.1, own_jacobian=own, max_order=3, **options)
        row = _try(Setting(solver=CVODE, words=name, run=run), true, problem.vessels())
        found.append(row)
    return found


def _whole_band(problem: Problem) -> dict[str, object]:
    n = len(problem.packed.state)
    return {"linsolver": "band", "lband": n - 1, "uband": n - 1}
