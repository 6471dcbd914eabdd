"""One run as a bare initial value problem, for any solver: the engine's own compiled rates, phases and ends.

Everything that the rates need lies in one flat array `data`, so that a solver written for Python callbacks hands over
three arrays and no more. Signatures are what each rival's interface asks for; nothing is copied on the way.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from middlerun.alcoholometry import spirit_table
from middlerun.column import Day, Outcome, simulate_run
from middlerun.column.kernels import layout as at
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.hand import set_by_hand
from middlerun.column.kernels.integrate import _NEAR, end_value
from middlerun.column.kernels.rates import rates
from middlerun.column.pack import Packed, pack
from middlerun.column.settings import PhaseSettings
from middlerun.plan import Plan, charge_numbers, phase_settings, pressure_of
from middlerun.plan.engine import pot_charge
from middlerun.still import StillNumbers, resolve
from middlerun.substances.equilibrium_table import build_table

# places of the sizes at the head of `data`
_PLATES, _BLOCKS, _TABLE, _STRENGTHS, _ENDS, _STARTED, HEAD = 0, 1, 2, 3, 4, 5, 6
N_STEP = 1.5e-8  # relative step of a difference quotient: root of the rounding unit


@jit
def _sections(data):
    """Give back views into `data`: stages, levels, world, phase, ends (channel, threshold, sign), tables, work."""
    nb = int(data[_BLOCKS])
    nt = int(data[_TABLE])
    ns = int(data[_STRENGTHS])
    a = HEAD
    b = a + nb * at.N_STAGE
    stages = data[a:b].reshape(nb, at.N_STAGE)
    levels = data[b : b + nb]
    c = b + nb
    world = data[c : c + at.N_WORLD]
    d = c + at.N_WORLD
    phase = data[d : d + at.N_PHASE]
    m = d + at.N_PHASE
    ends = data[m : m + 3 * int(data[_ENDS])].reshape(3, int(data[_ENDS]))
    e = m + 3 * int(data[_ENDS])
    table = data[e : e + nt * 16].reshape(nt, 4, 4)
    f = e + nt * 16
    strengths = data[f : f + ns * 8].reshape(ns, 2, 4)
    g = f + ns * 8
    values = data[g : g + nb * at.N_VALUES].reshape(nb, at.N_VALUES)
    return stages, levels, world, phase, ends, table, strengths, values


@jit
def rates_into(t, y, dy, data):
    """Fill dy with the rates of y. t s, y and dy (n,)."""
    stages, levels, world, phase, _, table, strengths, values = _sections(data)
    rates(y, int(data[_PLATES]), stages, levels, world, phase, table, strengths, values, dy)


@jit
def rates_of(t, y, data):
    """Return the rates of y as a new array."""
    dy = np.empty(y.shape[0])
    rates_into(t, y, dy, data)
    return dy


@jit
def jacobian_into(t, y, dy, jacobian, data):
    """Fill jacobian (n, n) by differences; dy are the rates at y. Columns of integrals act on nothing: noughts."""
    n = y.shape[0]
    acting = n - at.N_DOWN + at.D_COLLECTED_E
    moved = y.copy()
    out = np.empty(n)
    for k in range(n):
        if k >= acting:
            for i in range(n):
                jacobian[i, k] = 0.0
            continue
        step = N_STEP * max(abs(y[k]), 1e-3)
        moved[k] = y[k] + step
        rates_into(t, moved, out, data)
        for i in range(n):
            jacobian[i, k] = (out[i] - dy[i]) / step
        moved[k] = y[k]


@jit
def jacobian_of(t, y, data):
    """Return the derivative (n, n) of the rates at y."""
    n = y.shape[0]
    dy = np.empty(n)
    rates_into(t, y, dy, data)
    jacobian = np.empty((n, n))
    jacobian_into(t, y, dy, jacobian, data)
    return jacobian


@jit
def event_of(t, y, k, data):
    """Return a value that rises through nought where end k of the phase is met; one that there is not never does."""
    _, _, world, _, ends, _, strengths, _ = _sections(data)
    if ends[0, k] < 0.0:
        return -1.0
    c0 = int(data[_BLOCKS]) * at.BLOCK
    found = end_value(int(ends[0, k]), t - data[_STARTED], y, c0 + at.N_CONTROL, c0, world, strengths)
    return ends[2, k] * (found - ends[1, k])


@jit
def events_into(t, y, out, data):
    """Fill `out` with the values of all ends of the phase."""
    for k in range(out.shape[0]):
        out[k] = event_of(t, y, k, data)


@jit
def begin_phase(y, data):
    """What the engine does to its state where a phase starts: an empty vessel, hands that take over without a bump.

    A copy of what `integrate.simulate` does; `accuracy.measure` refuses to go on when the two do not agree to 1e-6.
    """
    _, _, world, phase, _, _, _, _ = _sections(data)
    c0 = int(data[_BLOCKS]) * at.BLOCK
    d0 = c0 + at.N_CONTROL
    y[d0 + at.D_COLLECTED_E] = 0.0
    y[d0 + at.D_COLLECTED_W] = 0.0
    flow, water = phase[at.F_DEPH_FLOW], phase[at.F_COND_FLOW]
    head = min(y[c0 + at.C_FLOW] if np.isnan(flow) else flow, phase[at.F_HEAD_START])
    outlet = y[d0 + at.D_FLOW] if np.isnan(water) else water
    head -= phase[at.F_HEAD_GAIN] * min(max(y[c0 + at.C_SENSOR] - phase[at.F_HEAD_SET], -_NEAR), _NEAR)
    outlet -= phase[at.F_COND_GAIN] * min(max(y[d0 + at.D_WATER] - phase[at.F_COND_SET], -_NEAR), _NEAR)
    if phase[at.F_HEAD_GAIN] == 0.0:
        head = set_by_hand(head, world[at.G_DEPH_MIN], world[at.G_DEPH_MAX])
    if phase[at.F_COND_GAIN] == 0.0:
        outlet = set_by_hand(outlet, world[at.G_COND_MIN], world[at.G_COND_MAX])
    y[c0 + at.C_INTEGRAL] = head
    y[d0 + at.D_INTEGRAL] = outlet


@dataclass(frozen=True, kw_only=True)
class Problem:
    """A plan as numbers: what the engine takes, and the same for a rival."""

    numbers: StillNumbers
    settings: tuple[PhaseSettings, ...]
    plan: Plan
    day: Day
    packed: Packed
    data: np.ndarray  # flat, see `_sections`; `set_phase` changes it

    def set_phase(self, index: int, started: float) -> None:
        """Point `data` at a phase that starts at `started` s."""
        packed = self.packed
        levels = HEAD + packed.stage_sets[index].size
        phase = levels + packed.level_sets.shape[1] + at.N_WORLD
        ends = phase + at.N_PHASE
        after = ends + 3 * packed.end_channel.shape[1]
        self.data[_STARTED] = started
        self.data[HEAD:levels] = packed.stage_sets[index].ravel()
        self.data[levels : levels + packed.level_sets.shape[1]] = packed.level_sets[index]
        self.data[phase:ends] = packed.phases[index]
        self.data[ends:after] = _ends(packed, index).ravel()

    def vessels(self) -> list[str]:
        """Return what the product of each phase counts as."""
        return [phase.fraction for phase in self.plan.procedure.phases]

    def collected(self, y: np.ndarray) -> float:
        """Return the ethanol collected in the present phase, mol."""
        d0 = self.packed.stage_sets.shape[1] * at.BLOCK + at.N_CONTROL
        return float(y[d0 + at.D_COLLECTED_E])

    def run(self, tolerance: float, every: float = 10.0) -> Outcome:
        """Run the engine."""
        charge = pot_charge(charge_numbers(self.plan.charge))
        return simulate_run(self.numbers, charge, self.day, self.settings, every=every, tolerance=tolerance)


def problem_of(plan: Plan) -> Problem:
    """Turn a plan into numbers."""
    numbers = resolve(plan.still)
    settings = phase_settings(plan, numbers)
    day = Day(pressure=pressure_of(plan.weather), room=plan.weather.room, water=plan.weather.water)
    packed = pack(numbers, pot_charge(charge_numbers(plan.charge)), day, settings)
    table, strengths = build_table(day.pressure), spirit_table()
    nb = packed.stage_sets.shape[1]
    sizes = (packed.n_plates, nb, table.shape[0], strengths.shape[0], packed.end_channel.shape[1], 0.0)
    parts = [
        sizes, packed.stage_sets[0], packed.level_sets[0], packed.world, packed.phases[0], _ends(packed, 0), table,
        strengths, np.zeros(nb * at.N_VALUES),
    ]  # fmt: skip
    data = np.concatenate([np.ravel(part) for part in parts])
    return Problem(numbers=numbers, settings=tuple(settings), plan=plan, day=day, packed=packed, data=data)


def _ends(packed: Packed, index: int) -> np.ndarray:
    """Return the ends of a phase as rows: channel (negative: none), threshold, sign."""
    return np.array([packed.end_channel[index], packed.end_threshold[index], packed.end_sign[index]], dtype=float)
