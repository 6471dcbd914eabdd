"""The series of a run as CSV: one line of names, one of UCUM units, then one line a report time.

Temperatures in Cel, strengths in %{vol}, flows of water in L/h, power in kW: the units that people read. An empty cell
is "not there" (NaN or infinite). Decimal point, comma between cells, UTF-8, one phase name a line beside its index.
"""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path

import numpy as np
import numpy.typing as npt

from middlerun.errors import InputFileError
from middlerun.plan.result import Run
from middlerun.report.names import series_named
from middlerun.report.show import SHOWN, scaled

# Decimals beyond those shown to people: what a plot or a comparison needs, and no more.
_EXTRA_DIGITS = 2
PHASE = "phase"


def csv_units(name: str) -> tuple[str, int]:
    """Return the UCUM unit and the decimals with which a series is written.

    >>> csv_units("pot_temperature"), csv_units("heater_power")
    (('Cel', 3), ('kW', 4))
    """
    unit = SHOWN[series_named(name).kind]
    return unit.code, unit.digits if unit.code == "1" and unit.digits == 0 else unit.digits + _EXTRA_DIGITS


def series_as_csv(run: Run) -> str:
    """Return the series of a run as CSV text."""
    names = list(run.series)
    phase_names = [phase.name for phase in run.phases]
    columns: list[list[str]] = []
    for name in names:
        digits = csv_units(name)[1]
        values = scaled(run.series[name], series_named(name).kind)
        pattern = f"%.{digits}f"
        columns.append([pattern % value if math.isfinite(value) else "" for value in values.tolist()])
    indices = run.series["phase_index"].astype(int).tolist() if "phase_index" in run.series else []
    columns.append([phase_names[i] if 0 <= i < len(phase_names) else "" for i in indices])
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow([*names, PHASE])
    writer.writerow([*(csv_units(name)[0] for name in names), ""])
    writer.writerows(zip(*columns, strict=True))
    return buffer.getvalue()


def write_series(run: Run, path: Path) -> None:
    """Write the series of a run to a CSV file."""
    path.write_text(series_as_csv(run), encoding="utf-8", newline="")


def read_series(path: Path) -> dict[str, npt.NDArray[np.float64]]:
    """Read a series file back into SI arrays by name (the phase names are left out); an empty cell becomes NaN.

    Raises InputFileError when the file is missing or is not such a file; it names the line.
    """
    try:
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))
    except (OSError, UnicodeDecodeError) as error:
        raise InputFileError(f"{path} can't be read as a series file: {error}.") from None
    if len(rows) < 2:
        raise InputFileError(
            f"{path} has {len(rows)} lines; a series file has a line of names, one of units, then numbers."
        )
    names, units = rows[0], rows[1]
    found: dict[str, npt.NDArray[np.float64]] = {}
    for number, row in enumerate(rows, 1):
        if len(row) != len(names):
            raise InputFileError(
                f"{path}, line {number}, has {len(row)} cells instead of {len(names)}. Was it cut off?"
            )
    for column, (name, unit) in enumerate(zip(names, units, strict=True)):
        if name == PHASE:
            continue
        shown = SHOWN[series_named(name).kind]
        if unit != shown.code:
            raise InputFileError(f'{path}: {name} is given in "{unit}", but "{shown.code}" is expected.')
        try:
            values = np.array([float(row[column]) if row[column] else np.nan for row in rows[2:]])
        except ValueError as error:
            raise InputFileError(f"{path}: {name} holds something that is not a number ({error}).") from None
        found[name] = values * shown.factor + shown.offset
    return found
