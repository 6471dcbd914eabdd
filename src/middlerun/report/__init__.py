"""Report: what a run looks like on paper, on a screen and in a file. One drawing and one formatting of each thing.

Takes: a `middlerun.plan.Run`, or a comparison of runs. Gives: tables as plain data, pictures, the run sheet as HTML and
PDF, series as CSV, everything as one JSON document, and all of it in a folder. Never: computes physics, reads a clock,
or changes what it is given. Drawing and typesetting libraries are loaded when they are used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from middlerun.report.comparison import comparison_picture, comparison_table
    from middlerun.report.document import run_document, write_json
    from middlerun.report.picture import Picture
    from middlerun.report.plots import picture_bytes, write_pictures
    from middlerun.report.run_pictures import pictures
    from middlerun.report.run_sheet import run_sheet_html, run_sheet_pdf
    from middlerun.report.series_csv import read_series, series_as_csv, write_series
    from middlerun.report.sheet_tables import jars, receivers, time_line
    from middlerun.report.table import Column, Table, fractions, phases, summary, totals, warnings
    from middlerun.report.write import write_outputs

_HOMES = {
    "Picture": "picture",
    "comparison_picture": "comparison",
    "comparison_table": "comparison",
    "run_document": "document",
    "write_json": "document",
    "picture_bytes": "plots",
    "pictures": "run_pictures",
    "write_pictures": "plots",
    "run_sheet_html": "run_sheet",
    "run_sheet_pdf": "run_sheet",
    "read_series": "series_csv",
    "series_as_csv": "series_csv",
    "write_series": "series_csv",
    "jars": "sheet_tables",
    "receivers": "sheet_tables",
    "time_line": "sheet_tables",
    "Column": "table",
    "Table": "table",
    "fractions": "table",
    "phases": "table",
    "summary": "table",
    "totals": "table",
    "warnings": "table",
    "write_outputs": "write",
}

__all__ = [
    "Column",
    "Picture",
    "Table",
    "comparison_picture",
    "comparison_table",
    "fractions",
    "jars",
    "phases",
    "picture_bytes",
    "pictures",
    "read_series",
    "receivers",
    "run_document",
    "run_sheet_html",
    "run_sheet_pdf",
    "series_as_csv",
    "summary",
    "time_line",
    "totals",
    "warnings",
    "write_json",
    "write_outputs",
    "write_pictures",
    "write_series",
]


def __getattr__(name: str) -> Any:
    """Load the part of the room that a name lives in when the name is asked for."""
    if name in _HOMES:
        return getattr(import_module(f"middlerun.report.{_HOMES[name]}"), name)
    raise AttributeError(f"module 'middlerun.report' has no attribute {name!r}")
