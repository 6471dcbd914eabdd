"""The run sheet: the paper twin at the still, as a page (HTML) and as paper (PDF), both from the same data."""

from __future__ import annotations

import base64
import json
import re
from importlib import resources
from typing import Any

from middlerun.plan.result import Run
from middlerun.report.sheet import PHASE_COLUMNS, sheet

_PAGE, _PAPER = "run-sheet.html", "run-sheet.typ"
_NUMBER_UNIT = re.compile(r"(?<=[0-9]) (?=(?:°C|% vol|L|kW|h|min|bar|kPa)\b)|(?<=[0-9] h) (?=[0-9]+ min)")
_LATIN_GREEK_CYRILLIC = 0x0530  # what the typesetter's own fonts cover


def run_sheet_html(run: Run) -> str:
    """Return the run sheet as one HTML page that needs nothing beside it; it prints on A4."""
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(_template),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
        finalize=_tied,
    )
    data = _data(run)
    drawing = base64.b64encode(data["drawing"].encode()).decode()
    return environment.get_template(_PAGE).render(**{**data, "drawing": drawing})


def run_sheet_pdf(run: Run) -> bytes:
    """Return the run sheet as an A4 PDF. It uses the typesetter's own fonts and nothing of the system.

    Only a name in a script that those fonts lack makes it look for the system's fonts.
    """
    import typst

    data = json.dumps(_data(run), ensure_ascii=False)
    exotic = any(_LATIN_GREEK_CYRILLIC <= ord(letter) < 0x2000 or ord(letter) > 0x2BFF for letter in data)
    made = typst.compile(_template(_PAPER).encode(), sys_inputs={"sheet": data}, ignore_system_fonts=not exotic)
    assert isinstance(made, bytes)
    return made


def _data(run: Run) -> dict[str, Any]:
    from middlerun.still import draw_still

    return {
        **sheet(run),
        "phase_columns": [list(column) for column in PHASE_COLUMNS],
        "drawing": draw_still(run.plan.still),
    }


def _tied(value: Any) -> Any:
    """Keep a number and its unit on one line; markup that is already safe is left alone."""
    return _NUMBER_UNIT.sub("\N{NO-BREAK SPACE}", value) if type(value) is str else value


def _template(name: str) -> str:
    return resources.files("middlerun.report").joinpath("templates", name).read_text(encoding="utf-8")
