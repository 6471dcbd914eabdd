"""Data files: each constant says where it comes from, and the loader refuses one that doesn't."""

from __future__ import annotations

from importlib import resources

import pytest

from middlerun.errors import FormatVersionError, InputFileError, MissingKeyError, UnknownKeyError
from middlerun.substances import load_constants
from middlerun.substances.constants import KEYS, read_constants

ENTRY = {
    "name": '"normal_pressure"',
    "value": "101325",
    "unit": '"Pa"',
    "source": '"10th CGPM (1954)"',
    "place": '"resolution 4"',
    "range": '"universal"',
    "uncertainty": '"exact"',
    "status": '"from memory (high)"',
}


def text(**changes: str | None) -> str:
    entry = {**ENTRY, **changes}
    lines = [f"{key} = {value}" for key, value in entry.items() if value is not None]
    return "\n".join(['format = "middlerun.constants/1"', "[[constant]]", *lines])


def packaged_files():
    return [
        pytest.param(file, id=f"{room}/{file.name}")
        for room in ("substances", "alcoholometry")
        for file in (resources.files(f"middlerun.{room}") / "data").iterdir()
        if file.name.endswith(".toml")
    ]


@pytest.mark.parametrize("file", packaged_files())
def test_every_packaged_constant_has_provenance(file):
    found = load_constants(file)
    assert found
    for constant in found.values():
        assert all(getattr(constant, key) not in (None, "", ()) for key in KEYS)


def test_full_entry_is_accepted():
    assert read_constants(text(), "example")["normal_pressure"].unit == "Pa"
    assert read_constants(text(value="[1, 2.5]"), "example")["normal_pressure"].value == (1.0, 2.5)


@pytest.mark.parametrize("key", KEYS)
def test_entry_without_one_key_is_refused(key):
    with pytest.raises(MissingKeyError, match=key):
        read_constants(text(**{key: None}), "example")


@pytest.mark.parametrize("key", ["unit", "source", "place", "status"])
def test_empty_provenance_is_refused(key):
    with pytest.raises(MissingKeyError, match=key):
        read_constants(text(**{key: '""'}), "example")


@pytest.mark.parametrize(
    ("content", "error"),
    [
        (text(status='"guessed"'), InputFileError),
        (text(value='"many"'), InputFileError),
        (text(value="true"), InputFileError),
        (text(colour='"red"'), UnknownKeyError),
        (text().replace("constants/1", "constants/9"), FormatVersionError),
        (text() + "\n" + text().split("\n", 1)[1], InputFileError),
        ('format = "middlerun.constants/1"', InputFileError),
        ("value = = 1", InputFileError),
    ],
)
def test_other_bad_files_are_refused(content, error):
    with pytest.raises(error):
        read_constants(content, "example")


def test_missing_file_is_named(tmp_path):
    with pytest.raises(InputFileError, match=r"nothing\.toml"):
        load_constants(tmp_path / "nothing.toml")
