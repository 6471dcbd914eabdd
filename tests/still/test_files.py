"""Files: whatever is written reads back; whatever is wrong is said with its place and its remedy."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from middlerun.errors import (
    FormatVersionError,
    InputFileError,
    MiddlerunError,
    MissingKeyError,
    OutOfRangeError,
    UnitError,
    UnknownKeyError,
)
from middlerun.still import Still, check_still, draw_still, library_text, load_still, read_still, still_toml
from middlerun.still.write import write_quantity
from middlerun.units import KINDS, parse_quantity
from tests.still.strategies import stills

GOOD = library_text("bain-marie-100-3-plates")
SLOW = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@given(stills())
@SLOW
def test_any_still_is_written_and_read_back(still: Still) -> None:
    assert read_still(still_toml(still), "still.toml") == still


@given(stills())
@SLOW
def test_any_still_is_checked_and_drawn(still: Still) -> None:
    for finding in check_still(still):
        assert finding.level in ("refused", "unlikely", "note")
        assert finding.where and finding.text.endswith((".", "?"))
    assert draw_still(still).endswith("</svg>")


@given(st.sampled_from(sorted(k for k in KINDS if KINDS[k].si in KINDS[k].units)), st.floats(1e-9, 1e9))
@settings(deadline=None)
def test_any_quantity_reads_back_to_the_same_float(kind: str, value: float) -> None:
    assert parse_quantity(write_quantity(value, kind), kind) == value


@given(st.integers(0, len(GOOD) - 1))
@settings(deadline=None, max_examples=60)
def test_a_file_cut_off_anywhere_is_read_or_refused_in_words(length: int) -> None:
    try:
        read_still(GOOD[:length], "still.toml")
    except MiddlerunError as error:
        assert "still.toml" in str(error)


@given(st.text(max_size=200))
@settings(deadline=None)
def test_any_text_is_refused_in_words(content: str) -> None:
    with pytest.raises(InputFileError):
        read_still(content, "still.toml")


BAD = [
    (
        "unknown key",
        "power =",
        "powr =",
        UnknownKeyError,
        r'heating has the unknown key "powr". Did you mean "power"\?',
    ),
    ("unknown table", "[parrot]", "[parot]", UnknownKeyError, 'Did you mean "parrot"'),
    ("unknown word", '"bain-marie"', '"bain-mari"', UnknownKeyError, 'Did you mean "bain-marie"'),
    ("no unit", '"12 kW"\nsteps', '"12"\nsteps', UnitError, "heating: power is '12': the unit is missing"),
    ("bare number", '"12 kW"\nsteps', "12\nsteps", UnitError, "heating: power is 12: a power is written as text"),
    ("wrong unit", '"12 kW"\nsteps', '"12 kg"\nsteps', UnitError, "'kg' is not a unit of power"),
    ("negative", '"12 kW"\nsteps', '"-12 kW"\nsteps', OutOfRangeError, "heating: power is -12 kW, outside 0.2 kW"),
    ("absurd", '"12 kW"\nsteps', '"12 MW"\nsteps', OutOfRangeError, "12 MW, outside 0.2 kW to 500 kW"),
    ("beyond numbers", '"12 kW"\nsteps', '"1e999 kW"\nsteps', UnitError, "too large"),
    ("word for a number", '"12 kW"\nsteps', '"much kW"\nsteps', UnitError, "no number can be read"),
    ("missing key", 'volume = "100 L"\n', "", MissingKeyError, 'pot lacks the key "volume".*brim to drain'),
    ("missing table", "[condenser]", "[control]", MissingKeyError, 'lacks the key "condenser"'),
    ("flag as text", "vent = true", 'vent = "yes"', InputFileError, "heating: vent is 'yes': true or false"),
    ("text for a list", 'steps = ["0 kW", "4 kW", "8 kW", "12 kW"]', 'steps = "4 kW"', InputFileError, "list"),
    ("one plate as a table", "[[column.plates]]", "[column.plates]", InputFileError, "TOML"),
    ("no quotation mark", 'metal = "copper"', "metal = copper", InputFileError, "line 10.*quotation"),
    ("newer format", "still/1", "still/2", FormatVersionError, "newer than this program.*Update Middlerun"),
    ("another format", "middlerun-still/1", "middlerun-plan/1", FormatVersionError, '"middlerun-still/1" is expected'),
    ("no version", "middlerun-still/1", "middlerun-still", FormatVersionError, "expected"),
    ("version without end", "still/1", "still/" + "9" * 5000, FormatVersionError, "newer"),
    ("no format", 'format = "middlerun-still/1"\n', "", MissingKeyError, 'write format = "middlerun-still/1"'),
]


@pytest.mark.parametrize(("old", "new", "error", "words"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_bad_file(old: str, new: str, error: type[MiddlerunError], words: str) -> None:
    assert old in GOOD
    with pytest.raises(error, match=words) as caught:
        read_still(GOOD.replace(old, new, 1) if old != "[[column.plates]]" else GOOD.replace(old, new), "still.toml")
    assert "still.toml" in str(caught.value)


@pytest.mark.parametrize("digits", [400, 5000])
def test_a_number_without_end(digits: int) -> None:
    with pytest.raises(InputFileError, match=r"still\.toml"):
        read_still(f"{GOOD}\n[control]\ngain = {'9' * digits}\n", "still.toml")


def test_files_that_are_none(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="is a folder"):
        load_still(tmp_path)
    (tmp_path / "empty.toml").write_text("")
    with pytest.raises(InputFileError, match="is empty"):
        load_still(tmp_path / "empty.toml")
    (tmp_path / "picture.toml").write_bytes(b"\x89PNG\xff\xfe")
    with pytest.raises(InputFileError, match="not a text file"):
        load_still(tmp_path / "picture.toml")
    with pytest.raises(InputFileError, match="not a path"):
        load_still("a\0b.toml")
    (tmp_path / "large.toml").write_text("#" * 1_000_001)
    with pytest.raises(InputFileError, match="at most 1000000"):
        load_still(tmp_path / "large.toml")


def test_byte_order_mark_and_decimal_comma(tmp_path: Path) -> None:
    """What some editors write, and what most of Europe types."""
    path = tmp_path / "still.toml"
    path.write_text("\ufeff" + GOOD.replace('"0.3 L"', '"0,3 L"'), encoding="utf-8")
    assert load_still(path) == read_still(GOOD, "good")
