"""Physical constants from data files, each with its provenance.

Takes: TOML files of `[[constant]]` entries. Gives: frozen `Constant` records by name. Never: accepts an entry that does
not say where it comes from.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from middlerun.errors import FormatVersionError, InputFileError, MissingKeyError, UnknownKeyError

__all__ = ["Constant", "load_constants", "read_constants"]

FORMAT = "middlerun.constants/1"
KEYS = ("name", "value", "unit", "source", "place", "range", "uncertainty", "status")
STATUSES = ("read", "computed", "from memory (high)", "from memory (medium)", "from memory (low)", "common practice")


@dataclass(frozen=True, kw_only=True)
class Constant:
    """One constant or one set of coefficients, with unit and provenance. `value` is a float or a tuple of floats."""

    name: str
    value: Any
    unit: str
    source: str
    place: str
    range: str
    uncertainty: str
    status: str


def read_constants(text: str, where: str) -> dict[str, Constant]:
    """Read the text of a constants file.

    `where` names the file in messages. Raises InputFileError (bad TOML, bad number, bad status, a name twice),
    FormatVersionError, MissingKeyError (an entry without full provenance) and UnknownKeyError.

    >>> entry = '''format = "middlerun.constants/1"
    ... [[constant]]
    ... name = "normal_pressure"
    ... value = 101325
    ... unit = "Pa"
    ... source = "10th CGPM (1954)"
    ... place = "resolution 4"
    ... range = "universal"
    ... uncertainty = "exact"
    ... status = "from memory (high)"'''
    >>> read_constants(entry, "example")["normal_pressure"].value
    101325.0
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputFileError(f"{where} isn't valid TOML: {error}. Mend the line it names.") from error
    if document.get("format") != FORMAT:
        raise FormatVersionError(f"{where} has format {document.get('format')!r}; this program reads {FORMAT!r}.")
    found: dict[str, Constant] = {}
    for number, entry in enumerate(document.get("constant", []), start=1):
        constant = _checked(entry, f"{where}, entry {number} ({entry.get('name', 'no name')})")
        if constant.name in found:
            raise InputFileError(f"{where} gives {constant.name!r} twice. Keep one of them.")
        found[constant.name] = constant
    if not found:
        raise InputFileError(f"{where} has no [[constant]] entry.")
    return found


def _checked(entry: dict[str, Any], where: str) -> Constant:
    for key in KEYS:
        if entry.get(key) in (None, "", []):
            raise MissingKeyError(f"{where} has no {key!r}. A constant needs all of {', '.join(KEYS)}.")
    for key in entry:
        if key not in KEYS:
            raise UnknownKeyError(f"{where} has {key!r}, which means nothing here. Known: {', '.join(KEYS)}.")
    if not str(entry["status"]).startswith(STATUSES):
        known = ", ".join(STATUSES)
        raise InputFileError(f"{where} has status {entry['status']!r}; it must begin with one of {known}.")
    values = entry["value"] if isinstance(entry["value"], list) else [entry["value"]]
    if any(isinstance(v, bool) or not isinstance(v, (int, float)) for v in values):
        raise InputFileError(f"{where} has the value {entry['value']!r}; it must be a number or a list of numbers.")
    value = tuple(float(v) for v in values) if isinstance(entry["value"], list) else float(entry["value"])
    return Constant(**{**entry, "value": value})


def load_constants(source: Path | str) -> dict[str, Constant]:
    """Read a constants file from disk; errors as for `read_constants`."""
    path = Path(source)
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise InputFileError(f"{path.name} can't be read: {error.strerror}.") from error
    return read_constants(text, path.name)


@cache
def packaged(name: str, package: str = "middlerun.substances") -> dict[str, Constant]:
    """Constants of a file in the `data` folder of one of our rooms, read once."""
    text = resources.files(package).joinpath("data", name).read_text(encoding="utf-8")
    return read_constants(text, name)


def values(name: str, *wanted: str) -> tuple[Any, ...]:
    """Bare values of the wanted constants of this room's file `name`, in that order."""
    constants = packaged(name)
    return tuple(constants[key].value for key in wanted)
