"""Runs side by side: the numbers, their differences, the refused ones, and one picture."""

from __future__ import annotations

import dataclasses
from xml.etree import ElementTree

import pytest

from middlerun.plan import Run
from middlerun.plan.compare import Comparison, Row
from middlerun.report import comparison_picture, comparison_table, picture_bytes
from middlerun.report.chart import DASHES


@pytest.fixture
def three(demo: Run, eight_plates: Run) -> Comparison:
    """The plan, another still, and one that is refused."""
    return Comparison(
        plan=demo.plan,
        rows=(
            Row(settings={}, run=demo),
            Row(settings={"still": "eight plates"}, run=eight_plates),
            Row(settings={"heater": "900 kW"}, run=None, error="too much"),
        ),
    )


def test_numbers_differences_and_refusals(three: Comparison, demo: Run, eight_plates: Run) -> None:
    table = comparison_table(three)
    keys = [column.key for column in table.columns]
    assert all(len(row) == len(keys) for row in table.rows)
    heat = keys.index("heat_supplied")
    first, second = demo.totals["heat_supplied"] / 3.6e6, eight_plates.totals["heat_supplied"] / 3.6e6
    assert table.rows[0][heat] == f"{first:.2f}"
    difference = second - first
    expected = "=" if abs(difference) < 0.005 else f"{'+' if difference > 0 else '−'}{abs(difference):.2f}"
    assert table.rows[1][heat] == f"{second:.2f} ({expected})"
    assert table.rows[2][-1] == "too much" and keys[-1] == "error"
    assert table.rows[0][1] == "as planned" and table.rows[1][1] == "still eight plates"


def test_no_column_for_refusals_when_there_is_none(three: Comparison) -> None:
    table = comparison_table(dataclasses.replace(three, rows=three.rows[:2]))
    assert table.columns[-1].key != "error"
    assert all(len(row) == len(table.columns) for row in table.rows)


def test_the_picture_names_its_runs(three: Comparison) -> None:
    picture = comparison_picture(three)
    assert [curve.label for curve in picture.panels[0].curves] == ["1: as planned", "2: eight plates"]
    assert len({curve.dash for curve in picture.panels[0].curves}) == 2
    ElementTree.fromstring(picture_bytes(picture, "svg"))


def test_only_as_many_lines_as_can_be_told_apart(demo: Run) -> None:
    rows = tuple(Row(settings={"heater": f"{k} kW, and a rather long explanation"}, run=demo) for k in range(30))
    picture = comparison_picture(Comparison(plan=demo.plan, rows=rows))
    assert all(len(panel.curves) == len(DASHES) for panel in picture.panels)
    assert f"the first {len(DASHES)} of 30" in picture.title


def test_nothing_to_compare(demo: Run) -> None:
    nothing = Comparison(plan=demo.plan, rows=(Row(settings={}, run=None, error="no"),))
    assert comparison_picture(nothing).summary == "None of the settings gives a run."
    assert picture_bytes(comparison_picture(nothing), "png")
    assert comparison_table(nothing).rows[0][-1] == "no"
