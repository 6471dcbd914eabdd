"""A still from measurements: what is derived lies where it should, says how, and contradictions are refused."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from middlerun.errors import MiddlerunError, MissingKeyError, OutOfRangeError, PlanError, UnknownNameError
from middlerun.still import (
    Derived,
    Measurements,
    check_still,
    library_names,
    library_still,
    new_still,
    read_still,
    refuse_if_unsound,
    resolve,
    still_toml,
)
from middlerun.still.derive import charge_to_boil
from middlerun.still.limits import exchanger_duty, time_to_boil
from tests.still.strategies import described

BATH: dict[str, Any] = {
    "name": "Mine",
    "pot_volume": 0.1,
    "agitator": True,
    "heating_kind": "bain-marie",
    "power": 12e3,
    "jacket_water": 25.0,
    "relief_gauge": 5e4,
    "vent": True,
    "vacuum_breaker": True,
    "plates": 3,
    "column_diameter": 0.2,
}
TIMED = {"boil_volume": 0.075, "boil_strength": 0.14}


def derived_of(values: tuple[Derived, ...]) -> dict[str, Derived]:
    return {item.key: item for item in values}


def test_minutes_of_a_known_still_give_back_its_conductance() -> None:
    """The heat-up of the library's still, timed by the same balance, must lead to a band that holds its U·A."""
    known = library_still("bain-marie-100-3-plates")
    _, boil = charge_to_boil(0.075, 0.14, 288.15)
    minutes = time_to_boil(resolve(known), 0.075, boil=boil)
    _, values = new_still(Measurements(**BATH, **TIMED, time_to_boil=minutes))
    found = derived_of(values)["heating.conductance"]
    assert found.low <= known.heating.conductance <= found.high
    assert found.value == pytest.approx(known.heating.conductance, rel=0.5)  # losses and metal are guessed here
    assert "timed heat-up" in found.how


def test_slower_heat_up_means_less_conductance() -> None:
    values = [derived_of(new_still(Measurements(**BATH, **TIMED, time_to_boil=60.0 * m))[1]) for m in (50, 54, 60)]
    conductances = [v["heating.conductance"].value for v in values]
    assert conductances == sorted(conductances, reverse=True)
    assert conductances[0] > conductances[2]


def test_water_of_a_known_dephlegmator_gives_back_its_conductance() -> None:
    flow, hot = 120 / 3.6e6, 353.0
    duty = exchanger_duty(390.0, flow, hot=hot, cells=6)
    out = 288.15 + duty / (flow * 4.19e6)
    measured = Measurements(**BATH, dephlegmator_flow=flow, dephlegmator_water_in=288.15, dephlegmator_water_out=out,
                            head_temperature=hot)  # fmt: skip
    found = derived_of(new_still(measured)[1])["dephlegmator.conductance"]
    assert found.value == pytest.approx(390.0, rel=2e-3)  # three digits are kept
    assert found.low < 390.0 < found.high
    assert "120 L/h from 15 to" in found.how


def test_fire_finds_the_flue() -> None:
    """Half of 14 kW warms 40 L of water from 15 to 100 Cel, copper, base and losses left out, in 33.8 min or more."""
    fire = Measurements(
        name="f", pot_volume=0.06, heating_kind="fire", power=14e3, boil_volume=0.04, time_to_boil=45 * 60.0
    )
    still, values = new_still(fire)
    found = derived_of(values)["heating.flue_loss"]
    assert 0.35 < found.low < still.heating.flue_loss < found.high < 0.65
    useful = (1.0 - still.heating.flue_loss) * 14e3
    assert useful * 45 * 60.0 > 0.04 * 998.2 * 356.1e3  # 356.1 kJ/kg: steam tables, from memory (high)


def test_electric_heat_up_tests_the_plate_and_keeps_it() -> None:
    measured = Measurements(name="e", pot_volume=0.03, heating_kind="electric", power=3e3, boil_volume=0.02,
                            time_to_boil=45 * 60.0)  # fmt: skip
    still, values = new_still(measured)
    assert still.heating.power == 3e3
    assert derived_of(values)["heating.power"].low < 3e3


