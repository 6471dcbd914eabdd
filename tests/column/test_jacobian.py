"""The solve with the exact derivative against dense differences of the rates, in every phase of the demo run.

The kernels never form the Jacobian J. Solving for every unit vector gives (shift I - J)^-1; its inverse gives J. The
pattern is thus not assumed: an entry that the kernels miss stands out against the dense differences.
"""

from __future__ import annotations

import numpy as np
import pytest

from middlerun.alcoholometry import spirit_table
from middlerun.column.kernels import layout as at
from middlerun.column.kernels.basics import temperature
from middlerun.column.kernels.blocks import factor, make_work, solve_column
from middlerun.column.kernels.downstream import N_SLOPES, downstream_slopes, solve_downstream
from middlerun.column.kernels.rates import rates
from middlerun.column.pack import Packed
from middlerun.substances.equilibrium_table import build_table
from tests.column.cases import Case, column_of, demo
from tests.column.differences import jacobian

SHIFT = 2.0  # 1/s, a step of 2 s: neither the shift nor J outweighs the other in the inversion
# Derived by hand, so exact but for rounding. Differences are not: steps must stay inside an onset of boiling of 2e-4 K,
# where rounding leaves 1e-7 to 1e-6 of the row. A forgotten term would be as large as the entries beside it.
EXACT = 2e-6
# The condenser's derivatives are one-sided differences with a step of 1e-7 of the input: curvature times step, rounding
# over step. They act on nothing that feeds back.
BY_DIFFERENCES = 2e-5
FED_BY_CONDENSER = (at.D_WATER, at.D_PARROT_E, at.D_PARROT_W, at.D_PARROT_T, at.D_LOST_E, at.D_LOST_W)


