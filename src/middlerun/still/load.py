"""Stills from files: a path, or a name in the library of invented stills."""

from __future__ import annotations

import functools
import importlib.resources
from pathlib import Path

from middlerun.errors import InputFileError, UnknownNameError
from middlerun.fields import load_record, load_toml_file, nearest, parse_toml, require_format
from middlerun.still.description import FORMAT, VERSION, Still


def read_still(content: str, name: str) -> Still:
    """Read a still from the text of a file; `name` stands for the file in every error.

    InputFileError and its kin say what is wrong and where; UnitError and OutOfRangeError do for single values.
    """
    return load_record(Still, require_format(parse_toml(content, name), name, FORMAT, VERSION), name)


def load_still(path: str | Path) -> Still:
    """Read a still from a TOML file of the format "middlerun-still/1"."""
    path = Path(path)
    return load_record(Still, require_format(load_toml_file(path), str(path), FORMAT, VERSION), str(path))


def library_names() -> tuple[str, ...]:
    """Return the names of the invented stills that come with the program, sorted.

    >>> "bain-marie-100-3-plates" in library_names()
    True
    """
    folder = importlib.resources.files("middlerun.still") / "library"
    return tuple(sorted(f.name.removesuffix(".toml") for f in folder.iterdir() if f.name.endswith(".toml")))


@functools.cache
def library_still(name: str) -> Still:
    """Return a library still by its name; UnknownNameError names the nearest.

    >>> library_still("bain-marie-100-3-plates").invented
    True
    """
    if name not in library_names():
        raise UnknownNameError(f'There is no still "{name}" in the library. {nearest(name, library_names())}')
    return read_still(library_text(name), f"{name}.toml")


def library_text(name: str) -> str:
    """Return a library still's file, comments included, to be copied and changed."""
    if name not in library_names():
        raise UnknownNameError(f'There is no still "{name}" in the library. {nearest(name, library_names())}')
    return (importlib.resources.files("middlerun.still") / "library" / f"{name}.toml").read_text(encoding="utf-8")


def find_still(name_or_path: str | Path, relative_to: str | Path | None = None) -> Still:
    """Return a still named in a plan or at the command line: a library name, or the path of a file.

    Whatever ends in `.toml` or holds a path separator is a path, taken from the folder `relative_to` unless absolute.
    """
    text = str(name_or_path)
    if not text.strip():
        raise InputFileError("The still has no name. Give a name of the library or the path of a still file.")
    if not (text.endswith(".toml") or "/" in text or "\\" in text):
        return library_still(text)
    path = Path(text)
    return load_still(path if relative_to is None or path.is_absolute() else Path(relative_to) / path)
