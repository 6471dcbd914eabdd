"""Ideal stages at total reflux give the stage-by-stage construction."""

import pytest

from validation import total_reflux

CASES = total_reflux.cases()


@pytest.mark.parametrize("i", range(len(CASES)), ids=[f"{pot:.0f} %vol, {stages} stages" for pot, stages, _ in CASES])
def test_top_strength(i):
    """0.05 % vol against the construction and, where there is one, against the row computed elsewhere."""
    row = total_reflux.compare()[i]
    assert (row.pot, row.stages, row.published) == CASES[i]
    assert abs(row.simulated - row.constructed) < 0.05
    if row.published is not None:
        assert abs(row.simulated - row.published) < 0.05


def test_rows():
    assert sum(published is not None for *_, published in CASES) == 24
    assert {stages for _, stages, _ in CASES} == {1, 2, 3, 4, 5, 6, 9}


@pytest.mark.parametrize("stages", [2, 3])
def test_dephlegmator_adds_no_stage_when_it_condenses_everything(stages):
    x_pot, top = total_reflux.simulated(0.10, 4, dephlegmator_stages=stages)
    reached = total_reflux.constructed(x_pot, 4)
    assert abs(total_reflux.percent(top) - total_reflux.percent(reached)) < 0.05


@pytest.mark.parametrize("efficiency", total_reflux.EFFICIENCIES)
def test_murphree_efficiency(efficiency):
    """The same construction with a part of each step, for plates as good as those of small stills (0.24 to 0.8)."""
    simulated, constructed = total_reflux.with_efficiency(0.10, 4, efficiency)
    assert abs(simulated - constructed) < 0.05
    assert 60.0 < simulated < total_reflux.percent(total_reflux.constructed(0.0329, 5)) - 0.3
