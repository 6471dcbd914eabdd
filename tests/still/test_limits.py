"""Flooding, exchangers, steam and warming up against published figures and independent routes."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import solve_ivp

from middlerun.errors import OutOfRangeError
from middlerun.still.derive import charge_to_boil
from middlerun.still.limits import (
    LATENT_HEAT,
    VAPOUR_DENSITY,
    VAPOUR_MOLAR_MASS,
    capacity_factor,
    charge_heat_capacity,
    conductance_from_water,
    exchanger_duty,
    flooding_velocity,
    saturation_gauge,
    saturation_temperature,
    warm_up,
)

# Capacity factor C in m/s by flow parameter, from the published closed form of Fair 1961 (computed).
FAIR = {
    0.152: {0.01: 0.0384, 0.02: 0.0459, 0.05: 0.0474, 0.1: 0.0437},
    0.229: {0.01: 0.0500, 0.02: 0.0572, 0.05: 0.0574, 0.1: 0.0522},
    0.305: {0.01: 0.061, 0.02: 0.068, 0.05: 0.067, 0.1: 0.061},
}


@pytest.mark.parametrize("spacing", FAIR)
def test_capacity_factor_is_fairs(spacing: float) -> None:
    for flow_parameter, factor in FAIR[spacing].items():
        assert capacity_factor(flow_parameter, spacing) == pytest.approx(factor, abs=6e-4)  # the last printed digit


@pytest.mark.parametrize(
    ("spacing", "diameter", "kilowatts"),
    [(0.229, 0.15, 26), (0.229, 0.2, 47), (0.229, 0.3, 105), (0.152, 0.15, 21), (0.152, 0.2, 37), (0.152, 0.3, 84)],
)
def test_heat_at_four_fifths_of_flooding(spacing: float, diameter: float, kilowatts: float) -> None:
    """Worked examples (computed): vapour of 80 % vol at 80 % of flooding. Their net area is not printed: with 0.92 of
    the cross-section down to 0.85, as small plates have, the result may lie up to a tenth off."""
    area = 0.88 * math.pi / 4.0 * diameter**2
    heat = 0.8 * flooding_velocity(spacing) * area * VAPOUR_DENSITY / VAPOUR_MOLAR_MASS * LATENT_HEAT
    assert heat == pytest.approx(1e3 * kilowatts, rel=0.1)


def test_fair_refuses_what_the_chart_does_not_hold() -> None:
    with pytest.raises(OutOfRangeError, match="flow parameter"):
        capacity_factor(5.0, 0.2)
    with pytest.raises(OutOfRangeError, match="spacing"):
        capacity_factor(0.05, 2.0)


# Saturation pressure of water in kPa by temperature in Cel: IAPWS steam tables, from memory (high).
@pytest.mark.parametrize(("celsius", "kilopascal"), [(95, 84.61), (100, 101.42), (110, 143.4), (120, 198.67)])
def test_steam(celsius: float, kilopascal: float) -> None:
    assert saturation_gauge(celsius + 273.15, 0.0) == pytest.approx(1e3 * kilopascal, rel=0.01)
    assert saturation_temperature(1e3 * kilopascal, 0.0) == pytest.approx(celsius + 273.15, abs=0.3)


def test_exchanger_is_the_textbooks() -> None:
    """With condensing vapour on one side the effectiveness is 1 - exp(-NTU): any heat transfer text."""
    flow, conductance = 1e-4, 300.0
    capacity = flow * 1e3 * 4190.0
    exact = capacity * (352.0 - 288.15) * (1.0 - math.exp(-conductance / capacity))
    assert exchanger_duty(conductance, flow) == pytest.approx(exact)
    assert exchanger_duty(conductance, flow, cells=5000) == pytest.approx(exact, rel=1e-3)
    mixed = (
        conductance * (352.0 - 288.15) / (1.0 + conductance / capacity)
    )  # one mixed volume at its outlet temperature
    assert exchanger_duty(conductance, flow, cells=1) == pytest.approx(mixed)
    assert exchanger_duty(conductance, 0.0) == 0.0
    assert exchanger_duty(1e9, flow) == pytest.approx(capacity * (352.0 - 288.15))


def test_conductance_from_water_refuses_water_hotter_than_the_vapour() -> None:
    with pytest.raises(OutOfRangeError, match="temperature of the water that leaves"):
        conductance_from_water(1e-4, 288.0, 355.0, 352.0, 6)


def test_warm_up_without_losses_is_energy_over_power() -> None:
    seconds = warm_up(
        heat_capacity=3e5, jacket_heat_capacity=500.0, conductance=5e4, power=12e3, start=288.0, boil=363.0
    )
    assert seconds == pytest.approx((3e5 + 500.0) * 75.0 / 12e3, rel=2e-3)


def test_warm_up_agrees_with_an_independent_integrator() -> None:
    pot, jacket, u, power, lp, lj, room = 3.1e5, 1.2e5, 480.0, 12e3, 3.0, 5.0, 293.15

    def slope(_t: float, y: list[float]) -> list[float]:
        through = u * (y[1] - y[0])
        return [(through - lp * (y[0] - room)) / pot, (power - through - lj * (y[1] - room)) / jacket]

    def boils(_t: float, y: list[float]) -> float:
        return y[0] - 364.0

    boils.terminal = True  # type: ignore[attr-defined]
    exact = solve_ivp(slope, (0, 2e4), [288.15, 288.15], events=boils, rtol=1e-9, atol=1e-9).t_events[0][0]
    found = warm_up(
        heat_capacity=pot,
        jacket_heat_capacity=jacket,
        conductance=u,
        power=power,
        start=288.15,
        boil=364.0,
        pot_heat_loss=lp,
        jacket_heat_loss=lj,
    )
    # Implicit Euler is of first order: half a step of 15 s in some 3000 s.
    assert found == pytest.approx(exact, rel=5e-3)


def test_warm_up_that_never_boils() -> None:
    never = warm_up(
        heat_capacity=3e5,
        jacket_heat_capacity=500.0,
        conductance=500.0,
        power=200.0,
        start=288.0,
        boil=364.0,
        pot_heat_loss=10.0,
    )
    assert math.isinf(never)


def test_heat_of_a_charge() -> None:
    """Water: 100 L from 15 to 100 Cel take 35.5 MJ (steam tables, from memory, high: 419.1 - 63.0 kJ/kg, 998.2 kg/m3).
    Mash of 6 to 10 % vol from 15 to 93 Cel: 8.6 kW.h per 100 L (computed)."""
    capacity, boil = charge_to_boil(0.1, 0.0, 288.15)
    assert capacity * (boil - 288.15) == pytest.approx(99.82 * (419.1 - 63.0) * 1e3, rel=3e-3)
    for strength in (0.06, 0.10):
        capacity, boil = charge_to_boil(0.1, strength, 288.15)
        assert capacity * 78.0 / 3.6e6 == pytest.approx(8.6, rel=0.06)  # with extract, metal and mixing left out
        assert charge_heat_capacity(0.1) == pytest.approx(capacity, rel=0.04)


def test_boil_of_a_wine() -> None:
    """Common practice: a 14 % vol wine boils at 90 to 91.5 Cel at sea level."""
    assert 90.0 <= charge_to_boil(0.1, 0.14, 288.15)[1] - 273.15 <= 91.5
