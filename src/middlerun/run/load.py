"""Procedures from files, and the ready ones of the library. A new ready procedure is one more file in `procedures/`."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from middlerun.errors import UnknownNameError
from middlerun.fields import load_record, load_toml_file, nearest, require_format
from middlerun.run.check import check_procedure
from middlerun.run.procedure import FORMAT, VERSION, Procedure

_LIBRARY = Path(__file__).with_name("procedures")


def load_procedure(path: str | Path) -> Procedure:
    """Read and check a procedure file ("middlerun-procedure/1").

    Raises InputFileError and its kinds for what can't be read, ProcedureError for what contradicts itself.
    """
    place = Path(path)
    data = require_format(load_toml_file(place), str(place), FORMAT, VERSION)
    return procedure_from_table(data, str(place))


def procedure_from_table(data: Mapping[str, Any], where: str) -> Procedure:
    """Make and check a procedure from a table without a `format` line; `where` names its place in every error."""
    procedure = load_record(Procedure, data, where)
    check_procedure(procedure)
    return procedure


def procedure_names() -> tuple[str, ...]:
    """Return the names of the ready procedures, sorted.

    >>> "single-pass-with-plates" in procedure_names()
    True
    """
    return tuple(sorted(path.stem for path in _LIBRARY.glob("*.toml")))


def library_procedure(name: str) -> Procedure:
    """Return a ready procedure by name; UnknownNameError names the nearest.

    >>> library_procedure("stripping-run").phases[0].name
    'heat up'
    """
    names = procedure_names()
    if name not in names:
        raise UnknownNameError(f'There is no ready procedure "{name}". {nearest(name, names)}')
    return load_procedure(_LIBRARY / f"{name}.toml")


def find_procedure(name_or_path: str, folder: Path | None = None) -> Procedure:
    """Return a ready procedure by name, or one from a file: what ends in ".toml" is a path, relative to `folder`."""
    if name_or_path.endswith(".toml"):
        return load_procedure((folder or Path()) / name_or_path)
    return library_procedure(name_or_path)
