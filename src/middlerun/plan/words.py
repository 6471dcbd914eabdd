"""The words of warnings: one catalogue a language in `catalogue/`, so that a second language is one more file."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from middlerun.errors import InputFileError, UnknownNameError
from middlerun.fields import load_toml_file, nearest, require_format
from middlerun.plan.result import Warning
from middlerun.units import KINDS, format_quantity

FORMAT = "middlerun-warnings"
VERSION = 1
PRIORITIES = ("high", "medium", "low")
CONCERNS = ("safety", "law", "spirit", "economy", "plan")
_KEYS = ("priority", "concerns", "title", "text", "remedy", "formula", "source", "values")
_FOLDER = Path(__file__).with_name("catalogue")
# UCUM codes as people write them.
_PEOPLE = {"Cel": "°C", "%{vol}": "% vol", "kW.h": "kWh"}


@dataclass(frozen=True, kw_only=True)
class Entry:
    """The words of one warning; `values` maps parameters to kinds, such as "pressure:bar", "number" or "text"."""

    code: str
    priority: str
    concerns: str
    title: str
    text: str
    remedy: str
    formula: str
    source: str
    values: Mapping[str, str]


def languages() -> tuple[str, ...]:
    """Return the codes of the languages that have a catalogue.

    >>> "en" in languages()
    True
    """
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.toml")))


@functools.cache
def catalogue(language: str = "en") -> Mapping[str, Entry]:
    """Return the catalogue of a language by code; UnknownNameError when there is none."""
    if language not in languages():
        raise UnknownNameError(f'There is no catalogue of warnings in "{language}". {nearest(language, languages())}')
    path = _FOLDER / f"{language}.toml"
    data = require_format(load_toml_file(path), path.name, FORMAT, VERSION)
    return {code: _entry(code, table, path.name) for code, table in data.items()}


def catalogue_entry(code: str, language: str = "en") -> Entry:
    """Return the words of one code; UnknownNameError names the nearest."""
    entries = catalogue(language)
    if code not in entries:
        raise UnknownNameError(f'There is no warning "{code}". {nearest(code, entries)}')
    return entries[code]


def warning_text(warning: Warning, language: str = "en") -> tuple[str, str, str]:
    """Return title, text and remedy of a warning, with its values in.

    >>> title, text, remedy = warning_text(Warning(code="charge-strong", values={"strength": 0.45, "limit": 0.4}))
    >>> text
    'The charge has 45 % vol; above 40 % vol its vapour over the pot ignites easily and a spill burns.'
    """
    entry = catalogue_entry(warning.code, language)
    words = {name: write(warning.values[name], kind) for name, kind in entry.values.items()}
    return entry.title.format(**words), entry.text.format(**words), entry.remedy.format(**words)


def write(value: object, kind: str) -> str:
    """Write one value for people: its kind, perhaps with the unit to use.

    >>> write(50000.0, "pressure:bar")
    '0.5 bar'
    """
    if kind == "text":
        return str(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "yes" if value else "no"
    if math.isnan(value):
        return "unknown"
    if kind == "number":
        return f"{value:.3g}"
    name, _, unit = kind.partition(":")
    written = format_quantity(value, name, unit or None, 3)
    number, _, code = written.partition(" ")
    return f"{number} {_PEOPLE.get(code, code)}"


def _entry(code: str, table: Mapping[str, object], where: str) -> Entry:
    missing = [key for key in _KEYS if key not in table]
    surplus = [key for key in table if key not in _KEYS]
    if missing or surplus:
        raise InputFileError(
            f"{where}: {code} lacks {missing} and has the unknown {surplus}. It needs {', '.join(_KEYS)}."
        )
    values = table["values"]
    assert isinstance(values, Mapping)
    entry = Entry(code=code, values=values, **{key: str(table[key]) for key in _KEYS if key != "values"})
    if entry.priority not in PRIORITIES or entry.concerns not in CONCERNS:
        raise InputFileError(
            f"{where}: {code} has priority {entry.priority!r} and concerns {entry.concerns!r}; possible are "
            f"{', '.join(PRIORITIES)} and {', '.join(CONCERNS)}."
        )
    for name, kind in values.items():
        if kind not in ("text", "number", "flag") and kind.partition(":")[0] not in KINDS:
            raise InputFileError(f"{where}: {code} has the value {name} of the unknown kind {kind!r}.")
    return entry
