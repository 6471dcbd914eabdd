"""Tables say what the run says, in every kind of run."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest

from middlerun.plan import Run
from middlerun.report import Table, fractions, jars, phases, receivers, summary, time_line, totals, warnings
from middlerun.report.phase_words import ends, settings
from middlerun.report.sheet_tables import line_times, time_at_volume
from middlerun.report.table import at, at_end


def _all(run: Run) -> list[Table]:
    return [*summary(run), time_line(run), receivers(run), jars(run)]


def test_every_row_has_one_text_a_column(any_run: Run) -> None:
    for table in _all(any_run):
        keys = [column.key for column in table.columns]
        assert len(set(keys)) == len(keys)
        for row in table.rows:
            assert len(row) == len(keys), table.key
            assert all(isinstance(cell, str) for cell in row)
            assert "nan" not in " ".join(row).lower().split()


def test_columns_for_the_pen_are_empty(any_run: Run) -> None:
    for table in _all(any_run):
        for place, column in enumerate(table.columns):
            if column.blank:
                assert not any(row[place] for row in table.rows)


def test_phases_follow_each_other(any_run: Run) -> None:
    rows = phases(any_run).rows
    assert [row[0] for row in rows] == [phase.name for phase in any_run.phases]
    assert rows[0][2] == "0:00"


def test_the_end_of_a_phase_is_read_inside_it(demo: Run) -> None:
    for index, phase in enumerate(demo.phases):
        inside = demo.series["phase_index"] == index
        last = demo.series["pot_temperature_shown"][inside][-1]
        assert at_end(demo, index, "pot_temperature_shown") == last
        assert phase.start <= demo.series["time"][inside][-1] <= phase.end + 1e-6


def test_fractions_add_up_to_all(demo: Run) -> None:
    """Pure alcohol adds up; volumes shrink when mixed, by 3.6 % at most (OIML R 22 at 20 Cel, near 54 % vol)."""
    rows = fractions(demo).rows
    assert rows[-1][0] == "all, mixed"
    half_digits = 0.005 * len(rows)  # each printed number is off by half its last digit at most
    assert float(rows[-1][3]) == pytest.approx(sum(float(row[3]) for row in rows[:-1]), abs=half_digits)
    parts, mixed = sum(float(row[1]) for row in rows[:-1]), float(rows[-1][1])
    assert parts * (1 - 0.036) - half_digits <= mixed <= parts + half_digits


def test_fractions_print_the_runs_numbers(demo: Run) -> None:
    for row, fraction in zip(fractions(demo).rows, demo.fractions, strict=False):
        assert row[0] == fraction.name
        assert float(row[1]) == pytest.approx(fraction.volume * 1e3, abs=0.0051)
        assert float(row[2]) == pytest.approx(fraction.strength * 100, abs=0.051)


def test_a_run_without_product_says_so_in_dashes(no_product: Run) -> None:
    said = dict(totals(no_product).rows)
    assert said["First product"] == "–"
    assert fractions(no_product).rows == ()
    assert jars(no_product).rows == ()
    assert at(no_product, "no_such_series", 10.0) != at(no_product, "no_such_series", 10.0)


def test_the_time_line_covers_the_run_and_names_every_phase(any_run: Run) -> None:
    table = time_line(any_run)
    headings = [table.rows[index][0] for index in table.headings]
    assert len(headings) == len(any_run.phases)
    for heading, phase in zip(headings, any_run.phases, strict=True):
        assert phase.name in heading
    times = line_times(any_run)
    assert np.all(np.diff(times) == times[0])
    assert times[0] in (600.0, 900.0, 1200.0, 1800.0, 3600.0)
    assert any_run.series["time"][-1] - times[-1] < times[0]


def test_jars_lie_in_order_and_inside_what_is_collected(demo: Run) -> None:
    rows = jars(demo).rows
    assert len(rows) >= 5
    edges = [(float(row[2]), float(row[3])) for row in rows]
    assert all(low < high for low, high in edges)
    assert all(before[1] <= after[0] + 0.011 for before, after in itertools.pairwise(edges))
    assert edges[-1][1] <= demo.totals["collected_volume"] * 1e3 + 0.01


def test_the_time_of_a_volume_gives_the_volume_back(demo: Run) -> None:
    for share in (0.01, 0.2, 0.5, 0.99):
        volume = share * demo.totals["collected_volume"]
        time = time_at_volume(demo, volume)
        assert at(demo, "collected_volume", time) == pytest.approx(volume, rel=1e-9)
    assert np.isnan(time_at_volume(demo, 2 * demo.totals["collected_volume"]))


def test_only_what_changes_is_set(demo: Run) -> None:
    hands = settings(demo.plan)
    assert len(hands) == len(demo.plan.procedure.phases)
    assert any(line.startswith("heater") for line in hands[0])
    assert any("weirs" in line for line in hands[0])
    for before, now in itertools.pairwise(hands):
        heater = [line for line in now if line.startswith("heater")]
        assert not heater or heater != [line for line in before if line.startswith("heater")]


def test_the_condition_that_is_expected_leads(demo: Run) -> None:
    for phase, result in zip(demo.plan.procedure.phases, demo.phases, strict=True):
        lines = ends(phase, result)
        given = [key.name for key in dataclasses.fields(phase.ends) if getattr(phase.ends, key.name) is not None]
        assert len(lines) == len(given)
        if result.ended_by in given and len(given) > 1:
            alone = dataclasses.replace(phase.ends, **{key: None for key in given if key != result.ended_by})
            assert ends(dataclasses.replace(phase, ends=alone)) == lines[:1]


def test_warnings_carry_a_remedy(demo: Run) -> None:
    table = warnings(demo)
    assert len(table.rows) == len(demo.warnings)
    for row in table.rows:
        assert row[0] in ("high", "medium", "low")
        assert row[2] and row[3]
    calm = warnings(dataclasses.replace(demo, warnings=()))
    assert not calm.rows and calm.note
