"""The run document: strict JSON, as its schema says, with the run's numbers, quickly written."""

from __future__ import annotations

import dataclasses
import json
import time
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest

from middlerun.plan import Run
from middlerun.report import run_document, write_json
from middlerun.report.document import document_text, plain
from middlerun.report.reference import run_json_page, run_schema, series_table

DOCS = Path(__file__).parents[2] / "docs" / "reference"


def _no_constant(name: str) -> None:
    raise AssertionError(f"{name} is not JSON (RFC 8259, section 6)")


def _read(text: str) -> Any:
    return json.loads(text, parse_constant=_no_constant)


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(run_schema())


def test_a_document_is_as_its_schema_says(any_run: Run) -> None:
    document = _read(document_text(run_document(any_run)))
    jsonschema.Draft202012Validator(run_schema()).validate(document)


@pytest.mark.parametrize("spoil", ["format", "series", "phases", "surplus", "strength"])
def test_a_spoiled_document_is_refused(demo: Run, spoil: str) -> None:
    document = _read(document_text(run_document(demo)))
    if spoil == "format":
        document["format"] = "middlerun-run/2"
    elif spoil == "series":
        document["series"]["product_rate"][3] = "much"
    elif spoil == "phases":
        del document["phases"][0]["ended_by"]
    elif spoil == "surplus":
        document["extra"] = 1
    else:
        document["fractions"][0]["strength"] = 84.0  # per cent where a fraction of one is meant
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(run_schema()).validate(document)


def test_numbers_come_back_to_seven_digits(any_run: Run) -> None:
    document = _read(document_text(run_document(any_run)))
    assert set(document["series"]) == set(any_run.series) == set(document["series_units"])
    for name, values in any_run.series.items():
        back = np.array([np.nan if value is None else value for value in document["series"][name]])
        assert np.array_equal(np.isnan(back), ~np.isfinite(values)), name
        np.testing.assert_allclose(back, values, rtol=5.1e-7, atol=6e-5 if name == "time" else 0.0, err_msg=name)
    for name, value in any_run.totals.items():
        found = document["totals"][name]
        assert found is None if np.isnan(value) else found == pytest.approx(value, rel=1e-8)
    assert [phase["name"] for phase in document["phases"]] == [phase.name for phase in any_run.phases]


def test_units_are_si(demo: Run) -> None:
    units = run_document(demo)["series_units"]
    assert units["pot_temperature"] == "K"
    assert units["product_strength"] == "1"
    assert units["jacket_gauge"] == "Pa"
    assert units["condenser_water_flow"] == "m3/s"


def test_rounding_is_to_significant_digits_whatever_the_size() -> None:
    values = np.array([0.0, 1.23456789e-12, -9.87654321e-5, 373.123456789, 1.0123456789e9, np.nan, -np.inf])
    expected = [0.0, 1.234568e-12, -9.876543e-5, 373.1235, 1.012346e9, None, None]
    assert plain(values) == expected


def test_what_is_not_json_becomes_so() -> None:
    given = {"a": (np.int64(3), np.float64("nan")), "b": Path("x"), "c": np.bool_(True), 4: None}
    assert plain(given) == {"a": [3, None], "b": "x", "c": True, "4": None}


def test_warnings_come_with_their_words(demo: Run) -> None:
    for warning, said in zip(demo.warnings, run_document(demo)["warnings"], strict=True):
        assert said["code"] == warning.code
        assert said["title"] and said["text"] and said["remedy"]


def test_it_is_written_fast_enough(eight_plates: Run) -> None:
    """A run of 1,600 lines and some 110 series; the aim is 0.3 s on one core of an ordinary machine."""
    names = list(eight_plates.series)
    line = np.linspace(0.0, 1.0, 1600)
    series = {
        name: np.interp(line, np.linspace(0.0, 1.0, len(eight_plates.series[name])), eight_plates.series[name])
        for name in names
    }
    run = dataclasses.replace(eight_plates, series=series)
    took = []
    for _ in range(3):
        start = time.process_time()
        document_text(run_document(run))
        took.append(time.process_time() - start)
    assert min(took) < 0.3


def test_the_file_is_the_document(demo: Run, tmp_path: Path) -> None:
    path = tmp_path / "run.json"
    write_json(demo, path)
    assert _read(path.read_text(encoding="utf-8")) == _read(document_text(run_document(demo)))


def test_the_pages_describe_what_is_written() -> None:
    assert (DOCS / "run-json.md").read_text(encoding="utf-8") == run_json_page()
    assert (DOCS / "outputs.md").read_text(encoding="utf-8").endswith(series_table())
