"""Laws of the dephlegmator, its hand, and the product condenser."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.plan import temperature_for_strength
from middlerun.still import StillNumbers
from middlerun.substances import azeotrope
from tests.column.small import DAY, L_PER_H, PLATED, POT, Seen, charge, distilled, end, few, phase, seen, still

WATER = 4186.0  # J/(kg K), near 30 Cel (steam tables)
STRENGTHS = st.floats(0.05, 0.2)
SHARES = st.floats(0.03, 0.3)


def reflux_run(strength: float, share: float, minutes: float = 60.0, **changes: object) -> Seen:
    """Distil over three plates at a fixed share of the dephlegmator's water; power 6 kW."""
    day = changes.pop("day", DAY)
    numbers = still(PLATED, **changes)
    return distilled(numbers, charge(strength=strength), share * numbers.dephlegmator_water_max, minutes, day=day)


@few
@given(strength=STRENGTHS, share=st.floats(0.03, 0.12), warm=st.floats(284.0, 303.0), step=st.floats(2.0, 10.0))
def test_colder_water_makes_no_hotter_head(strength: float, share: float, warm: float, step: float) -> None:
    """At the same flow, colder water condenses more: the head is no hotter at any time while product runs in both."""
    hot, cold = (reflux_run(strength, share, day=replace(DAY, water=one)) for one in (warm, warm - step))
    both = hot.running(1) & cold.running(1)
    both &= hot["time"] > hot.phases[0].end + 1800.0
    assert (cold["head_temperature"][both] <= hot["head_temperature"][both] + 0.02).all()


@few
@given(strength=STRENGTHS, share=SHARES, more=st.floats(1.1, 2.0))
def test_more_water_gives_no_more_distillate(strength: float, share: float, more: float) -> None:
    """At the same heat, more water on the dephlegmator never gives more product, nor weaker product at any time.

    Compared once the column has settled, half an hour after the heater was turned down, while product runs in both.
    """
    little, much = (reflux_run(strength, one) for one in (share, more * share))
    assert much["collected_volume"][-1] <= little["collected_volume"][-1] + 1e-6
    both = little.running(1) & much.running(1) & (little["time"] > little.phases[0].end + 1800.0)
    assert (much["product_strength"][both] >= little["product_strength"][both] - 1e-3).all()


def _mean(run: Seen) -> float:
    return float(run["collected_pure_alcohol"][-1] / run["collected_volume"][-1])


@few
@given(strength=STRENGTHS, share=st.floats(0.02, 0.12))
def test_head_lies_between_azeotrope_and_pot(strength: float, share: float) -> None:
    """While product runs the head's dew temperature lies between the azeotrope's and the pot's (0.05 K of overheat)."""
    run = reflux_run(strength, share)
    runs = run.running(1)
    assert runs.any()
    assert run["head_temperature"][runs].min() > float(azeotrope(DAY.pressure)[1]) - 0.05
    assert (run["head_temperature"] < run["pot_temperature"] + 0.05)[runs].all()


@few
@given(strength=STRENGTHS, share=st.floats(0.02, 1.0), water=st.floats(275.0, 300.0))
def test_water_leaves_between_inlet_and_vapour(strength: float, share: float, water: float) -> None:
    """Cooling water is never colder than inlet and room, nor hotter than the vapour that warms it: both exchangers."""
    run = reflux_run(strength, share, day=replace(DAY, water=water))
    top = np.maximum.accumulate(np.maximum(run["head_temperature"], run["plate_3_temperature"]))
    for name in ("dephlegmator_water_out", "condenser_water_out"):
        assert run[name].min() > min(water, DAY.room) - 0.05
        assert (run[name] < np.maximum(top, DAY.room) + 0.05).all()


@few
@given(strength=STRENGTHS, share=SHARES)
def test_heat_to_the_water_is_flow_times_warming(strength: float, share: float) -> None:
    """After an hour at fixed flow the dephlegmator gives its water what the series of flow and outlet say, to 0.1 %."""
    run = reflux_run(strength, share)
    row = -1
    warming = run["dephlegmator_water_out"][row] - DAY.water
    assert run["dephlegmator_heat"][row] == pytest.approx(
        1e3 * run["dephlegmator_water_flow"][row] * WATER * warming, rel=1e-3
    )


@few
@given(strength=STRENGTHS, share=st.floats(0.2, 0.6), less=st.floats(0.3, 0.8))
def test_condenser_margin_falls_with_less_water(strength: float, share: float, less: float) -> None:
    """The condenser never acts back on the column, so less water only leaves less margin over the same vapour."""
    much, little = _condensers(strength, [share, less * share])
    late = much.running(1) & little.running(1) & (much["time"] > much.phases[0].end + 1200.0)
    assert late.any()
    assert (little["condenser_margin"][late] < much["condenser_margin"][late]).all()
    assert little["distillate"][late] == pytest.approx(much["distillate"][late], rel=0.02)


def _condensers(strength: float, shares: list[float], conductance: float = 630.0) -> list[Seen]:
    numbers = still(PLATED, condenser_conductance=conductance)
    return [
        distilled(numbers, charge(strength=strength), 0.0, 30.0, 0.9, condenser_flow=s * numbers.condenser_water_max)
        for s in shares
    ]


