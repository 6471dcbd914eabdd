"""`middlerun predict`: a plan in, the run out."""

from __future__ import annotations

import argparse
import dataclasses
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from middlerun.cli.guard import DONE
from middlerun.cli.output import console, say
from middlerun.cli.waiting import preparing
from middlerun.errors import OutOfRangeError
from middlerun.fields import load_toml_file
from middlerun.units import format_quantity, parse_quantity

if TYPE_CHECKING:
    from middlerun.plan import Plan, Run

_SHORTEST, _LONGEST = 1.0, 600.0  # s, between two rows of the series


def predict(arguments: argparse.Namespace) -> int:
    """Predict a plan; print its summary or its document, and write its files when a folder is given."""
    every = None if arguments.every is None else _every(arguments.every)
    run = _run(arguments.plan, every)
    written = _write(run, Path(arguments.out)) if arguments.out else []
    if arguments.json:
        from middlerun.report.document import document_text, run_document

        sys.stdout.write(document_text(run_document(run)))
    else:
        _show(run)
        if written:
            print(f"Written to {arguments.out}: {', '.join(written)}.")
    return DONE


def load(path: str) -> Plan:
    """Load a plan; a file that can't be read is refused before anything heavy is imported."""
    load_toml_file(Path(path))
    from middlerun.plan import load_plan

    return load_plan(path)


def _run(path: str, every: float | None) -> Run:
    with preparing():  # a charge from another plan's product is predicted while loading
        plan = load(path)
        from middlerun.plan import predict as predict_plan

        return predict_plan(plan if every is None else dataclasses.replace(plan, report_every=every))


def _every(written: str) -> float:
    seconds = parse_quantity(written, "time", "--every")
    if not _SHORTEST <= seconds <= _LONGEST:
        low, high = format_quantity(_SHORTEST, "time", "s"), format_quantity(_LONGEST, "time")
        raise OutOfRangeError(f"--every is {written}, outside {low} to {high}. It is the time between two rows.")
    return seconds


def _write(run: Run, folder: Path) -> list[str]:
    from middlerun.report import write_outputs

    if sys.stderr.isatty():
        say(f"Writing run sheet, plots and series to {folder} ...")
    paths = write_outputs(run, folder)
    return sorted({path.relative_to(folder).parts[0] for path in paths})


def _show(run: Run) -> None:
    from middlerun.cli.tables import print_tables
    from middlerun.report.cautions import DEFER
    from middlerun.report.table import summary

    screen = console()
    made_up = " (invented)" if run.plan.invented else ""
    screen.print(f"{run.plan.name}{made_up}", style="bold", markup=False)
    screen.print(f"{run.plan.still.name}; procedure: {run.plan.procedure.name}", markup=False)
    screen.print()
    print_tables(screen, summary(run))
    screen.print(DEFER, style="dim", markup=False)
