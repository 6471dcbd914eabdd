"""From TOML to checked instances, with errors that a distiller can act on."""

from __future__ import annotations

import dataclasses
import tomllib
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from middlerun.errors import FormatVersionError, InputFileError, MissingKeyError, OutOfRangeError, UnknownKeyError
from middlerun.fields.declare import Spec, spec_of, specs
from middlerun.units import format_quantity, parse_quantity

T = TypeVar("T")
_LARGEST_NUMBER = 1e300
_LARGEST_FILE = 1_000_000  # bytes: a description is a few kilobytes


def nearest(word: str, known: Iterable[str]) -> str:
    """Return ` Did you mean "x"?` for the nearest known word, or the list of what is known.

    >>> nearest("powr", ["power", "kind"])
    'Did you mean "power"?'
    """
    names = sorted(known)
    near = get_close_matches(word, names, 1, 0.6)
    return f'Did you mean "{near[0]}"?' if near else f"Known are: {', '.join(names)}."


def load_toml_file(path: Path) -> dict[str, Any]:
    """Read a TOML file of at most 1 MB; InputFileError tells what is wrong and in which line."""
    try:
        if path.is_dir():
            raise InputFileError(f"{path} is a folder; give the path of a TOML file.")
        if path.stat().st_size > _LARGEST_FILE:
            raise InputFileError(f"{path} has {path.stat().st_size} bytes; a description has at most {_LARGEST_FILE}.")
        content = path.read_text(encoding="utf-8-sig")  # some editors write a byte order mark
    except FileNotFoundError:
        raise InputFileError(f"{path} does not exist. Check the path, or list what is there.") from None
    except UnicodeDecodeError as error:
        raise InputFileError(f"{path} is not a text file in UTF-8 (byte {error.start}).") from None
    except OSError as error:
        raise InputFileError(f"{path} can't be read: {error.strerror or error}.") from None
    except ValueError as error:  # a NUL character in the path
        raise InputFileError(f"{str(path)!r} is not a path: {error}.") from None
    return parse_toml(content, str(path))


def parse_toml(content: str, name: str) -> dict[str, Any]:
    """Parse TOML text; InputFileError names the file and the line."""
    if not content.strip():
        raise InputFileError(f"{name} is empty; it must hold a description in TOML.")
    try:
        return tomllib.loads(content)
    except ValueError as error:  # also a whole number with thousands of digits, which is no TOMLDecodeError
        raise InputFileError(
            f"{name} is not valid TOML, or was cut off: {error}. Look at that place; a text needs "
            "quotation marks on both sides."
        ) from None
    except RecursionError:
        raise InputFileError(f"{name} is nested too deeply to be a description.") from None


def require_format(data: Mapping[str, Any], name: str, expected: str, version: int) -> dict[str, Any]:
    """Check `format = "expected/version"`, refuse newer ones by name, and return the rest of the table."""
    found = data.get("format")
    if found is None:
        raise MissingKeyError(
            f'{name} does not say what it is: write format = "{expected}/{version}" as its first line.'
        )
    kind, _, number = str(found).partition("/")
    number = number[:9]  # more digits than any version has
    if kind != expected or not number.isdecimal() or int(number) < 1:
        raise FormatVersionError(f'{name} says format = "{found}"; here "{expected}/{version}" is expected.')
    if int(number) > version:
        raise FormatVersionError(
            f'{name} is of format "{found}", newer than this program understands '
            f'("{expected}/{version}"). Update Middlerun.'
        )
    return {key: value for key, value in data.items() if key != "format"}


def load_record(cls: type[T], data: Any, where: str) -> T:
    """Make an instance of a described class from a table. `where` names the file and table in every error.

    Unknown keys are refused with the nearest right one; missing ones with their meaning; numbers with their range.
    """
    if not isinstance(data, Mapping):
        raise InputFileError(f"{where} must be a table of keys, not {data!r}.")
    known = specs(cls)
    for key in data:
        if key not in known:
            raise UnknownKeyError(f'{where} has the unknown key "{key}". {nearest(key, known)}')
    values: dict[str, Any] = {}
    for field in dataclasses.fields(cls):  # type: ignore[arg-type]
        spec = spec_of(field)
        if field.name in data:
            values[field.name] = _value(spec, data[field.name], f"{where}: {field.name}")
        elif spec.required:
            raise MissingKeyError(f'{where} lacks the key "{field.name}": {spec.doc}{_example(spec)}')
    return cls(**values)


def _value(spec: Spec, raw: Any, what: str) -> Any:
    form = spec.form
    if form == "quantity":
        return _within(spec, parse_quantity(raw, spec.kind, what), what, str(raw))
    if form == "quantities":
        if not isinstance(raw, list):
            raise InputFileError(f"{what} is {raw!r}: a list of quantities in square brackets is expected.")
        return tuple(_within(spec, parse_quantity(item, spec.kind, what), what, str(item)) for item in raw)
    if form in ("number", "whole"):
        fits = isinstance(raw, int) or (form == "number" and isinstance(raw, float))
        if isinstance(raw, bool) or not fits or not _finite(raw):
            raise InputFileError(
                f"{what} is {raw!r}: a {'whole ' if form == 'whole' else ''}number without quotation "
                f"marks, from {spec.low:g} to {spec.high:g}, is expected."
            )
        return _within(spec, raw, what, str(raw))
    if form == "wholes":
        one = dataclasses.replace(spec, form="whole")
        return tuple(_value(one, item, what) for item in _typed(raw, list, what, "a list of whole numbers"))
    if form == "text":
        return _typed(raw, str, what, "a text in quotation marks")
    if form == "texts":
        return tuple(_typed(item, str, what, "a list of texts") for item in _typed(raw, list, what, "a list of texts"))
    if form == "flag":
        return _typed(raw, bool, what, "true or false")
    if form == "choice":
        if raw not in spec.choices:
            raise UnknownKeyError(
                f"{what} is {raw!r}. {nearest(str(raw), spec.choices)} Possible are: {', '.join(spec.choices)}."
            )
        return raw
    assert spec.item is not None
    if form == "record":
        return load_record(spec.item, raw, what)
    if not isinstance(raw, list):
        raise InputFileError(f"{what} must be a list of tables ([[...]]), not {raw!r}.")
    return tuple(load_record(spec.item, item, f"{what} {i}") for i, item in enumerate(raw, 1))


def _finite(raw: Any) -> bool:
    return bool(abs(raw) <= _LARGEST_NUMBER)  # false for NaN; a whole number of 400 digits must not become a float


def _within(spec: Spec, value: float, what: str, written: str) -> float:
    if not spec.low <= value <= spec.high:
        raise OutOfRangeError(
            f"{what} is {written}, outside {_limit(spec, spec.low)} to {_limit(spec, spec.high)}. {spec.doc}"
        )
    return value


def _limit(spec: Spec, value: float) -> str:
    return format_quantity(value, spec.kind) if spec.kind else f"{value:g}"


def _typed(raw: Any, wanted: type, what: str, words: str) -> Any:
    if not isinstance(raw, wanted):
        raise InputFileError(f"{what} is {raw!r}: {words} is expected.")
    return raw


def _example(spec: Spec) -> str:
    if spec.form == "quantity":
        return f" It is a {spec.kind} from {_limit(spec, spec.low)} to {_limit(spec, spec.high)}."
    if spec.form == "choice":
        return f" One of: {', '.join(spec.choices)}."
    return ""
