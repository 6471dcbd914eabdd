"""The reference pages of the two machine-readable outputs, written from what writes and checks them.

A test compares docs/reference/run-json.md and the table in docs/reference/outputs.md with these texts.
"""

from __future__ import annotations

import json
from importlib import resources
from typing import Any

from middlerun.report.names import PLATE_SERIES, SERIES
from middlerun.report.series_csv import csv_units

_RUN_JSON_HEAD = """# The run document (`run.json`)

`middlerun predict PLAN --json` prints it and `--out` writes it as `run.json`. It is strict JSON: SI numbers, rounded to
seven significant digits; `null` where there is nothing to say (no product yet, nothing held). Read `format`
first: a document of another version has another number there. The names of series and totals are those of the
[nomenclature](../nomenclature.md).

The schema (JSON Schema 2020-12) is `src/middlerun/report/schema/run-1.schema.json`; this page is written from it.

| key | holds | meaning |
|---|---|---|
"""

_EXAMPLE = """
## Example

```python
import json

run = json.load(open("out/run.json"))
hours = [time / 3600 for time in run["series"]["time"]]
head = [value - 273.15 for value in run["series"]["head_temperature_shown"]]
for warning in run["warnings"]:
    print(warning["title"], warning["text"], warning["remedy"])
```
"""


def run_schema() -> dict[str, Any]:
    """Return the JSON Schema of the run document.

    >>> run_schema()["properties"]["format"]["const"]
    'middlerun-run/1'
    """
    path = resources.files("middlerun.report").joinpath("schema", "run-1.schema.json")
    schema: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return schema


def run_json_page() -> str:
    """Return docs/reference/run-json.md."""
    schema = run_schema()
    rows = _rows(schema, "")
    return _RUN_JSON_HEAD + "".join(f"| `{key}` | {kind} | {text} |\n" for key, kind, text in rows) + _EXAMPLE


def _rows(schema: dict[str, Any], above: str) -> list[tuple[str, str, str]]:
    rows = []
    for key, part in schema.get("properties", {}).items():
        place = f"{above}{key}"
        if "description" in part:
            rows.append((place, _kind(part), part["description"]))
        if part.get("type") == "object":
            rows += _rows(part, f"{place}.")
        elif part.get("type") == "array" and "items" in part:
            rows += _rows(part["items"], f"{place}[].")
    return rows


def _kind(part: dict[str, Any]) -> str:
    if "const" in part:
        return f'`"{part["const"]}"`'
    if "$ref" in part:
        return "number or null"
    if "enum" in part:
        return ", ".join(f"`{choice}`" for choice in part["enum"])
    kind = part["type"]
    return " or ".join(kind) if isinstance(kind, list) else str(kind)


def series_table() -> str:
    """Return the table of series.csv's columns for docs/reference/outputs.md."""
    rows = [(name, csv_units(name), named.label) for name, named in SERIES.items()]
    rows += [(f"plate_k_{part}", csv_units(f"plate_1_{part}"), named.label) for part, named in PLATE_SERIES.items()]
    head = "| column | unit (UCUM) | decimals | short name on paper |\n|---|---|---|---|\n"
    lines = [f"| `{name}` | `{unit}` | {digits} | {label.format(k='k')} |" for name, (unit, digits), label in rows]
    return head + "\n".join(lines) + "\n"
