"""The one module that packs, runs and unpacks: from a described still and settings to series and amounts."""

from __future__ import annotations

import math
import threading
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from middlerun.alcoholometry import spirit_table
from middlerun.column.kernels import layout as at
from middlerun.column.kernels.blocks import make_work
from middlerun.column.kernels.finish import N_FIXED, PER_PLATE, finish
from middlerun.column.kernels.integrate import AT_MOST, BOILED_DRY, FINISHED, NO_PRODUCT, STUCK, simulate
from middlerun.column.kernels.method import RODAS4
from middlerun.column.kernels.report import resample
from middlerun.column.names import series_names
from middlerun.column.pack import GRAVITY, Day, Packed, PotCharge, pack
from middlerun.column.settings import PhaseSettings
from middlerun.errors import SolverError
from middlerun.still import StillNumbers
from middlerun.substances.equilibrium_table import build_table

FloatArray = npt.NDArray[np.float64]

TOLERANCE = 1.5e-4  # relative; what it means for the result is measured in docs/explanation/numerics.md
_MOST_STEPS = 60_000
_MOST_ROWS = 60_000
_LONGEST = 48 * 3600.0  # s that a report can hold
_LIQUID_DENSITY = 830.0  # kg/m3, of what stands in a downcomer
_BACKUP = 0.5
_CAUSES = {AT_MOST: "at_most", NO_PRODUCT: "no_product", BOILED_DRY: "boiled_dry"}


