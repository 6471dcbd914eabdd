"""The demo plan is a run at which a distiller would nod. Figures: common practice in small fruit distilleries."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from middlerun.plan import Run, catalogue_entry, load_plan, predict

DEMO = Path(__file__).parents[2] / "examples" / "demo-plan.toml"


@pytest.fixture(scope="module")
def demo() -> Run:
    return predict(load_plan(DEMO))


def rows(run: Run, *fractions: str) -> np.ndarray:
    index = [i for i, phase in enumerate(run.phases) if phase.fraction in fractions]
    return np.isin(run.series["phase_index"], index) & (run.series["distillate"] > 2e-3)


def test_fills_a_working_day(demo: Run) -> None:
    assert 4 * 3600.0 < demo.totals["duration"] < demo.plan.limits.day


def test_boils_within_the_usual_time(demo: Run) -> None:
    """100 L of mash with 18 kW through a water jacket boil after 40 to 75 min."""
    assert 40 * 60.0 < demo.totals["time_to_boil"] < 75 * 60.0


def test_hearts_are_as_strong_as_fruit_spirit_may_be(demo: Run) -> None:
    """Mean 81 to 84 % vol; at no moment at 86 % vol, the ceiling of Regulation (EU) 2019/787, Annex I, category 9."""
    hearts = next(fraction for fraction in demo.fractions if fraction.name == "hearts")
    assert 0.81 < hearts.strength < 0.84
    assert np.nanmax(demo.series["product_strength"][rows(demo, "hearts")]) < 0.86


def test_head_is_held(demo: Run) -> None:
    """Ten minutes into each phase of hearts the head is within 0.3 K of where it is held, to the end of the phase."""
    series = demo.series
    for i, phase in enumerate(demo.phases):
        if phase.fraction == "hearts":
            late = (series["phase_index"] == i) & (series["time"] > phase.start + 600.0)
            assert late.any()
            assert np.abs(series["head_temperature"] - series["head_setpoint"])[late].max() < 0.3


def test_weirs_move_during_the_hearts(demo: Run) -> None:
    levels = demo.series["plate_1_level"][rows(demo, "hearts")]
    assert np.ptp(levels) > 1e-4


def test_amounts_are_those_of_a_plum_mash(demo: Run) -> None:
    """Of the alcohol 1 to 4 % go to the heads and more than half to the hearts; the pot is left below 1 % vol."""
    charged = demo.totals["charge_pure_alcohol"]
    part = {fraction.name: fraction.pure_alcohol / charged for fraction in demo.fractions}
    assert 0.01 < part["heads"] < 0.04
    assert 0.5 < part["hearts"] < 0.8
    assert demo.totals["pot_strength_end"] < 0.01


def test_runs_at_the_usual_pace(demo: Run) -> None:
    """Slow hearts: 0.2 to 1.2 L per 10 min. The condenser's water leaves below the plan's limit; a throttled
    dephlegmator's leaves hot, but below 80 Cel.
    """
    hearts = rows(demo, "hearts")
    rate = demo.series["product_rate"][hearts] * 6e5
    assert 0.2 < np.median(rate) < 1.2
    assert demo.series["condenser_water_out"][hearts].max() < demo.plan.limits.water_out
    assert demo.series["dephlegmator_water_out"][hearts].max() < 353.15


def test_nothing_dangerous(demo: Run) -> None:
    """No warning of high priority; jacket below 0.5 bar gauge; all vapour condensed."""
    assert [w.code for w in demo.warnings if catalogue_entry(w.code).priority == "high"] == []
    assert demo.series["jacket_gauge"].max() < 0.55e5
    assert demo.totals["uncondensed"] < 0.01
