"""JSON without words that JSON has not; files that appear whole or not at all."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.cli.output import folder_written_whole, json_text, write_whole
from middlerun.errors import InputFileError

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.tuples(inner, inner) | st.dictionaries(st.text(), inner),
)


@given(VALUES)
def test_every_document_is_strict_json_on_one_line(value) -> None:
    text = json_text({"value": value})
    assert text.endswith("\n")
    assert "\n" not in text[:-1]
    json.loads(text, parse_constant=_refuse)


def test_arrays_become_lists_and_what_is_not_finite_becomes_null() -> None:
    assert json.loads(json_text({"a": np.array([1.0, math.nan, math.inf])})) == {"a": [1.0, None, None]}


def test_folder_appears_when_all_is_written(tmp_path) -> None:
    target = tmp_path / "deep" / "out"
    with folder_written_whole(target) as partial:
        (partial / "a.txt").write_text("a", encoding="utf-8")
        assert not (target / "a.txt").exists()
    assert [path.name for path in target.iterdir()] == ["a.txt"]


@pytest.mark.parametrize("fault", [ValueError, KeyboardInterrupt])
def test_folder_is_not_there_when_something_failed(tmp_path, fault) -> None:
    with pytest.raises(fault), folder_written_whole(tmp_path / "deep" / "out") as partial:
        (partial / "a.txt").write_text("a", encoding="utf-8")
        raise fault
    assert list(tmp_path.iterdir()) == []


def test_folder_that_was_there_keeps_its_files(tmp_path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(ValueError, match="no"), folder_written_whole(tmp_path) as partial:
        (partial / "mine.txt").write_text("other", encoding="utf-8")
        raise ValueError("no")
    assert (tmp_path / "mine.txt").read_text(encoding="utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path) -> None:
    target = tmp_path / "out"
    target.write_text("x", encoding="utf-8")
    with pytest.raises(InputFileError, match="is a file"), folder_written_whole(target):
        pass
    with pytest.raises(InputFileError, match="can't be written"), folder_written_whole(target / "below"):
        pass


def test_a_file_is_written_in_one_step(tmp_path) -> None:
    path = tmp_path / "a.svg"
    write_whole(path, "first")
    with pytest.raises(InputFileError, match="already there"):
        write_whole(path, "second", overwrite=False)
    write_whole(path, "second")
    assert path.read_text(encoding="utf-8") == "second"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.svg"]


def _refuse(name: str) -> None:
    raise AssertionError(f"{name} is not JSON")
