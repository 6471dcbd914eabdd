"""Every series and total has a label and a kind of reading whose unit is the nomenclature's."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from middlerun.plan import Run
from middlerun.report.names import PLATE_SERIES, SERIES, TOTALS, Named, plate_count, series_named
from middlerun.report.show import SHOWN, number, quantity, scaled

NOMENCLATURE = Path(__file__).parents[2] / "docs" / "nomenclature.md"
_ROW = re.compile(r"^\| (`[^|]+`) \| ([^|]*) \|", re.MULTILINE)


def _listed(heading: str) -> dict[str, str]:
    """Names and units of one table of the nomenclature."""
    part = NOMENCLATURE.read_text(encoding="utf-8").split(f"## {heading}")[1].split("\n## ")[0]
    return {name: unit.strip() for names, unit in _ROW.findall(part) for name in re.findall(r"`([^`]+)`", names)}


def _unit(named: Named) -> str:
    return SHOWN[named.kind].si.replace("m3", "m³")


def test_series_are_those_of_the_nomenclature_with_its_units() -> None:
    listed = _listed("Series of a run")
    own = {**SERIES, **{f"plate_k_{part}": named for part, named in PLATE_SERIES.items()}}
    assert set(own) == set(listed)
    for name, unit in listed.items():
        assert _unit(own[name]) == (unit or "1"), name


def test_totals_are_those_of_the_nomenclature_with_its_units() -> None:
    listed = _listed("Totals of a run")
    assert set(TOTALS) == set(listed)
    for name, unit in listed.items():
        assert _unit(TOTALS[name]) == ("1" if unit == "currency" else unit), name


def test_a_run_has_no_series_and_no_total_without_a_name(any_run: Run) -> None:
    for name in any_run.series:
        assert name in SERIES or re.fullmatch(rf"plate_\d_({'|'.join(PLATE_SERIES)})", name)
    assert set(any_run.totals) <= set(TOTALS)


def test_plates_are_counted_from_the_names(demo: Run, pot_still: Run, eight_plates: Run) -> None:
    assert [plate_count(run.series) for run in (demo, pot_still, eight_plates)] == [4, 0, 8]
    assert series_named("plate_8_weep").label.startswith("plate 8")


@pytest.mark.parametrize(
    ("value", "kind", "shown"),
    [
        # Definitions: 0 Cel = 273.15 K; 1 L = 1e-3 m3; 1 kW.h = 3.6e6 J (BIPM SI brochure, Tables 4 and 8)
        (273.15, "temperature", "0.0 °C"),
        (273.05, "temperature", "−0.1 °C"),
        (273.149, "temperature", "0.0 °C"),
        (0.8412, "strength", "84.1 % vol"),
        (1e-3 / 600, "product rate", "1.00 L/10 min"),
        (1e-3 / 36, "water flow", "100 L/h"),
        (5e4, "gauge", "0.50 bar"),
        (7.2e6, "heat", "2.00 kWh"),
        (float("nan"), "heat", "–"),
    ],
)
def test_a_reading_is_written_with_its_unit(value: float, kind: str, shown: str) -> None:
    assert quantity(value, kind) == shown


def test_scaling_agrees_with_writing() -> None:
    for kind in SHOWN:
        value = 300.0 if kind == "temperature" else 0.37
        assert number(value, kind, 6).replace("−", "-") == f"{float(scaled(value, kind)):.6f}"