@dataclass(frozen=True, kw_only=True)
class PhaseOutcome:
    """How one phase went: times in s, what ended it, moles that left the parrot.

    `ended_by`: an end's name, "at_most", "no_product" or "boiled_dry".
    """

    start: float
    end: float
    ended_by: str
    ethanol: float
    water: float


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A simulated run, SI. `series` is (names, rows); `state` the last state, `steps` accepted, `rejected` ones."""

    names: tuple[str, ...]
    series: FloatArray
    phases: tuple[PhaseOutcome, ...]
    packed: Packed
    state: FloatArray
    steps: int
    rejected: int
    nodes: FloatArray
    nominal: float  # mol/s, vapour that the heater can make

    def down(self, offset: int) -> float:
        """Return one downstream number of the last state, see `kernels.layout`."""
        return float(self.state[self.packed.stage_sets.shape[1] * at.BLOCK + at.N_CONTROL + offset])

    def held(self) -> FloatArray:
        """Return moles of ethanol and water (blocks, 2) that pot, plates and head hold at the end."""
        nb = self.packed.stage_sets.shape[1]
        return self.state[: nb * at.BLOCK].reshape(nb, at.BLOCK)[:, at.E :]

    def balance(self) -> dict[str, float]:
        """Return the relative closure errors of ethanol, water and energy over the whole run."""
        start, end, world = self.packed.state, self.state, self.packed.world
        nb, n = self.packed.stage_sets.shape[1], self.packed.n_plates
        d = nb * at.BLOCK + at.N_CONTROL

        def amount(z: FloatArray, which: int, parrot: int) -> float:
            return float(z[: nb * at.BLOCK].reshape(nb, at.BLOCK)[:, which].sum() + z[d + parrot])

        def energy(z: FloatArray) -> float:
            blocks = z[: nb * at.BLOCK].reshape(nb, at.BLOCK)
            water = world[at.G_DEPH_WATER] * at.CP_WATER * blocks[n + 1 :, at.X].sum()
            return float(blocks[:, at.H].sum() + world[at.G_JACKET] * blocks[0, at.X] + water)

        ethanol_in, water_in = amount(start, at.E, at.D_PARROT_E), amount(start, at.W, at.D_PARROT_W)
        out_e = sum(p.ethanol for p in self.phases) + end[d + at.D_LOST_E]
        out_w = sum(p.water for p in self.phases) + end[d + at.D_LOST_W]
        spent = sum(end[d + k] for k in (at.D_LOSS, at.D_RELIEF, at.D_DEPHLEGMATOR, at.D_TOP))
        turned_over = max(float(end[d + at.D_HEATER]), abs(energy(start)), 1.0)
        return {
            "ethanol": (amount(end, at.E, at.D_PARROT_E) + out_e) / ethanol_in - 1.0,
            "water": (amount(end, at.W, at.D_PARROT_W) + out_w) / water_in - 1.0,
            "energy": float(energy(end) - energy(start) + spent - end[d + at.D_HEATER]) / turned_over,
        }


class _Room(threading.local):
    """Arrays that a thread keeps from run to run: clearing fresh memory would cost as much as a short run."""

    def __init__(self) -> None:
        self.nodes: dict[int, tuple[FloatArray, FloatArray]] = {}
        self.grids: dict[int, FloatArray] = {}

    def rows(self, columns: int) -> tuple[FloatArray, FloatArray]:
        """Return room for the rows of the steps and for their slopes."""
        if columns not in self.nodes:
            self.nodes = {columns: (np.empty((_MOST_ROWS, columns)), np.empty((_MOST_ROWS, columns)))}
        return self.nodes[columns]

    def grid(self, rows: int, columns: int) -> FloatArray:
        """Return room for the even grid."""
        if columns not in self.grids or len(self.grids[columns]) < rows:
            self.grids = {columns: np.empty((rows, columns))}
        return self.grids[columns]


_room = _Room()


def simulate_run(
    numbers: StillNumbers,
    charge: PotCharge,
    day: Day,
    settings: Sequence[PhaseSettings],
    *,
    every: float = 10.0,
    tolerance: float = TOLERANCE,
    keep_nodes: bool = False,
) -> Outcome:
    """Simulate all phases from a cold, dry still and report every `every` s (1 to 3600).

    The run stops early when a phase reaches its longest time or the pot boils dry; a phase whose held head gives no
    product for half an hour is given up for the next. `ended_by` says so.
    SolverError when the integrator gives up.
    """
    packed = pack(numbers, charge, day, settings)
    table, strengths = build_table(day.pressure), spirit_table()
    nb, nz, n_phases = packed.stage_sets.shape[1], len(packed.state), len(settings)
    columns = at.N_REPORT + nb * at.PER_STAGE
    nodes, slopes = _room.rows(columns)
    ends, causes = np.zeros(n_phases), np.full(n_phases, -9, dtype=np.int64)
    states, rows = np.zeros((n_phases, nz)), np.zeros(n_phases, dtype=np.int64)
    counts = np.zeros(5, dtype=np.int64)
    z = packed.state.copy()
    simulate(
        z, packed.n_plates, packed.stage_sets, packed.level_sets, packed.world, packed.phases, packed.end_channel,
        packed.end_threshold, packed.end_sign, table, strengths, RODAS4, packed.scale, tolerance, _MOST_STEPS,
        make_work(nb), nodes, ends, causes, states, rows, counts,
    )  # fmt: skip
    n_rows, steps, rejected, status, reached = (int(v) for v in counts)
    if status != FINISHED:
        _give_up(status, settings[reached].name, float(nodes[max(n_rows - 1, 0), at.R_TIME]), steps)
    phases = _phases(settings[: reached + 1], ends, causes, states, nb)
    last = float(nodes[n_rows - 1, at.R_TIME])
    grid = _room.grid(int(min(last, _LONGEST) / every) + 3, columns)
    used = resample(nodes, n_rows, every, slopes, grid)
    before = np.zeros((n_phases, 2))
    for i in range(1, len(phases)):
        before[i] = before[i - 1] + (phases[i - 1].ethanol, phases[i - 1].water)
    steam = not math.isnan(numbers.steam_gauge)  # supplied steam drives the air out by itself
    vents = np.array([float(s.vent_open or steam) for s in settings])
    names = series_names(packed.n_plates)
    series = np.empty((N_FIXED + packed.n_plates * PER_PLATE, used))
    finish(
        grid, used, packed.n_plates, nb, packed.world, packed.phases, vents,
        before, numbers.has_jacket, float(packed.state[at.X]), charge.solids_volume, _drops(packed),
        _limits(numbers, packed), strengths, series,
    )  # fmt: skip
    return Outcome(
        names=names, series=series, phases=phases, packed=packed, state=z, steps=steps - rejected, rejected=rejected,
        nodes=nodes[:n_rows].copy() if keep_nodes else nodes[:0],
        nominal=packed.nominal,
    )  # fmt: skip


def _phases(
    settings: Sequence[PhaseSettings], ends: FloatArray, causes: npt.NDArray[np.int64], states: FloatArray, nb: int
) -> tuple[PhaseOutcome, ...]:
    d = nb * at.BLOCK + at.N_CONTROL
    found, start = [], 0.0
    for i, phase in enumerate(settings):
        cause = int(causes[i])
        name = _CAUSES.get(cause) or phase.ends[cause].name
        found.append(
            PhaseOutcome(
                start=start, end=float(ends[i]), ended_by=name,
                ethanol=float(states[i, d + at.D_COLLECTED_E]), water=float(states[i, d + at.D_COLLECTED_W]),
            )
        )  # fmt: skip
        start = float(ends[i])
    return tuple(found)


def _drops(packed: Packed) -> FloatArray:
    plates = packed.stage_sets[0, 1 : 1 + packed.n_plates]
    return np.column_stack([plates[:, at.S_DRY], plates[:, at.S_WET] * _LIQUID_DENSITY])


def _limits(numbers: StillNumbers, packed: Packed) -> FloatArray:
    room = [_BACKUP * plate.spacing * _LIQUID_DENSITY * GRAVITY for plate in numbers.plates]
    return np.column_stack([packed.flood, packed.weep, np.array(room)]) if room else np.zeros((0, 3))


def _give_up(status: int, phase: str, time: float, steps: int) -> None:
    hours = time / 3600.0
    why = "its steps became too small" if status == STUCK else f"it used {steps} steps"
    raise SolverError(
        f'The simulation stopped in phase "{phase}" at {hours:.2f} h: {why}. Look with `still check` for '
        "a value far from the usual: plates of almost no volume, time constants below a second, a gain that swings."
    )