class _Moment:
    """The rates and the engine's solve in one phase."""

    def __init__(self, packed: Packed, phase: int, pressure: float) -> None:
        self.packed, self.nb = packed, packed.stage_sets.shape[1]
        self.stages = packed.stage_sets[phase]
        self.table, self.strengths = build_table(pressure), spirit_table()
        self.phase, self.levels = packed.phases[phase], packed.level_sets[phase]
        self.values = np.zeros((self.nb, at.N_VALUES))

    def _fill(self, z: np.ndarray, dz: np.ndarray) -> float:
        return rates(
            z, self.packed.n_plates, self.stages, self.levels, self.packed.world, self.phase, self.table,
            self.strengths, self.values, dz,
        )  # fmt: skip

    def rates(self, z: np.ndarray) -> np.ndarray:
        dz = np.zeros_like(z)
        self._fill(z, dz)
        return dz

    def solved(self, z: np.ndarray) -> np.ndarray:
        """Return the Jacobian that the engine's solve stands for."""
        p, n = self.packed, len(z)
        escaped = self._fill(z, np.zeros(n))
        work, slopes, v_top = make_work(self.nb), np.zeros(N_SLOPES), np.zeros(n)
        factor(z, p.n_plates, SHIFT, self.stages, p.world, self.phase, self.table, self.values, work)
        downstream_slopes(
            z, self.nb, p.world, self.phase, self.strengths, self.values, escaped, np.zeros((3, 6)), slopes
        )
        inverse = np.zeros((n, n))
        for i in range(n):
            unit = np.zeros(n)
            unit[i] = 1.0
            solve_column(unit, self.nb, work, v_top)
            solve_downstream(
                unit, z, self.nb, p.n_plates + 1, SHIFT, self.stages, p.world, self.phase, work[6], v_top, slopes
            )
            inverse[:, i] = unit
        return SHIFT * np.eye(n) - np.linalg.inv(inverse)

    def sizes(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return what a state's change means (10 K, 500 Pa, all the moles held) and a step for differences."""
        size, step = np.ones(len(z)), np.ones(len(z))
        for j in range(self.nb):
            k = j * at.BLOCK
            ethanol, water = z[k + at.E], z[k + at.W]
            _, capacity = temperature(z[k + at.H], ethanol, water, self.stages[j, at.S_CAPACITY])
            warm = j == 0 or j > self.packed.n_plates  # X is a temperature there, a level on plates
            moles = ethanol + water
            size[k : k + at.BLOCK] = 10.0 * capacity, 500.0, 10.0 if warm else 1e-3, moles, moles
            # The onset of boiling is 2e-4 to 2e-3 K wide: steps must stay well inside it.
            few = 5e-5 * capacity, 1.0, 1e-2 if warm else 1e-6, *np.minimum(1e-3 * z[k + at.E : k + 5], 2e-7 * moles)
            step[k : k + at.BLOCK] = few
        c = self.nb * at.BLOCK
        d = c + at.N_CONTROL
        size[c:d], step[c:d] = (10.0, 0.1, 0.1), (1e-2, 1e-5, 1e-5)
        size[d : d + at.N_FILTER] = 10.0, 0.1, 0.1, 1.0, 1.0, 10.0, 10.0, 1.0, 1.0, 1.0
        step[d : d + at.N_FILTER] = 1e-2, 1e-5, 1e-5, 1e-4, 1e-4, 1e-2, 1e-2, 1e-3, 1e-3, 1e-3
        step[d + at.D_PARROT_E] = 1e-3 * min(z[d + at.D_PARROT_E] + 1e-12, 0.1)
        size[d + at.D_HEATER : d + at.D_CONDENSER + 1] = 1e4
        return size, step


def _every_phase(case: Case, shares: tuple[float, ...]) -> None:
    whole = case.run()
    assert len(whole.phases) == len(case.settings)
    for phase, outcome in enumerate(whole.phases):
        for share in shares:
            moment = case.cut(phase + 1, max(share * (outcome.end - outcome.start), 1.0)).run()
            _compare(_Moment(moment.packed, phase, case.day.pressure), moment.state, case.settings[phase].name, share)


def test_demo_run_thrice_in_every_phase():
    _every_phase(demo(), (0.003, 0.5, 1.0))


@pytest.mark.parametrize(
    ("plates", "stages"), [(0, 1), (0, 3), (1, 1), (1, 2), (3, 1), (3, 3), (4, 2), (8, 1)], ids=str
)
def test_every_kind_of_phase_on_any_column(plates, stages):
    _every_phase(column_of(plates, stages), (0.1, 0.7))


def _compare(moment: _Moment, z: np.ndarray, phase: str, share: float) -> None:
    size, step = moment.sizes(z)
    scale = size[None, :] / size[:, None]
    expected, error = jacobian(moment.rates, z, step)
    # A rounding in every state is the least error that rates can have; differences divide it by the step.
    error += (abs(expected) @ abs(z) * np.finfo(float).eps)[:, None] / step[None, :]
    expected, error = expected * scale, error * scale
    found = moment.solved(z) * scale
    d = moment.nb * at.BLOCK + at.N_CONTROL
    largest = abs(expected).max(axis=1)
    allowed = EXACT * np.maximum(largest, 1.0)
    for row in FED_BY_CONDENSER:
        # What it does not take escapes: errors count against all that arrives, not against what is passed on.
        allowed[d + row] = BY_DIFFERENCES * max(largest[d + row], largest[d + at.D_PARROT_W], 1.0)
    off = abs(found - expected) - 10.0 * error - allowed[:, None]
    row, column = np.unravel_index(np.argmax(off), off.shape)
    assert off.max() <= 0.0, (
        f'phase "{phase}" at {share:.1%}: d({row})/d({column}) is {found[row, column]:.9g}, '
        f"differences give {expected[row, column]:.9g} ± {error[row, column]:.1g} (scaled)"
    )
    assert np.isfinite(found).all()


def test_differences_find_a_missing_entry():
    """The check itself: one entry left out is seen."""
    matrix = np.array([[-2.0, 1e-5, 0.0], [3.0, -1.0, 0.5], [0.0, 0.2, -7.0]])
    found, error = jacobian(lambda z: matrix @ z + 0.1 * z**3, np.array([1.0, 2.0, 3.0]), np.full(3, 1e-2))
    assert abs(found - matrix - np.diag(0.3 * np.array([1.0, 4.0, 9.0]))).max() < 1e-10
    assert error.max() < 1e-9
