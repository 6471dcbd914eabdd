"""Write `plan-file.md`, `procedure-file.md` and `warnings.md` from the code: `python docs/reference/plan_files.py`.

A test compares the pages with what this gives.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from pathlib import Path

from middlerun.fields import Spec, spec_of
from middlerun.plan import catalogue, charge_kind, charge_kind_names
from middlerun.plan.description import FORMAT, VERSION, Charge, Limits, Source, Weather
from middlerun.plan.load import Head
from middlerun.run import Ends, Phase, Procedure, library_procedure, procedure_names
from middlerun.run.procedure import FORMAT as PROCEDURE_FORMAT
from middlerun.run.procedure import VERSION as PROCEDURE_VERSION
from middlerun.units import format_quantity

FOLDER = Path(__file__).parent
_UNITS = {"length": "m", "time": "min"}
_WRITTEN = "<!-- Written by docs/reference/plan_files.py from the code's own fields and files: change them there. -->"
_ABOUT = """Quantities are texts with a
unit, such as `"12 kW"`; a decimal comma is understood. A key that is not listed is refused with the nearest right one,
a value outside its limits with those limits. Units: [still file](still-file.md#units)."""

_PLAN = f"""# Plan file

{_WRITTEN}

A plan says what is to be run: which still, which charge, which day, which procedure. Its first line is
`format = "{FORMAT}/{VERSION}"`. {_ABOUT}

```toml
format = "{FORMAT}/{VERSION}"
name = "Plum mash, first run"
still = "bain-marie-150-4-plates"        # a name of the library, the path of a file, or a [still] table
procedure = "single-pass-with-plates"    # likewise
category = "eu-fruit-spirit"

[charge]
volume = "100 L"
strength = "5.5 %{{vol}}"
kind = "plum-mash"

[weather]
altitude = "420 m"
water = "12 Cel"
```

Paths are relative to the plan's folder. What is refused, and what only draws a [warning](warnings.md):

- Refused: a charge that with its hot volume and froth is more than the pot's working maximum, or less than its working
  minimum; a strength that such a charge never has; a jacket without relief valve, vent or vacuum breaker; a procedure
  for another kind of still, or one that asks for what this still can't do; plans that take each other's product.
- Warned of: what would go wrong or be dear. A forecast is no safety device: local codes and licensed practice decide.
"""

_PROCEDURE = f"""# Procedure file

{_WRITTEN}

A procedure is a list of phases. Its first line is `format = "{PROCEDURE_FORMAT}/{PROCEDURE_VERSION}"`. {_ABOUT}

```toml
format = "{PROCEDURE_FORMAT}/{PROCEDURE_VERSION}"
name = "Strip and stop"

[[phases]]
name = "heat up"
heater_share = "100 %"
vent_open = true
ends = {{ pot_temperature = "70 Cel" }}

[[phases]]
name = "low wines"
fraction = "low wines"
heater_share = "60 %"
vent_open = false
ends = {{ product_strength = "5 %{{vol}}", time = "6 h" }}
```

## What a phase leaves out

A phase says what changes. What it leaves out stays as the phase before set it:

- The heater stays. A thermostat on the jacket ends with the next phase that sets the heater without a thermostat.
- A phase that sets neither the dephlegmator's water nor a hold goes on with the hold, or the flow, that was there.
  Setting the water ends a hold; setting both begins the hold at that flow.
- The condenser's water likewise. Weir settings, bypasses, agitator and vent stay.

Before the first phase the heater and the dephlegmator's water are off, the condenser's water is fully open, the weirs
are at their usual level, nothing is bypassed, the agitator is off and the vent is shut. A setting for an agitator or a
vent is passed over where there is none. The words for `level`: `drained` is empty, `low` and `high` are the lowest and
highest weir setting, `usual` the one of the description.

## Held heads

A held head is written as the product's strength, or as a temperature at 101.325 kPa; both are converted with the day's
pressure into what the thermometer must show. 81 Cel at 101.3 kPa and 81 Cel at 96.4 kPa are different products. A bare
temperature is possible and draws a warning. Nothing is held below the azeotrope: nothing comes over there.

## Ends

A phase ends at the first of its conditions. `collected`, `lpa_share` and `smell_marker` count within the phase.
Readings are those of the instruments, with their lag. A phase needs an end that can come: one that can't, on this
still with this charge and on this day, is refused by name.
"""

_WARNINGS = """# Warnings

<!-- Written by docs/reference/plan_files.py from src/middlerun/plan/catalogue/en.toml: change it there. -->

A predicted run is looked over for limits that it would break. A warning has a code, a first and a last time, and
values; priority and words are in the catalogue (`src/middlerun/plan/catalogue/`, one file a language). Priorities are
those of ISA-18.2: high, medium, low. A limit must be passed without a break for its on-delay (mostly 30 s) to count.

A forecast is no safety device. Relief valves, vents, vacuum breakers and interlocks protect; local codes, the licence
and the maker of the vessel say what they must be.

| code | priority | concerns | title |
|---|---|---|---|
"""


def plan_page() -> str:
    """Return the page of the plan file."""
    parts = [
        _PLAN,
        "## The file itself\n",
        *_table(Head, {"still": "name, path or table", "procedure": "name, path or table"}),
    ]
    for cls, title in ((Charge, "charge"), (Source, "charge.source"), (Weather, "weather"), (Limits, "limits")):
        parts += [f"\n## `[{title}]`\n", f"{_first_line(cls)}\n", *_table(cls)]
    parts += [
        "\n## Kinds of charge\n",
        "One file a kind in `src/middlerun/plan/charge_kinds/`, each number with source and status.\n",
    ]
    parts += ["| kind | title | usual strength | extract | froth allowance |", "|---|---|---|---|---|"]
    for name in charge_kind_names():
        kind = charge_kind(name)
        strength = format_quantity(kind.strength.value, "volume strength")
        extract, froth = (
            format_quantity(kind.extract.value, "mass concentration"),
            format_quantity(kind.froth.value, "share"),
        )
        parts.append(f"| `{name}` | {kind.title} | {strength} | {extract} | {froth} |")
    return "\n".join(parts) + "\n"


def procedure_page() -> str:
    """Return the page of the procedure file."""
    parts = [_PROCEDURE, "## The file itself\n", *_table(Procedure)]
    for cls, title, nothing in ((Phase, "`[[phases]]`", "as before"), (Ends, "`ends`", "none")):
        parts += [f"\n## {title}\n", f"{_first_line(cls)}\n", *_table(cls, nothing=nothing)]
    parts += ["\n## Ready procedures\n", "| name | for stills | what it is for |", "|---|---|---|"]
    needs = {"any": "any", "plates": "with plates", "no plates": "without plates"}
    for name in procedure_names():
        procedure = library_procedure(name)
        parts.append(f"| `{name}` | {needs[procedure.needs]} | {procedure.note} |")
    return "\n".join(parts) + "\n"


def warnings_page() -> str:
    """Return the page of the warnings."""
    entries = catalogue("en").values()
    parts = [_WARNINGS.rstrip("\n")]
    parts += [f"| [`{e.code}`](#{e.code}) | {e.priority} | {e.concerns} | {e.title} |" for e in entries]
    for entry in entries:
        parts += [f"\n## {entry.code}\n", f"**{entry.title}.** {entry.text}\n", f"- What helps: {entry.remedy}"]
        parts += [f"- Counts when: {entry.formula}", f"- Source: {entry.source}"]
    return "\n".join(parts) + "\n"


PAGES: dict[str, Callable[[], str]] = {
    "plan-file.md": plan_page,
    "procedure-file.md": procedure_page,
    "warnings.md": warnings_page,
}


def _first_line(cls: type) -> str:
    return (cls.__doc__ or "").strip().splitlines()[0]


def _table(cls: type, more: dict[str, str] | None = None, nothing: str = "none") -> Iterator[str]:
    yield "| key | holds | default | meaning |\n|---|---|---|---|"
    for field in dataclasses.fields(cls):
        spec = spec_of(field)
        yield f"| `{field.name}` | {_holds(spec)} | {_default(field, spec, nothing)} | {spec.doc}{_usual(spec)} |"
    for key, holds in (more or {}).items():
        yield f"| `{key}` | {holds} | required | Name in the library, path of a file, or a table as in that file. |"


def _holds(spec: Spec) -> str:
    if spec.form in ("quantity", "quantities"):
        several = "list of " if spec.form == "quantities" else ""
        return f"{several}{spec.kind}, {_written(spec, spec.low)} to {_written(spec, spec.high)}"
    if spec.form in ("number", "whole", "wholes"):
        words = {"number": "number", "whole": "whole number", "wholes": "list of whole numbers"}
        return f"{words[spec.form]}, {spec.low:g} to {spec.high:g}"
    if spec.form == "choice":
        return "one of " + ", ".join(f'`"{c}"`' for c in spec.choices)
    words = {"flag": "`true` or `false`", "text": "text", "texts": "list of texts", "record": "table"}
    return words.get(spec.form, "list of tables")


def _default(field: dataclasses.Field[object], spec: Spec, nothing: str) -> str:
    value = field.default
    if spec.required:
        return "required"
    if spec.form == "record" and value is not None:
        return "its defaults"
    if value is None or value == ():
        return nothing
    if spec.form == "quantity":
        assert isinstance(value, float)
        return _written(spec, value)
    if isinstance(value, bool):
        return "`true`" if value else "`false`"
    return f'`"{value}"`' if isinstance(value, str) else f"{value:g}"


def _usual(spec: Spec) -> str:
    if spec.usual is None:
        return ""
    low, high = (_written(spec, value) for value in spec.usual)
    source = f" ({spec.usual_source})" if spec.usual_source else ""
    return f" Usual: {low} to {high}{source}."


def _written(spec: Spec, value: float) -> str:
    unit = _UNITS.get(spec.kind)
    if spec.kind == "time":
        unit = "h" if value >= 3600.0 else "min" if value >= 60.0 else "s"
    return format_quantity(value, spec.kind, unit) if spec.kind else f"{value:g}"


if __name__ == "__main__":
    for name, page in PAGES.items():
        (FOLDER / name).write_text(page(), encoding="utf-8")
