"""What a check of a still must find, one slip at a time, and what it must leave alone."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import pytest

from middlerun.errors import PlanError
from middlerun.still import Instrument, Still, check_still, library_names, library_still, refuse_if_unsound
from middlerun.still.check_tags import FIRST_LETTERS, is_tag, letters_for
from middlerun.still.description import READINGS
from middlerun.substances import vapour_pressure_water

BATH = library_still("bain-marie-100-3-plates")
STEAM = library_still("steam-jacket-300-2-plates")
SIEVE = library_still("electric-200-4-sieve-plates")


def changed(still: Still, part: str, **values: Any) -> Still:
    return dataclasses.replace(still, **{part: dataclasses.replace(getattr(still, part), **values)})


def with_plates(still: Still, count: int | None = None, **values: Any) -> Still:
    assert still.column is not None
    plates = tuple(dataclasses.replace(plate, **values) for plate in still.column.plates)
    return changed(still, "column", plates=plates if count is None else plates[:1] * count)


REFUSED = [
    ("working maximum over the brim", changed(BATH, "pot", working_max=0.12), "pot: working_max", "froth"),
    ("least charge over the most", changed(BATH, "pot", working_min=0.095), "pot: working_min", "not below"),
    ("no vent", changed(BATH, "heating", vent=False), "heating: vent", "1.3 bar gauge at 100 Cel"),
    ("no relief", changed(BATH, "heating", relief_gauge=None), "heating: relief_gauge", "licensed installer"),
    ("no vacuum breaker", changed(BATH, "heating", vacuum_breaker=False), "heating: vacuum_breaker", "collapses"),
    ("steam without relief", changed(STEAM, "heating", relief_gauge=None), "heating: relief_gauge", "steam-jacket"),
    ("steam over relief", changed(STEAM, "heating", steam_gauge=6e4), "heating: steam_gauge", "blow all the time"),
    ("bath without water", changed(BATH, "heating", jacket_water=None), "heating: jacket_water", "kilograms"),
    ("too little water", changed(BATH, "heating", jacket_water_min=30.0), "heating: jacket_water_min", "cover"),
    ("step over power", changed(BATH, "heating", steps=(4e3, 20e3)), "heating: steps", "20 kW"),
    ("negative power", changed(BATH, "heating", power=-1.0), "heating: power", "outside 0.2 kW to 500 kW"),
    ("no number", changed(BATH, "heating", conductance=math.nan), "heating: conductance", "outside"),
    ("unknown metal", changed(BATH, "pot", metal="tin"), "pot: metal", "copper, stainless"),
    ("level below lowest", with_plates(BATH, level=1e-4), "column: plates 1 to 3: level", "order"),
    (
        "plate taller than its space",
        with_plates(BATH, level=4e-3, level_max=5e-3),
        "column: plates 1 to 3: level",
        "high",
    ),
    ("holes larger than the plate", with_plates(BATH, hole_area=0.05), "column: plates 1 to 3: hole_area", "fit"),
    ("unknown plate type", with_plates(BATH, type="seive"), "column: plates 1: type", 'Did you mean "sieve"'),
    ("nine plates", with_plates(BATH, 9), "column: plates", "up to 8"),
    ("two exchanger sizes", changed(BATH, "condenser", conductance=500.0), "condenser: conductance", "Both"),
    ("no condenser", changed(BATH, "condenser", area=None), "condenser", "nothing would condense"),
    ("flows the wrong way round", changed(BATH, "dephlegmator", water_min=2e-4), "dephlegmator: water_min", "above"),
    ("dephlegmator without water", changed(BATH, "dephlegmator", water_max=0.0), "dephlegmator: water_max", "no water"),
    ("water without dephlegmator", changed(BATH, "dephlegmator", area=None), "dephlegmator: conductance", "surface"),
    ("a tag twice", dataclasses.replace(BATH, instruments=BATH.instruments[:1] * 2), "instruments", "its own number"),
    ("no name", dataclasses.replace(BATH, name=" "), "name", "no name"),
]


@pytest.mark.parametrize(("still", "where", "words"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_refused(still: Still, where: str, words: str) -> None:
    found = [f for f in check_still(still) if f.where == where and f.level == "refused"]
    assert len(found) == 1
    assert words in found[0].text
    with pytest.raises(PlanError, match="can't be used as described"):
        refuse_if_unsound(still)


LONG = Instrument(tag="boiler", reads="pot temperature")
WRONG = Instrument(tag="PI-1", reads="pot temperature")
UNLIKELY = [
    ("no room for froth", changed(BATH, "pot", working_max=0.099), "pot: working_max", "60 to 75"),
    ("feather-light pot", changed(BATH, "pot", metal_mass=2.0), "pot: metal_mass", "far from"),
    ("relief over the boundary", changed(BATH, "heating", relief_gauge=9e4), "heating: relief_gauge", "2014/68/EU"),
    ("relief too small", changed(BATH, "heating", relief_conductance=5e3), "heating: relief_conductance", "4126-1"),
    ("a step twice", changed(BATH, "heating", steps=(4e3, 4e3, 12e3)), "heating: steps", "twice"),
    (
        "full power not in the steps",
        changed(BATH, "heating", steps=(4e3,), fine_control=False),
        "heating: steps",
        "full",
    ),
    ("on or off", changed(BATH, "heating", steps=(), fine_control=False), "heating: fine_control", "on or off"),
    ("too weak", changed(BATH, "heating", power=2e3, steps=()), "heating: power", "usual are 20 to 150 min"),
    ("far too weak", changed(BATH, "heating", power=250.0, steps=()), "heating: power", "never brings"),
    ("too strong", changed(SIEVE, "heating", power=90e3, steps=()), "heating: power", "min; usual are"),
    ("heat can't get through", changed(BATH, "heating", conductance=150.0), "heating: conductance", "less than half"),
    (
        "agitation that harms",
        changed(BATH, "heating", cold_share_agitated=0.3),
        "heating: cold_share_agitated",
        "worse",
    ),
    ("jacket key on a fire", changed(SIEVE, "heating", relief_gauge=4e4), "heating: relief_gauge", "no jacket"),
    (
        "floods",
        changed(with_plates(SIEVE, level=1e-5, level_min=1e-6), "column", diameter=0.09),
        "column: plates 1 to 4",
        "of flooding",
    ),
    ("weeps at full power", with_plates(SIEVE, hole_area=3e-3), "column: plates 1 to 4", "does not reach"),
    ("weeps at half power", with_plates(SIEVE, hole_area=8e-4), "column: plates 1 to 4", "more than half"),
    ("a puddle", with_plates(BATH, level=3e-5, level_min=1e-5), "column: plates 1 to 3: level", "10 to 80 mm"),
    ("few holes", with_plates(BATH, hole_area=5e-5), "column: plates 1 to 3: hole_area", "1 to 15"),
    ("small condenser", changed(BATH, "condenser", area=0.1), "condenser", "fire hazard"),
    ("small dephlegmator", changed(BATH, "dephlegmator", area=0.05), "dephlegmator", "total reflux"),
    ("plates without reflux", changed(BATH, "dephlegmator", area=None, water_max=0.0), "dephlegmator", "walls"),
    ("no tag", dataclasses.replace(BATH, instruments=(LONG,)), "instruments 1: tag", '"TI-101"'),
    ("wrong letter", dataclasses.replace(BATH, instruments=(WRONG,)), "instruments 1: tag", "letter of pressure"),
    (
        "reads what is not there",
        dataclasses.replace(SIEVE, instruments=(BATH.instruments[3],)),
        "instruments 1: reads",
        "no jacket",
    ),
]


@pytest.mark.parametrize(("still", "where", "words"), [u[1:] for u in UNLIKELY], ids=[u[0] for u in UNLIKELY])
def test_unlikely(still: Still, where: str, words: str) -> None:
    found = [f for f in check_still(still) if f.where == where and words in f.text]
    assert [f.level for f in found] == ["unlikely"]


def test_one_word_about_one_value() -> None:
    """Where a check explains a value, the bare usual range is not repeated."""
    places = [f.where for f in check_still(changed(BATH, "heating", relief_gauge=9e4)) if "relief_gauge" in f.where]
    assert places == ["heating: relief_gauge"]


def test_gravest_first() -> None:
    still = changed(changed(BATH, "pot", working_max=0.12), "condenser", area=0.1)
    levels = [f.level for f in check_still(still)]
    assert levels == sorted(levels, key=("refused", "unlikely", "note").index)
    assert {"refused", "unlikely"} <= set(levels)


def test_all_refusals_come_in_one_paragraph() -> None:
    still = changed(BATH, "heating", vent=False, vacuum_breaker=False)
    with pytest.raises(PlanError) as caught:
        refuse_if_unsound(still)
    message = str(caught.value)
    assert "vent" in message and "vacuum breaker" in message and "\n" not in message
    assert message.count("licensed installer") == 1


@pytest.mark.parametrize(("celsius", "bar"), [(80.0, 0.7), (100.0, 1.3)])
def test_what_is_said_of_a_shut_jacket_is_true(celsius: float, bar: float) -> None:
    """Air shut in at 15 Cel and 101.325 kPa, warmed at constant volume, and the steam above its water."""
    air = (101325.0 - float(vapour_pressure_water(288.15))) * (celsius + 273.15) / 288.15
    gauge = air + float(vapour_pressure_water(celsius + 273.15)) - 101325.0
    assert gauge / 1e5 == pytest.approx(bar, abs=0.05)


@pytest.mark.parametrize("name", library_names())
def test_every_hard_limit_is_watched(name: str) -> None:
    still = library_still(name)
    for part in ("pot", "heating", "condenser", "dephlegmator", "parrot", "control"):
        for field in dataclasses.fields(getattr(still, part)):
            if isinstance(getattr(getattr(still, part), field.name), float):
                bad = changed(still, part, **{field.name: -1.0})
                assert (f"{part}: {field.name}", "refused") in [(f.where, f.level) for f in check_still(bad)]


def test_tags() -> None:
    """Letters as ANSI/ISA-5.1 lists them (public summaries)."""
    for good in ("TI-101", "TIC-102", "PDI-7", "FQI-3", "PSV-12", "LSH-4A", "AI108", "TAHH-9"):
        assert is_tag(good), good
    for bad in ("", "101", "TI", "ti-101", "XX-1", "TI 101", "boiler temp", "T-1", "TI-101-"):
        assert not is_tag(bad), bad
    for reads in READINGS:
        assert set(letters_for(reads)) <= {*FIRST_LETTERS, "D"}
