"""Every still and every plate type on disk: sound, marked, resolved, written and read again."""

from __future__ import annotations

import dataclasses
import math
import re
from pathlib import Path

import pytest

from middlerun.errors import InputFileError, UnknownNameError
from middlerun.still import (
    check_still,
    find_still,
    library_names,
    library_still,
    library_text,
    load_still,
    plate_type,
    plate_type_names,
    read_still,
    refuse_if_unsound,
    resolve,
    still_toml,
)

STILLS = library_names()


def test_library_spans_the_craft_sizes() -> None:
    volumes = [library_still(name).pot.volume for name in STILLS]
    assert len(STILLS) >= 7
    assert min(volumes) <= 0.03 and max(volumes) >= 1.0
    assert {library_still(name).heating.kind for name in STILLS} == {"bain-marie", "steam-jacket", "electric", "fire"}
    counts = {0 if s.column is None else len(s.column.plates) for s in map(library_still, STILLS)}
    assert {0, 2, 3, 4, 8} <= counts


@pytest.mark.parametrize("name", STILLS)
def test_still_is_invented_and_sound(name: str) -> None:
    still = library_still(name)
    assert still.invented and still.note
    assert [f for f in check_still(still) if f.level != "note"] == []
    refuse_if_unsound(still)


@pytest.mark.parametrize("name", STILLS)
def test_name_of_the_file_tells_the_litres(name: str) -> None:
    litres = int(re.findall(r"\d+", name)[0])
    assert library_still(name).pot.volume == pytest.approx(litres / 1e3)
    assert library_text(name).startswith('format = "middlerun-still/1"\n')


@pytest.mark.parametrize("name", STILLS)
def test_numbers_leave_nothing_open(name: str) -> None:
    still = library_still(name)
    numbers = resolve(still)
    may_be_nan = {"control_gain"} | (set() if still.heating.kind == "steam-jacket" else {"steam_gauge"})
    for key, value in vars(numbers).items():
        assert value is not None
        if isinstance(value, float) and key not in may_be_nan:
            assert not math.isnan(value), key
            assert value >= 0.0, key
    assert math.isfinite(numbers.relief_gauge) == numbers.has_jacket
    assert numbers.jacket_heat_capacity >= 500.0
    for plate in numbers.plates:
        assert 0.0 < plate.level_min <= plate.level <= plate.level_max
        assert 0.0 < plate.hole_area < plate.active_area
        assert 0.0 < plate.efficiency <= 1.0
        assert min(plate.weir_time, plate.leak_time, plate.heat_capacity, plate.heat_loss, plate.discharge) > 0.0


@pytest.mark.parametrize("name", STILLS)
def test_written_file_reads_back_to_the_same_still(name: str, tmp_path: Path) -> None:
    still = library_still(name)
    path = tmp_path / "copy.toml"
    path.write_text(still_toml(still), encoding="utf-8")
    assert load_still(path) == still


@pytest.mark.parametrize("name", plate_type_names())
def test_plate_type_carries_its_sources(name: str) -> None:
    kind = plate_type(name)
    for field in dataclasses.fields(kind):
        entry = getattr(kind, field.name)
        if not isinstance(entry, str):
            assert entry.low <= entry.value <= entry.high
            assert len(entry.source) > 10
    assert kind.level_min.value < kind.level.value < kind.level_max.value


@pytest.mark.parametrize("name", plate_type_names())
def test_plate_type_serves_a_library_still(name: str) -> None:
    still = library_still("bain-marie-150-4-plates")
    assert still.column is not None
    plates = tuple(dataclasses.replace(plate, type=name, level=None) for plate in still.column.plates)
    changed = dataclasses.replace(still, column=dataclasses.replace(still.column, plates=plates))
    refuse_if_unsound(changed)
    leaks_only = plate_type(name).weep_constant.value == 0.0
    assert all((plate.weep_velocity == 0.0) == leaks_only for plate in resolve(changed).plates)


def test_find_still_by_name_and_by_path(tmp_path: Path) -> None:
    assert find_still(STILLS[0]) == library_still(STILLS[0])
    (tmp_path / "mine.toml").write_text(library_text("electric-pot-30"), encoding="utf-8")
    assert find_still("mine.toml", tmp_path).name == "Electric pot still, 30 L"
    assert find_still(tmp_path / "mine.toml").pot.volume == 0.03


def test_unknown_names_are_answered_with_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match='Did you mean "electric-pot-30"'):
        find_still("electric-pot-3")
    with pytest.raises(UnknownNameError, match='Did you mean "bubble-cap"'):
        plate_type("bubblecap")
    with pytest.raises(InputFileError, match="does not exist"):
        find_still("no-such-folder/still.toml")
    with pytest.raises(InputFileError, match="no name"):
        find_still("  ")


def test_library_text_is_what_is_loaded() -> None:
    assert read_still(library_text(STILLS[0]), "copy") == library_still(STILLS[0])
