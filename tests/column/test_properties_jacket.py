"""Laws of the closed jacket. Steam pressures: IAPWS-IF97 tables, printed in steam tables everywhere."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.column import PotCharge
from middlerun.still import StillNumbers
from tests.column.small import DAY, PLATED, STEAM, Seen, charge, end, few, phase, seen, still

STEAM_TABLE = {15.0: 1.7058e3, 60.0: 19.946e3, 80.0: 47.414e3, 100.0: 101.42e3, 105.0: 120.90e3, 110.0: 143.38e3}
BIG_RELIEF = 3e5  # Pa, the most that a description may say


def warmed(numbers: StillNumbers, *, vent_open: bool, pot: PotCharge | None = None, minutes: float = 90.0) -> Seen:
    """Heat a jacket at full power; everything starts at 15 Cel."""
    day = replace(DAY, room=288.15)
    return seen(numbers, pot or charge(), [phase(numbers, minutes, numbers.heater_max, vent_open=vent_open)], day)


def gauge_at(run: Seen, celsius: float) -> float:
    """Return the gauge pressure (Pa) when the jacket passes a temperature on its way up."""
    warm = run["jacket_temperature"]
    upto = int(np.argmax(warm)) + 1
    assert warm[upto - 1] > celsius + 273.15
    return float(np.interp(celsius + 273.15, warm[:upto], run["jacket_gauge"][:upto]))


@pytest.mark.parametrize(("celsius", "about"), [(60.0, 0.3), (80.0, 0.7), (100.0, 1.3)])
def test_unvented_jacket_holds_its_air(celsius: float, about: float) -> None:
    """Filled at 15 Cel, closed, relief beyond reach: shut-in air (ideal gas at constant volume) and steam add up."""
    run = warmed(still(PLATED, relief_gauge=BIG_RELIEF), vent_open=False)
    air = (DAY.pressure - STEAM_TABLE[15.0]) * (celsius + 273.15) / 288.15
    assert gauge_at(run, celsius) == pytest.approx(air + STEAM_TABLE[celsius] - DAY.pressure, abs=500.0)
    assert round(gauge_at(run, celsius) / 1e5, 1) == about


@few
@given(minutes=st.floats(10.0, 90.0), power=st.floats(0.3, 1.0))
def test_vented_jacket_reads_zero_below_the_boil(minutes: float, power: float) -> None:
    """With its vent open a jacket stands at the pressure of the room until its water passes 100 Cel at sea level."""
    numbers = still(PLATED)
    run = seen(numbers, charge(), [phase(numbers, minutes, power * numbers.heater_max, vent_open=True)])
    below = run["jacket_temperature"] < 373.15 - 0.2
    assert below.any()
    assert np.abs(run["jacket_gauge"][below]).max() < 100.0


@pytest.mark.parametrize("celsius", [105.0, 110.0])
def test_vented_jacket_follows_saturation_above_the_boil(celsius: float) -> None:
    """Air all gone, the gauge is that of saturated steam (relief beyond reach), to 1 kPa."""
    run = warmed(still(PLATED, relief_gauge=BIG_RELIEF, heater_max=2e4), vent_open=True)
    assert gauge_at(run, celsius) == pytest.approx(STEAM_TABLE[celsius] - DAY.pressure, abs=1e3)


@few
@given(relief=st.floats(0.2e5, 0.8e5), vented=st.booleans())
def test_relief_holds_the_gauge(relief: float, vented: bool) -> None:
    """A relief valve that can let all the heat go keeps the jacket within a tenth of its setting, or 5 kPa."""
    numbers = still(PLATED, relief_gauge=relief, heating_conductance=300.0)
    assert numbers.heater_max < 0.1 * relief * numbers.relief_conductance + 5e3 * numbers.relief_conductance
    run = warmed(numbers, vent_open=vented, minutes=150.0)
    assert run["jacket_gauge"].max() < relief + max(0.1 * relief, 5e3)
    assert run["jacket_gauge"].max() > 0.9 * relief


@few
@given(relief=st.floats(0.3e5, 0.6e5))
def test_relief_heat_is_what_the_pot_cannot_take(relief: float) -> None:
    """Once a blowing jacket stays at one temperature, heat in = to the pot + losses + relief, to 1 % of the heater."""
    numbers = still(PLATED, relief_gauge=relief, heating_conductance=300.0)
    run = warmed(numbers, vent_open=True, minutes=150.0)
    row = -2
    assert run["relief_heat"][row] > 500.0
    jacket_loss = numbers.jacket_heat_loss * (run["jacket_temperature"][row] - 288.15)
    left = run["heater_power"][row] - run["heat_to_pot"][row] - jacket_loss - run["relief_heat"][row]
    assert abs(left) < 0.01 * numbers.heater_max


@few
@given(minutes=st.floats(40.0, 80.0))
def test_vacuum_breaker_keeps_a_cooling_jacket_at_the_rooms_pressure(minutes: float) -> None:
    """A jacket whose air was driven out and that cools shut would go to vacuum; its breaker lets air in."""
    numbers = still(PLATED)
    hot = phase(numbers, minutes, numbers.heater_max, vent_open=True)
    run = seen(numbers, charge(), [hot, phase(numbers, 600.0, 0.0)])
    assert run["jacket_temperature"][-1] < 350.0
    assert run["jacket_gauge"].min() > -1.0


@few
@given(setpoint=st.floats(333.15, 373.15), power=st.floats(0.4, 1.0))
def test_thermostat_holds_the_jacket(setpoint: float, power: float) -> None:
    """A thermostat never lets the jacket get hotter than its setting, and reaches it to 2.5 K with a strong heater."""
    numbers = still(PLATED)
    run = seen(numbers, charge(), [phase(numbers, 240.0, power * numbers.heater_max, jacket_setpoint=setpoint)])
    assert run["jacket_temperature"].max() < setpoint + 0.2
    assert run["jacket_temperature"][-1] > setpoint - 2.5


@few
@given(gauge=st.sampled_from([0.0, 0.2e5, 0.4e5]))
def test_steam_jacket_is_no_hotter_than_its_steam(gauge: float) -> None:
    """A steam jacket at constant pressure stays below saturation at its supply's gauge, so its relief stays tight.

    Saturation at 101.325 kPa and 0, 20, 40 kPa above: 100.0, 105.0, 109.4 Cel (steam tables).
    """
    saturation = {0.0: 373.12, 0.2e5: 378.11, 0.4e5: 382.55}[gauge]
    numbers = still(STEAM, steam_gauge=gauge, heating_conductance=500.0)
    run = seen(numbers, charge(0.15), [phase(numbers, 200.0, numbers.heater_max, vent_open=True)])
    assert run["jacket_temperature"].max() < saturation + 0.3
    assert run["jacket_temperature"].max() > saturation - 3.0
    assert run["relief_heat"].max() < 50.0  # W, which the warnings count as tight too


@few
@given(strength=st.floats(0.05, 0.2))
def test_heat_goes_from_hot_to_cold(strength: float) -> None:
    """Heat goes from the jacket to the pot only while the jacket is hotter (rows within 0.1 K of equal left out)."""
    numbers = still(PLATED)
    hot = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 350.0))
    run = seen(numbers, charge(strength=strength), [hot, phase(numbers, 400.0, 0.0)])
    gap = run["jacket_temperature"] - run["pot_temperature"]
    assert (np.sign(run["heat_to_pot"]) == np.sign(gap))[np.abs(gap) > 0.1].all()