@few
@given(strength=STRENGTHS, share=st.floats(0.02, 0.2), more=st.floats(1.2, 3.0))
def test_less_condenser_water_lets_no_less_escape(strength: float, share: float, more: float) -> None:
    """Short of water, vapour leaves uncondensed; with more water never more of it. None is lost from the account."""
    little, much = _condensers(strength, [share, more * share])
    assert _escaped(much) <= _escaped(little) * (1.0 + 1e-3) + 1e-3
    for run in (little, much):
        assert abs(run.outcome.balance()["ethanol"]) < 1e-9


def _escaped(run: Seen) -> float:
    return float(np.trapezoid(run["uncondensed"], run["time"]))


@few
@given(strength=STRENGTHS, small=st.floats(100.0, 400.0), more=st.floats(1.3, 3.0))
def test_bigger_condenser_gives_no_warmer_product(strength: float, small: float, more: float) -> None:
    """More U·A at the same water cools the product no less, and never below the water that comes in."""
    little, much = (_condensers(strength, [0.5], one)[0] for one in (small, more * small))
    late = little.running(1) & much.running(1) & (little["time"] > little.phases[0].end + 1200.0)
    assert (much["product_temperature"][late] <= little["product_temperature"][late] + 0.05).all()
    assert much["product_temperature"][late].min() >= DAY.water - 0.01


@few
@given(strength=STRENGTHS)
def test_no_condenser_water_condenses_nothing_for_long(strength: float) -> None:
    """Water cut off while product runs: once the water inside is hot, nearly all vapour leaves as vapour."""
    numbers = still(PLATED)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15))
    runs = phase(numbers, 30.0, 6e3)
    cut = phase(numbers, 40.0, 6e3, condenser_flow=0.0)
    run = seen(numbers, charge(strength=strength), [warm, runs, cut])
    assert run["uncondensed"][-1] > 0.9 * run["distillate"][-1]
    row = int(np.searchsorted(run["time"], run.phases[1].end)) - 1
    assert run["uncondensed"][row] < 1e-3 * run["distillate"][row]


def held(numbers: StillNumbers, pot: object, asked: float, minutes: float, power: float = 5e3) -> Seen:
    """Heat up, twenty minutes of total reflux, then hold the head at a product strength."""
    setpoint = temperature_for_strength(asked, DAY.pressure)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15))
    full = phase(numbers, 30.0, power, dephlegmator_flow=numbers.dephlegmator_water_max)
    hold = phase(numbers, minutes, power, head_setpoint=setpoint, dephlegmator_flow=float("nan"))
    return seen(numbers, pot, [warm, full, hold])  # type: ignore[arg-type]


@few
@given(strength=st.floats(0.08, 0.2), asked=st.floats(0.78, 0.88))
def test_a_held_head_is_held_and_means_the_strength_asked_for(strength: float, asked: float) -> None:
    """After an hour of hold the valve has found its place: the head within 0.2 K, the product within 0.5 % vol.

    Premise: between what total reflux would give (above 90 % vol here) and what no reflux would give.
    """
    run = held(still(PLATED), charge(0.075, strength), asked, 75.0)
    late = run.running(2) & (run["time"] > run.phases[1].end + 3600.0)
    assert late.any()
    setpoint = temperature_for_strength(asked, DAY.pressure)
    assert np.abs(run["head_temperature"][late] - setpoint).max() < 0.2
    assert np.abs(run["product_strength"][late] - asked).max() < 0.005


@few
@given(strength=st.floats(0.08, 0.2), asked=st.floats(0.78, 0.84), more=st.floats(0.03, 0.06))
def test_stronger_hold_gives_less(strength: float, asked: float, more: float) -> None:
    """At the same heat, a stronger product costs reflux: less of it comes over while both are held."""
    weak, strong = (held(still(PLATED), charge(0.075, strength), one, 90.0) for one in (asked, asked + more))
    late = weak.running(2) & (weak["time"] > weak.phases[1].end + 3600.0)
    assert strong["distillate"][late].mean() < weak["distillate"][late].mean()
    assert strong["collected_volume"][-1] < weak["collected_volume"][-1]


@few
@given(strength=st.floats(0.05, 0.2), loss=st.floats(1.0, 4.0), more=st.floats(1.5, 4.0))
def test_bare_head_refluxes(strength: float, loss: float, more: float) -> None:
    """A plain head that loses more heat condenses more: less product at the same heat, and no weaker."""
    tight, bare = (
        distilled(still(POT, head_heat_loss=one), charge(0.015, strength), 0.0, 40.0, 0.8)
        for one in (loss, more * loss)
    )
    assert bare["collected_volume"][-1] < tight["collected_volume"][-1]
    assert _mean(bare) >= _mean(tight) - 1e-4


@few
@given(setpoint=st.floats(308.0, 340.0), strength=STRENGTHS)
def test_held_condenser_water_leaves_at_its_setpoint(setpoint: float, strength: float) -> None:
    """The hand on the condenser's water holds its outlet within 1 K and stays within the valve's range."""
    numbers = still(PLATED)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15))
    hold = phase(numbers, 60.0, 6e3, condenser_setpoint=setpoint, condenser_flow=50 * L_PER_H)
    run = seen(numbers, charge(strength=strength), [warm, hold])
    assert abs(run["condenser_water_out"][-1] - setpoint) < 1.0
    assert run["condenser_water_flow"].min() >= -1e-12
    assert run["condenser_water_flow"].max() <= numbers.condenser_water_max * (1.0 + 1e-9)
