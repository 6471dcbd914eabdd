"""Series as CSV: units that people read, and back again to SI."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from middlerun.errors import InputFileError
from middlerun.plan import Run
from middlerun.report import read_series, write_series
from middlerun.report.names import series_named
from middlerun.report.series_csv import csv_units
from middlerun.report.show import SHOWN


def test_there_and_back(any_run: Run, tmp_path: Path) -> None:
    path = tmp_path / "series.csv"
    write_series(any_run, path)
    back = read_series(path)
    assert list(back) == list(any_run.series)
    for name, values in any_run.series.items():
        half_a_digit = 0.5 * 10.0 ** -csv_units(name)[1] * SHOWN[series_named(name).kind].factor
        values = np.where(np.isfinite(values), values, np.nan)
        np.testing.assert_allclose(back[name], values, rtol=0, atol=half_a_digit * 1.001, err_msg=name)


def test_another_reader_sees_names_units_and_numbers(demo: Run, tmp_path: Path) -> None:
    path = tmp_path / "series.csv"
    write_series(demo, path)
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    names, units, first = rows[0], dict(zip(rows[0], rows[1], strict=True)), dict(zip(rows[0], rows[2], strict=True))
    assert names[0] == "time" and names[-1] == "phase"
    # UCUM codes: Cel, kW, L/h, %{vol} (The Unified Code for Units of Measure, tables of base and derived units)
    assert (units["pot_temperature"], units["heater_power"]) == ("Cel", "kW")
    assert (units["condenser_water_flow"], units["parrot_strength"]) == ("L/h", "%{vol}")
    assert float(first["pot_temperature"]) == pytest.approx(demo.series["pot_temperature"][0] - 273.15, abs=1e-3)
    assert first["phase"] == demo.phases[0].name
    assert len(rows) == len(demo.series["time"]) + 2
    assert first["fraction_strength"] == ""


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("", "0 lines"),
        ("time,pot_temperature\nmin,Cel\n1.0\n", "line 3"),
        ("time,pot_temperature\nmin,K\n1.0,2.0\n", '"Cel" is expected'),
        ("time,pot_temperature\nmin,Cel\n1.0,warm\n", "pot_temperature"),
    ],
)
def test_a_damaged_file_is_refused_by_place(tmp_path: Path, content: str, says: str) -> None:
    path = tmp_path / "series.csv"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(InputFileError, match=says):
        read_series(path)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match=r"none\.csv"):
        read_series(tmp_path / "none.csv")
