"""A still as a file that a person can read and change, and that reads back to the same still."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable, Iterator
from typing import Any

from middlerun.fields import Spec, spec_of
from middlerun.still.derive import Derived, derived_text
from middlerun.still.description import FORMAT, VERSION, Still
from middlerun.units import KINDS, from_si, parse_quantity

# Units that read better in a still's file than the kind's usual one.
_UNITS = {"time": "s", "pressure": "bar"}


def still_toml(still: Still, derived: Iterable[Derived] = ()) -> str:
    """Return the text of a still file: every value with what it means; derived ones with their band.

    Values that are what the program takes anyway are left out, unless they were derived.
    `read_still(still_toml(s), "x") == s` for every still.
    """
    notes = {item.key: item for item in derived}
    top, tables = _table(still, "", notes)
    head = [f'format = "{FORMAT}/{VERSION}"', *top]
    return "\n".join([*head, *tables]).rstrip() + "\n"


def write_quantity(value: float, kind: str, unit: str | None = None) -> str:
    """Write an SI value with a unit in as few digits as read back to exactly the same float.

    In the unit given or the kind's usual one, else in SI. A kind without an SI unit of its own (volume strength) is
    written to 17 digits when no shorter text is exact.

    >>> write_quantity(0.1, "volume"), write_quantity(12000.0, "power")
    ('100 L', '12 kW')
    """
    usual, si = unit or KINDS[kind].display, KINDS[kind].si
    codes = [usual, si] if si in KINDS[kind].units else [usual]
    for code in codes:
        shown = from_si(value, code, kind)
        for digits in (3, 4, 5, 6, 8, 10, 12, 15, 16, 17):
            number = f"{shown:.{digits}g}"
            if "e" in number and "e" not in f"{shown:.15g}":
                number = f"{float(number):.0f}"
            if parse_quantity(f"{number} {code}", kind) == value:
                return f"{number} {code}"
    return f"{from_si(value, codes[-1], kind)!r} {codes[-1]}"


def _table(thing: Any, path: str, notes: dict[str, Derived], explain: bool = True) -> tuple[list[str], list[str]]:
    """Return the lines of a record's own keys, and those of the tables below it."""
    own: list[str] = []
    below: list[str] = []
    for field in dataclasses.fields(thing):
        spec, value = spec_of(field), getattr(thing, field.name)
        key = f"{path}.{field.name}" if path else field.name
        if spec.form == "record":
            below += _record_lines(spec, value, key, notes)
        elif spec.form == "records":
            below += _records_lines(value, key, notes)
        elif value is not None and (key in notes or not _is_default(field, value)):
            if explain:
                own += [f"# {spec.doc}"] if path else []
                own += [f"# {derived_text(notes[key])}."] if key in notes else []
            own.append(f"{field.name} = {_value(spec, value)}")
    return own, below


def _record_lines(spec: Spec, value: Any, key: str, notes: dict[str, Derived]) -> list[str]:
    if value is None:
        return []
    own, below = _table(value, key, notes)
    if not own and not below and not spec.required:
        return []
    return ["", f"[{key}]", *own, *below]


def _records_lines(values: tuple[Any, ...], key: str, notes: dict[str, Derived]) -> Iterator[str]:
    for i, item in enumerate(values):
        own, below = _table(item, key, notes, explain=i == 0)  # the first explains the others
        yield from ("", f"[[{key}]]", *own, *below)


def _is_default(field: dataclasses.Field[Any], value: Any) -> bool:
    return field.default is not dataclasses.MISSING and bool(field.default == value)


def _value(spec: Spec, value: Any) -> str:
    if spec.form == "quantity":
        return _text(write_quantity(value, spec.kind, _UNITS.get(spec.kind)))
    if spec.form == "quantities":
        return "[" + ", ".join(_text(write_quantity(v, spec.kind, _UNITS.get(spec.kind))) for v in value) + "]"
    if spec.form in ("text", "choice"):
        return _text(value)
    if spec.form == "texts":
        return "[" + ", ".join(map(_text, value)) + "]"
    if spec.form == "flag":
        return "true" if value else "false"
    if spec.form == "wholes":
        return "[" + ", ".join(map(str, value)) + "]"
    return repr(value)


def _text(value: str) -> str:
    """A TOML basic string: JSON's escapes, and the one control character that JSON leaves alone."""
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
