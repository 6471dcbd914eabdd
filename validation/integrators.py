"""The same compiled rates, integrated by SciPy's Radau and BDF at 1e-9 with their own events, beside the engine.

Shared: the rates, and how a phase begins. Not shared: steps, derivative, linear algebra, error control, ends.
"""

from __future__ import annotations

import functools
import math
import time
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

from middlerun.alcoholometry import density, spirit_table
from middlerun.column import Day, Outcome, PhaseSettings, PotCharge, simulate_run
from middlerun.column.kernels import layout as at
from middlerun.column.kernels.hand import set_by_hand
from middlerun.column.kernels.rates import rates
from middlerun.column.pack import Packed
from middlerun.column.settings import END_CHANNELS
from middlerun.plan import Charge, Plan, charge_numbers, phase_settings, pressure_of
from middlerun.plan.engine import pot_charge
from middlerun.run import library_procedure
from middlerun.still import StillNumbers, library_still, resolve
from middlerun.substances.equilibrium_table import build_table

CASES = (
    ("electric-pot-30", "plain-pot-still", "wine", 0.10),
    ("steam-jacket-1000-stripping", "stripping-run", "wine", 0.10),
    ("bain-marie-100-3-plates", "single-pass-with-plates", "wine", 0.10),
    ("electric-200-4-sieve-plates", "second-distillation-with-plates", "low-wines", 0.28),
    ("steam-jacket-500-8-plates", "slow-hearts-with-weir-moves", "wine", 0.08),
)
FILL = 0.78  # of the working maximum, for the froth
TIGHT = 1e-9
_ETHANOL_DENSITY = 789.24  # kg/m3 at 20 Cel, OIML R 22
_NEAR = 2.0  # K
_LEAST = 1e-9  # mol

Arguments = tuple[StillNumbers, PotCharge, Day, tuple[PhaseSettings, ...]]


@dataclass(frozen=True, kw_only=True)
class Result:
    """Amounts collected (mol of ethanol), by phase, when phases ended (s), and how hard it was."""

    ethanol: tuple[float, ...]
    ends: tuple[float, ...]
    evaluations: int
    seconds: float


def arguments(still: str, procedure: str, kind: str, strength: float) -> Arguments:
    """Return what `simulate_run` takes for a library still, a ready procedure and a charge that fills the pot well."""
    described = library_still(still)
    plan = Plan(
        name="validation",
        still=described,
        procedure=library_procedure(procedure),
        charge=Charge(volume=FILL * described.pot.working_max, strength=strength, kind=kind),
    )
    numbers = resolve(described)
    day = Day(pressure=pressure_of(plan.weather), room=plan.weather.room, water=plan.weather.water)
    return numbers, pot_charge(charge_numbers(plan.charge)), day, phase_settings(plan, numbers)


@functools.cache
def compare(case: tuple[str, str, str, float]) -> dict[str, Result]:
    """Return the engine's result at its default, at 1e-7, and those of both SciPy methods."""
    given = arguments(*case)
    usual, run = engine(given)
    return {
        "engine": usual,
        "engine at 1e-7": engine(given, tolerance=1e-7)[0],
        "Radau": scipy(given, run.packed, "Radau"),
        "BDF": scipy(given, run.packed, "BDF"),
    }


def engine(case: Arguments, **options: float) -> tuple[Result, Outcome]:
    """Run the engine."""
    started = time.perf_counter()
    run = simulate_run(*case, **options)
    seconds = time.perf_counter() - started
    ethanol, ends = tuple(p.ethanol for p in run.phases), tuple(p.end for p in run.phases)
    return Result(ethanol=ethanol, ends=ends, evaluations=run.steps + run.rejected, seconds=seconds), run


