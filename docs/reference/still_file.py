"""Write `still-file.md` from the fields of the code: `python docs/reference/still_file.py`. A test compares the two."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from middlerun.fields import Spec, spec_of, specs
from middlerun.still import Still, plate_type, plate_type_names
from middlerun.still.description import FORMAT, VERSION
from middlerun.still.write import write_quantity
from middlerun.units import unit_names

_UNITS = {"time": "s", "pressure": "bar"}
_PLATE = (
    "level",
    "level_min",
    "level_max",
    "efficiency",
    "hole_area",
    "hole_diameter",
    "weir_time",
    "leak_time",
    "metal_mass",
    "heat_loss",
)
_DERIVED = {"heating.jacket_gas_volume", "heating.steam_gauge", "control.gain", *(f"column.plates.{k}" for k in _PLATE)}

PAGE = Path(__file__).with_name("still-file.md")

_HEAD = f"""# Still file

<!-- Written by docs/reference/still_file.py from the code's own fields: change them there. -->

A still is described in a TOML file. Its first line is `format = "{FORMAT}/{VERSION}"`. Quantities are texts with a
unit, such as `"12 kW"` ([units](#units)); a decimal comma is understood. A key that is not listed here is refused with
the nearest right one, a value outside its limits with those limits. What is "usual" is no limit; `middlerun still
check` speaks of it.

What is left out is derived where the table says so: plates from their type, the column's diameter, spacing, metal and
insulation; an exchanger's U·A from its area and coefficient. Keys marked *expert* are seldom worth touching.

A jacket without a vent, a relief valve or a vacuum breaker is refused. Their size and setting are a licensed
installer's business under local codes; in the European Union Directive 2014/68/EU begins above 0.5 bar gauge.

The shortest still that is complete:

```toml
format = "{FORMAT}/{VERSION}"
name = "Small electric pot"

[pot]
volume = "30 L"
working_max = "25 L"
working_min = "8 L"
metal_mass = "9 kg"
heat_loss = "5 W/K"

[heating]
kind = "electric"
power = "3 kW"
conductance = "200 W/K"

[condenser]
area = "0.2 m2"
water_max = "150 L/h"
```
"""


def page() -> str:
    """Return the whole page."""
    parts = [_HEAD, *_record(Still, "", "The file itself"), *_plate_types(), *_units()]
    return "\n".join(parts).rstrip() + "\n"


def _record(cls: type, path: str, title: str) -> Iterator[str]:
    yield f"## {title}\n"
    doc = (cls.__doc__ or "").strip().splitlines()[0]
    yield f"{doc}\n"
    yield "| key | holds | default | meaning |\n|---|---|---|---|"
    below = []
    for field in dataclasses.fields(cls):
        spec = spec_of(field)
        expert = " *Expert.*" if spec.expert else ""
        key = f"{path}.{field.name}" if path else field.name
        yield f"| `{field.name}` | {_holds(spec)} | {_default(field, spec, key)} | {spec.doc}{_usual(spec)}{expert} |"
        if spec.item is not None:
            below.append((spec.item, key, f"`[[{key}]]`" if spec.form == "records" else f"`[{key}]`"))
    yield ""
    for item, key, heading in below:
        yield from _record(item, key, heading)


def _holds(spec: Spec) -> str:
    if spec.form in ("quantity", "quantities"):
        several = "list of " if spec.form == "quantities" else ""
        return f"{several}{spec.kind}, {_written(spec, spec.low)} to {_written(spec, spec.high)}"
    if spec.form in ("number", "whole"):
        return f"{'whole ' if spec.form == 'whole' else ''}number, {spec.low:g} to {spec.high:g}"
    if spec.form == "choice":
        return "one of " + ", ".join(f'`"{c}"`' for c in spec.choices)
    return {"flag": "`true` or `false`", "text": "text", "record": "table", "records": "list of tables"}[spec.form]


def _written(spec: Spec, value: float) -> str:
    if not spec.kind:
        return f"{value:g}"
    small = "cm2" if spec.kind == "area" and spec.high < 1.0 else None
    return write_quantity(value, spec.kind, _UNITS.get(spec.kind, small))


def _default(field: dataclasses.Field[Any], spec: Spec, key: str) -> str:
    value = field.default
    if spec.required:
        return "required"
    if spec.form == "record" and value is not None:
        return "its defaults"
    if value is None:
        return "derived" if key in _DERIVED else "none"
    if spec.form == "quantity":
        return _written(spec, value)
    if spec.form == "flag":
        return "`true`" if value else "`false`"
    if spec.form in ("text", "choice"):
        return f'`"{value}"`'
    return "none" if value == () else f"{value:g}"


def _usual(spec: Spec) -> str:
    if spec.usual is None:
        return ""
    low, high = (_written(spec, v) for v in spec.usual)
    source = f" ({spec.usual_source})" if spec.usual_source else ""
    return f" Usual: {low} to {high}{source}."


def _plate_types() -> Iterator[str]:
    yield "## Plate types\n"
    yield "Each is one file in `src/middlerun/still/plate_types/`, with the band, source and status of every number.\n"
    yield "| type | title | efficiency | weeps |\n|---|---|---|---|"
    for name in plate_type_names():
        kind = plate_type(name)
        entry = kind.efficiency
        weeps = "yes" if kind.weep_constant.value > 0 else "no"
        yield f"| `{name}` | {kind.title} | {entry.value:g} ({entry.low:g} to {entry.high:g}) | {weeps} |"


def _kinds(cls: type) -> Iterator[str]:
    for spec in specs(cls).values():
        if spec.kind:
            yield spec.kind
        if spec.item is not None:
            yield from _kinds(spec.item)


def _units() -> Iterator[str]:
    yield "\n## Units\n"
    yield "Codes of UCUM, and spellings that people type beside them.\n"
    yield "| quantity | units |\n|---|---|"
    for kind in sorted(set(_kinds(Still))):
        yield f"| {kind} | {', '.join(f'`{unit}`' for unit in unit_names(kind))} |"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