@pytest.mark.parametrize("minutes", [20, 200])
@pytest.mark.parametrize("kind", ["bain-marie", "electric"])
def test_contradictions_are_refused_with_both_energies(kind: str, minutes: int) -> None:
    measured = Measurements(**{**BATH, "heating_kind": kind}, **TIMED, time_to_boil=60.0 * minutes)
    with pytest.raises(
        PlanError, match=rf"contradict each other: 12 kW for {minutes} min are .* kW.h, but charge and pot"
    ):
        new_still(measured)


LACKING = [
    ({"time_to_boil": 3000.0}, MissingKeyError, "needs boil_volume"),
    ({"dephlegmator_flow": 3e-5, "dephlegmator_water_in": 288.0}, MissingKeyError, "needs dephlegmator_water_out"),
    ({"column_diameter": None}, MissingKeyError, "plates need column_diameter"),
    ({"boil_volume": 0.2}, PlanError, "more than the pot holds"),
    ({"power": -1.0}, OutOfRangeError, "power"),
    ({"plates": 9}, OutOfRangeError, "plates"),
    ({"heating_kind": "sun"}, OutOfRangeError, "heating_kind"),
    ({"plate_type": "seive"}, UnknownNameError, 'Did you mean "sieve"'),
    (
        {"dephlegmator_flow": 3e-5, "dephlegmator_water_in": 320.0, "dephlegmator_water_out": 300.0},
        OutOfRangeError,
        "water that leaves",
    ),
]


@pytest.mark.parametrize(("values", "error", "words"), LACKING, ids=[x[2] for x in LACKING])
def test_lacking_or_absurd_measurements(values: dict[str, Any], error: type[MiddlerunError], words: str) -> None:
    with pytest.raises(error, match=words):
        new_still(Measurements(**{**BATH, **values}))


def test_safety_devices_are_never_assumed() -> None:
    bare = {key: value for key, value in BATH.items() if key not in ("vent", "vacuum_breaker", "relief_gauge")}
    still, _ = new_still(Measurements(**bare))
    refused = {f.where for f in check_still(still) if f.level == "refused"}
    assert {"heating: vent", "heating: relief_gauge", "heating: vacuum_breaker"} <= refused
    refuse_if_unsound(new_still(Measurements(**BATH))[0])


@pytest.mark.parametrize("name", library_names())
def test_rough_measurements_of_a_library_still_give_a_sound_one(name: str) -> None:
    """Litres, plates, kilowatts, lagging from 300 L up: the result is sound, its guesses are near the library's."""
    known = library_still(name)
    heating, column = known.heating, known.column
    measured = Measurements(
        name=known.name,
        pot_volume=known.pot.volume,
        metal=known.pot.metal,
        insulated=known.pot.volume >= 0.3,
        heating_kind=heating.kind,
        power=heating.power,
        relief_gauge=heating.relief_gauge,
        vent=heating.vent,
        vacuum_breaker=heating.vacuum_breaker,
        plates=0 if column is None else len(column.plates),
        plate_type="bubble-cap" if column is None else column.plates[0].type,
        column_diameter=None if column is None else column.diameter,
    )
    still, values = new_still(measured)
    assert [f for f in check_still(still) if f.level == "refused"] == []
    assert [f.where for f in check_still(still) if f.level == "unlikely"] == []
    found = derived_of(values)
    for key, value in (("pot.metal_mass", known.pot.metal_mass), ("heating.conductance", heating.conductance)):
        assert 0.7 * found[key].low <= value <= 1.5 * found[key].high, key
    assert read_still(still_toml(still, values), "new.toml") == still


@given(described(Measurements))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_measurements_give_a_still_or_words(measured: Measurements) -> None:
    try:
        still, values = new_still(measured)
    except MiddlerunError as error:
        assert len(str(error)) > 20
        return
    assert read_still(still_toml(still, values), "new.toml") == still
    for item in values:
        assert item.low <= item.value <= item.high
        assert item.how


def test_file_says_what_was_derived() -> None:
    still, values = new_still(Measurements(**BATH))
    text = still_toml(still, values)
    for item in values:
        if item.key != "column.plates.efficiency":
            assert item.how in text
    assert "# derived, 0.24 to 0.8: " in text
    assert "e+0" not in text
    expert = [
        line for line in text.splitlines() if line.startswith(("weir_time", "drain_time", "cold_share", "coefficient"))
    ]
    assert expert == []  # left out unless derived


def test_measurements_ask_in_words() -> None:
    for field in dataclasses.fields(Measurements):
        assert field.metadata["middlerun"].doc.endswith(".")
