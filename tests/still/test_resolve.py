"""What is derived when a file leaves it out, against hand figures and published ones."""

from __future__ import annotations

import dataclasses
import math

import pytest

from middlerun.still import Column, Condenser, Dephlegmator, Heating, Instrument, Plate, Pot, Still, plate_type, resolve
from middlerun.still.resolve import section_heat_loss, section_metal_mass, weep_velocity


def build(column: Column | None = None, **changes: object) -> Still:
    pot = Pot(volume=0.1, working_max=0.09, working_min=0.02, metal_mass=30.0, heat_loss=3.0)
    heating = Heating(kind="electric", power=9e3, conductance=600.0)
    still = Still(name="s", pot=pot, heating=heating, column=column, condenser=Condenser(area=0.5, water_max=1e-4))
    return dataclasses.replace(still, **changes)  # type: ignore[arg-type]


def column(*plates: Plate, **changes: object) -> Column:
    return dataclasses.replace(Column(diameter=0.2, plates=plates), **changes)  # type: ignore[arg-type]


def test_bare_column_loses_the_computed_heat() -> None:
    """Bare metal at 80 to 85 Cel in still air: 0.5 to 0.7 kW/m2 (computed); a column of 0.2 m by 1 m about 0.35 kW."""
    per_metre = section_heat_loss(0.2, 1.0, insulated=False)
    assert per_metre * (82.0 - 20.0) == pytest.approx(350.0, rel=0.12)
    assert section_heat_loss(0.2, 1.0, insulated=True) < 0.25 * per_metre


def test_plate_holds_what_a_plate_of_its_size_holds() -> None:
    """A 0.2 m plate with a 30 mm level holds 0.5 to 0.7 L of clear liquid (computed)."""
    plate = resolve(build(column(Plate(type="bubble-cap")))).plates[0]
    assert 0.5e-3 <= plate.level <= 0.7e-3


def test_weep_point_by_hand() -> None:
    """Sinnott, Coulson & Richardson vol. 6: u = (K2 - 0.9 (25.4 - d))/sqrt(rho), here K2 29.5, d 4 mm, rho 1 kg/m3."""
    assert weep_velocity(plate_type("sieve"), 0.004) == pytest.approx(29.5 - 0.9 * 21.4)
    assert weep_velocity(plate_type("bubble-cap"), 0.005) == 0.0


def test_metal_of_a_section_by_hand() -> None:
    shell = math.pi * 0.202 * 0.002 * 0.18
    sheet = math.pi * 0.01 * 0.004
    assert section_metal_mass(0.2, 0.18, 0.004, "copper") == pytest.approx(8930.0 * (shell + sheet))
    assert section_metal_mass(0.2, 0.18, 0.004, "stainless") < section_metal_mass(0.2, 0.18, 0.004, "copper")


def test_given_values_win_over_the_plate_type() -> None:
    given = Plate(
        type="sieve",
        level=4e-4,
        level_min=1e-4,
        level_max=9e-4,
        efficiency=0.5,
        hole_area=5e-4,
        weir_time=7.0,
        leak_time=33.0,
        metal_mass=2.0,
        heat_loss=0.4,
        hole_diameter=0.003,
        bypass=True,
    )
    plate = resolve(build(column(given))).plates[0]
    assert (plate.level, plate.level_min, plate.level_max, plate.efficiency) == (4e-4, 1e-4, 9e-4, 0.5)
    assert (plate.hole_area, plate.weir_time, plate.leak_time, plate.heat_loss) == (5e-4, 7.0, 33.0, 0.4)
    assert plate.heat_capacity == pytest.approx(2.0 * 390.0)
    assert plate.weep_velocity == pytest.approx(29.5 - 0.9 * 22.4)
    assert plate.bypass


@pytest.mark.parametrize("level", [1e-5, 5e-3])
def test_a_given_level_moves_the_derived_limits(level: float) -> None:
    plate = resolve(build(column(Plate(type="sieve", level=level)))).plates[0]
    assert plate.level_min <= plate.level == level <= plate.level_max


def test_exchangers_from_area_or_conductance() -> None:
    area = Dephlegmator(area=0.5, coefficient=700.0, water_max=1e-4)
    assert resolve(build(dephlegmator=area)).dephlegmator_conductance == pytest.approx(350.0)
    given = Dephlegmator(conductance=123.0, water_max=1e-4)
    assert resolve(build(dephlegmator=given)).dephlegmator_conductance == 123.0
    assert resolve(build()).dephlegmator_conductance == 0.0


def test_heating_kinds() -> None:
    electric = resolve(build())
    assert (electric.has_jacket, electric.jacket_gas_volume, electric.jacket_heat_capacity) == (False, 0.0, 500.0)
    assert math.isinf(electric.relief_gauge) and math.isnan(electric.steam_gauge)
    water = Heating(
        kind="bain-marie", power=9e3, conductance=600.0, jacket_water=25.0, metal_mass=10.0, relief_gauge=5e4
    )
    bath = resolve(build(heating=water))
    assert bath.jacket_heat_capacity == pytest.approx(25.0 * 4190.0 + 5000.0)
    assert (bath.relief_gauge, bath.jacket_gas_volume) == (5e4, pytest.approx(5e-3))
    assert bath.relief_conductance == pytest.approx(3.0)  # 30 kW per 0.1 bar
    steam = resolve(build(heating=dataclasses.replace(water, kind="steam-jacket")))
    assert steam.steam_gauge == pytest.approx(4e4)
    fire = Heating(kind="fire", power=9e3, conductance=100.0, flue_loss=0.5)
    assert resolve(build(heating=fire)).flue_loss == 0.5
    assert resolve(build(heating=dataclasses.replace(fire, kind="electric"))).flue_loss == 0.0


def test_cold_share_needs_an_agitator() -> None:
    still = build()
    assert resolve(still).cold_share_agitated == resolve(still).cold_share == 0.5
    agitated = dataclasses.replace(still, pot=dataclasses.replace(still.pot, agitator=True))
    assert resolve(agitated).cold_share_agitated == 0.8


def test_lags_come_from_the_instruments() -> None:
    bare = resolve(build())
    assert (bare.pot_lag, bare.head_lag, bare.strength_lag) == (10.0, 15.0, 5.0)
    instruments = (
        Instrument(tag="TI-1", reads="pot temperature", lag=31.0),
        Instrument(tag="TI-2", reads="head temperature", lag=32.0),
        Instrument(tag="AI-3", reads="product strength", lag=33.0),
    )
    read = resolve(build(instruments=instruments))
    assert (read.pot_lag, read.head_lag, read.strength_lag) == (31.0, 32.0, 33.0)
