"""`middlerun compare`: one plan over a table of settings."""

from __future__ import annotations

import argparse
import csv
import dataclasses
import io
import math
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from middlerun.cli.guard import DONE, UsageError
from middlerun.cli.output import console, folder_written_whole, json_text, print_json
from middlerun.cli.predict import load
from middlerun.cli.waiting import Bar, preparing
from middlerun.errors import MiddlerunError
from middlerun.units import KINDS, from_si

if TYPE_CHECKING:
    from middlerun.plan.compare import Comparison
    from middlerun.report.table import Table

FORMAT = "middlerun-comparison/1"
_SHOWN = 24  # runs in the terminal's table; a longer one is read from a file
_SIDE_BY_SIDE = 4
_MANY = 200  # runs
_THINNED = 60.0  # s


def compare(arguments: argparse.Namespace) -> int:
    """Predict a plan under every setting; print the differences, and write them when a folder is given."""
    with preparing():
        plan = load(arguments.plan)
        from middlerun.plan import predict
        from middlerun.plan.compare import compare as compare_plans

        table = _settings(arguments)
        with suppress(MiddlerunError):  # the first run loads the model; what it says is told with the others
            predict(plan)
    if len(table) > _MANY:  # their series are kept until the end: a megabyte each at 10 s
        plan = dataclasses.replace(plan, report_every=max(plan.report_every, _THINNED))
    with Bar("Predicting") as bar:
        comparison = compare_plans(plan, table, bar, folder=Path(arguments.plan).parent)
    written = _write(comparison, Path(arguments.out)) if arguments.out else []
    if arguments.json:
        print_json(_document(comparison))
    else:
        _show(comparison)
        if written:
            print(f"Written to {arguments.out}: {', '.join(written)}.")
    return DONE


def _settings(arguments: argparse.Namespace) -> list[dict[str, str]]:
    """Return the plan as it is, then what each --set and --grid asks for."""
    from middlerun.plan.compare import grid

    asked = [*arguments.settings, *arguments.grids]
    if not asked:
        raise UsageError(
            'Say what to vary, for example --set "hold_head_strength=80 %{vol},84 %{vol}". '
            "Read on with: middlerun compare --help"
        )
    return [{}, *(row for text in asked for row in grid(text))]


def _document(comparison: Comparison) -> dict[str, Any]:
    from middlerun.plan.compare import COLUMNS

    rows = zip(comparison.rows, comparison.values(), comparison.differences(), strict=True)
    return {
        "format": FORMAT,
        "plan": comparison.plan.name,
        "units": {name: KINDS[kind].si if kind else _plain_unit(name) for name, kind in COLUMNS},
        "rows": [
            {
                "settings": dict(row.settings),
                "error": row.error or None,
                "values": values,
                "differences": differences,
                "warnings": [warning.code for warning in row.run.warnings] if row.run else [],
            }
            for row, values, differences in rows
        ],
    }


def _plain_unit(name: str) -> str:
    return "J/m3" if name == "energy_per_pure_alcohol" else "1"


def _csv(comparison: Comparison) -> str:
    """One line of names, one of UCUM units, then one line a run; an empty cell is "not there"."""
    from middlerun.plan.compare import COLUMNS

    keys = list(dict.fromkeys(key for row in comparison.rows for key in row.settings))
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow([*keys, *(name for name, _ in COLUMNS), "error"])
    units = [KINDS[kind].display if kind else _plain_unit(name) for name, kind in COLUMNS]
    writer.writerow([*("" for _ in keys), *units, ""])
    for row, values in zip(comparison.rows, comparison.values(), strict=True):
        cells = (_cell(values.get(name, math.nan), kind) for name, kind in COLUMNS)
        writer.writerow([*(row.settings.get(key, "") for key in keys), *cells, row.error])
    return buffer.getvalue()


def _cell(value: float, kind: str) -> str:
    if not math.isfinite(value):
        return ""
    return f"{from_si(value, KINDS[kind].display, kind) if kind else value:.6g}"


def _write(comparison: Comparison, folder: Path) -> list[str]:
    from middlerun.report import comparison_picture, picture_bytes

    with folder_written_whole(folder) as partial:
        picture = comparison_picture(comparison)
        for form in ("svg", "png"):
            (partial / f"comparison.{form}").write_bytes(picture_bytes(picture, form))
        (partial / "comparison.csv").write_text(_csv(comparison), encoding="utf-8", newline="")
        (partial / "comparison.json").write_text(json_text(_document(comparison)), encoding="utf-8")
        return sorted(path.name for path in partial.iterdir())


def _show(comparison: Comparison) -> None:
    from middlerun.cli.tables import print_table
    from middlerun.report import comparison_table

    screen = console()
    table = comparison_table(comparison)
    for part in _turned(table):
        print_table(screen, part)
    if len(table.rows) > _SHOWN:
        print(f"Shown are the first {_SHOWN} of {len(table.rows)} runs; --out DIR or --json give all.")


def _turned(table: Table) -> Iterator[Table]:
    """Turn a wide table on its side, a few runs at a time, so that it fits a terminal."""
    rows = table.rows[:_SHOWN]
    for first in range(0, len(rows), _SIDE_BY_SIDE):
        # Every part begins with the plan as it is, from which the others differ.
        part = rows[first : first + _SIDE_BY_SIDE] if first == 0 else (rows[0], *rows[first : first + _SIDE_BY_SIDE])
        columns = tuple(
            dataclasses.replace(table.columns[0], key=f"run_{row[0]}", label=f"No. {row[0]}", numeric=False)
            for row in part
        )
        lines = tuple(
            (column.heading, *(row[place] for row in part)) for place, column in enumerate(table.columns) if place > 0
        )
        last = first + _SIDE_BY_SIDE >= len(rows)
        yield dataclasses.replace(
            table,
            title=table.title if first == 0 else "",
            rows=lines,
            note=table.note if last else "",
            columns=(dataclasses.replace(table.columns[0], key="name", label="", numeric=False), *columns),
        )