def scipy(case: Arguments, packed: Packed, method: str) -> Result:
    """Integrate phase after phase with a SciPy method; `packed` holds the kernel's arrays for the case."""
    _, charge, day, settings = case
    table, strengths = build_table(day.pressure), spirit_table()
    nb = packed.stage_sets.shape[1]
    values = np.zeros((nb, at.N_VALUES))
    moles = [j * at.BLOCK + k for j in range(nb) for k in (at.E, at.W)]
    z, t, evaluations = packed.state.copy(), 0.0, 0
    ethanol, ends = [], []
    started = time.perf_counter()
    absolute = np.full(len(z), TIGHT)
    absolute[: len(packed.scale)] = TIGHT * np.maximum(packed.scale[:, 0], 1e-3)
    absolute[nb * at.BLOCK + at.N_CONTROL + at.D_HEATER :] = 1e-3
    for index, phase in enumerate(settings):
        z = begin(z, packed, index)

        def f(_: float, y: np.ndarray, index: int = index) -> np.ndarray:
            # SciPy's trial states may lie below empty, where nothing is defined; no accepted state does.
            y, dy = y.copy(), np.empty_like(y)
            y[moles] = np.maximum(y[moles], _LEAST)
            rates(
                y, packed.n_plates, packed.stage_sets[index], packed.level_sets[index], packed.world,
                packed.phases[index], table, strengths, values, dy,
            )  # fmt: skip
            return dy

        def jacobian(t: float, y: np.ndarray, f=f) -> np.ndarray:
            # SciPy's own differences widen the step without end for a state that nothing depends on.
            steps, base = 1e-7 * np.maximum(abs(y), absolute / TIGHT), f(t, y)
            return np.column_stack([(f(t, y + step) - base) / step.max() for step in np.diag(steps)])

        events = [_event(end, t, packed, charge) for end in phase.ends]
        if any(event(t, z) >= 0.0 for event in events):
            ends.append(t)
            ethanol.append(0.0)
            continue
        solved = solve_ivp(f, (t, t + phase.at_most), z, method, rtol=TIGHT, atol=absolute, events=events, jac=jacobian)
        if solved.status != 1:
            raise RuntimeError(f"{method}: phase {phase.name}: {solved.message}")
        t, z, evaluations = float(solved.t[-1]), solved.y[:, -1], evaluations + solved.nfev
        ends.append(t)
        ethanol.append(float(z[nb * at.BLOCK + at.N_CONTROL + at.D_COLLECTED_E]))
    seconds = time.perf_counter() - started
    return Result(ethanol=tuple(ethanol), ends=tuple(ends), evaluations=evaluations, seconds=seconds)


def begin(z: np.ndarray, packed: Packed, index: int) -> np.ndarray:
    """Return the state as a phase begins: counters at nought, the hands' integrals where the valves shall start."""
    z = z.copy()
    c = packed.stage_sets.shape[1] * at.BLOCK
    d = c + at.N_CONTROL
    phase, world = packed.phases[index], packed.world
    z[d + at.D_COLLECTED_E] = z[d + at.D_COLLECTED_W] = 0.0
    head = z[c + at.C_FLOW] if math.isnan(phase[at.F_DEPH_FLOW]) else phase[at.F_DEPH_FLOW]
    cond = z[d + at.D_FLOW] if math.isnan(phase[at.F_COND_FLOW]) else phase[at.F_COND_FLOW]
    head = min(head, phase[at.F_HEAD_START])
    head -= phase[at.F_HEAD_GAIN] * float(np.clip(z[c + at.C_SENSOR] - phase[at.F_HEAD_SET], -_NEAR, _NEAR))
    cond -= phase[at.F_COND_GAIN] * float(np.clip(z[d + at.D_WATER] - phase[at.F_COND_SET], -_NEAR, _NEAR))
    if phase[at.F_HEAD_GAIN] == 0.0:
        head = set_by_hand(head, world[at.G_DEPH_MIN], world[at.G_DEPH_MAX])
    if phase[at.F_COND_GAIN] == 0.0:
        cond = set_by_hand(cond, world[at.G_COND_MIN], world[at.G_COND_MAX])
    z[c + at.C_INTEGRAL], z[d + at.D_INTEGRAL] = head, cond
    return z


def _event(end, started: float, packed: Packed, charge: PotCharge):
    c = packed.stage_sets.shape[1] * at.BLOCK
    d = c + at.N_CONTROL
    sign = 1.0 if end.rising else -1.0
    threshold = end.threshold - (at.ZERO_C if end.channel.endswith("temperature") else 0.0)

    def seen(t: float, z: np.ndarray) -> float:
        ethanol, water = max(z[d + at.D_COLLECTED_E], 0.0), max(z[d + at.D_COLLECTED_W], 0.0)
        match END_CHANNELS.index(end.channel):
            case 0:
                return t - started
            case 1:
                return float(z[d + at.D_POT_SENSOR])
            case 2:
                return float(z[c + at.C_SENSOR])
            case 3:
                held = 58.4e-6 * z[d + at.D_PARROT_E] + 18.05e-6 * z[d + at.D_PARROT_W]
                return 1.0 if held < 0.8 * packed.world[at.G_PARROT] else float(z[d + at.D_STRENGTH_SENSOR])
            case 4:
                mass = ethanol * at.M_E + water * at.M_W
                return mass / float(density(ethanol * at.M_E / mass if mass > 0.0 else 0.0, 293.15))
        return ethanol * at.M_E / _ETHANOL_DENSITY / charge.pure_alcohol

    def event(t: float, z: np.ndarray) -> float:
        return sign * (seen(t, z) - threshold)

    event.terminal = True
    event.direction = 1.0
    return event
