"""A run as one strict JSON document: everything that is known about it, SI, with units named and warnings in words.

The form is `schema/run-1.schema.json`; docs/reference/run-json.md describes it.
"""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

import middlerun
from middlerun.plan import catalogue_entry, warning_text
from middlerun.plan.result import Run, Warning
from middlerun.report.names import TOTALS, series_named
from middlerun.report.show import SHOWN

FORMAT = "middlerun-run/1"
_DIGITS = 7  # significant; a run is not known to more
_TIME_DECIMALS = 4  # s: events are a fraction of a second apart


def run_document(run: Run) -> dict[str, Any]:
    """Return everything of a run as dictionaries, lists, texts, numbers and None (for "not there"), ready for JSON."""
    series = {name: _listed(_rounded(values)) for name, values in run.series.items()}
    if "time" in run.series:
        series["time"] = _listed(np.round(run.series["time"], _TIME_DECIMALS))
    return {
        "format": FORMAT,
        "made_by": f"Middlerun {middlerun.__version__}",
        "plan": plain(run.plan),
        "series": series,
        "series_units": {name: SHOWN[series_named(name).kind].si for name in run.series},
        "phases": [plain(phase) for phase in run.phases],
        "fractions": [plain(fraction) for fraction in run.fractions],
        "totals": plain(run.totals),
        "totals_units": {name: SHOWN[TOTALS[name].kind].si if name in TOTALS else "1" for name in run.totals},
        "warnings": [_warning(warning) for warning in run.warnings],
        "balance": plain(run.balance),
    }


def _warning(warning: Warning) -> dict[str, Any]:
    title, text, remedy = warning_text(warning)
    entry = catalogue_entry(warning.code)
    said = {"priority": entry.priority, "concerns": entry.concerns, "title": title, "text": text, "remedy": remedy}
    return {**plain(warning), **said}


def document_text(document: Mapping[str, Any]) -> str:
    """Return a document as strict JSON, with a line end."""
    return json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def write_json(run: Run, path: Path) -> None:
    """Write a run's document to a file."""
    path.write_text(document_text(run_document(run)), encoding="utf-8")


def plain(value: Any) -> Any:
    """Return a record, mapping, sequence, array or number as what JSON knows; what isn't finite becomes None.

    >>> plain({"levels": (0.1, float("nan"))})
    {'levels': [0.1, None]}
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, np.ndarray):
        return _listed(_rounded(value))
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if isinstance(value, (bool, np.bool_)):
        return bool(value)
    if isinstance(value, (int, np.integer)):
        return int(value)
    if isinstance(value, (float, np.floating)):
        return float(f"{float(value):.{_DIGITS + 2}g}") if math.isfinite(value) else None
    return None if value is None else str(value)


def _rounded(values: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Round to significant digits, so that a number is written as short as it is known."""
    with np.errstate(divide="ignore", invalid="ignore"):
        exponent = np.floor(np.log10(np.abs(values)))
    shift = _DIGITS - 1 - np.where(np.isfinite(exponent), exponent, 0.0)
    shift = np.clip(shift, -300.0, 300.0)
    up, down = 10.0 ** np.maximum(shift, 0.0), 10.0 ** np.maximum(-shift, 0.0)
    rounded: npt.NDArray[np.float64] = np.round(values * up / down) / up * down
    return rounded


def _listed(values: npt.NDArray[np.float64]) -> list[float | None]:
    finite = np.isfinite(values)
    listed: list[float | None] = values.tolist()
    if not finite.all():
        for index in np.flatnonzero(~finite).tolist():
            listed[index] = None
    return listed
