"""What a command prints and writes: one JSON document, text for people, files that appear whole or not at all."""

from __future__ import annotations

import json
import math
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from middlerun.errors import InputFileError

if TYPE_CHECKING:
    from rich.console import Console


def print_json(document: Any) -> None:
    """Print one JSON document on standard output; NaN and infinity become null, which JSON has no word for.

    >>> print_json({"strength": float("nan")})
    {"strength": null}
    """
    sys.stdout.write(json_text(document))


def json_text(document: Any) -> str:
    """Return a document as strict JSON with a line end."""
    return json.dumps(plain(document), ensure_ascii=False, allow_nan=False) + "\n"


def plain(value: Any) -> Any:
    """Return the value with tuples, arrays and mappings made into what JSON knows, and non-finite numbers into None.

    >>> plain({"levels": (1.0, float("inf"))})
    {'levels': [1.0, None]}
    """
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if value is None or isinstance(value, (bool, int, str)):
        return value
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    return str(value)


def say(text: str) -> None:
    """Print text for people on standard error."""
    print(text, file=sys.stderr, flush=True)


def console(*, stderr: bool = False) -> Console:
    """Return a rich console; without a terminal it is 120 characters wide, and COLUMNS overrides that."""
    from rich.console import Console

    stream = sys.stderr if stderr else sys.stdout
    width = None if stream.isatty() or os.environ.get("COLUMNS") else 120
    return Console(stderr=stderr, width=width, highlight=False, soft_wrap=False)


@contextmanager
def folder_written_whole(folder: Path) -> Iterator[Path]:
    """Give a temporary folder beside `folder`; when the block ends well its files move there, else nothing is left.

    Raises InputFileError when `folder` is a file or can't be made.
    """
    if folder.exists() and not folder.is_dir():
        raise InputFileError(f"{folder} is a file; give the name of a folder for the results.")
    made = _missing_parents(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        partial = Path(tempfile.mkdtemp(prefix=".writing-", dir=folder))
    except OSError as error:
        _remove_empty(made)
        raise InputFileError(f"{folder} can't be written: {error.strerror or error}. Choose another folder.") from None
    try:
        yield partial
        for path in sorted(partial.iterdir()):
            target = folder / path.name
            if target.is_dir():
                raise InputFileError(f"{target} is a folder, where a file is to be written. Choose another folder.")
            os.replace(path, target)
    finally:
        shutil.rmtree(partial, ignore_errors=True)
        _remove_empty(made)


def write_whole(path: Path, content: str, *, overwrite: bool = True) -> None:
    """Write a text file in one step, so that no half of it is ever there. Raises InputFileError when it can't be."""
    if path.is_dir():
        raise InputFileError(f"{path} is a folder; give the name of a file.")
    if path.exists() and not overwrite:
        raise InputFileError(f"{path} is already there and was left as it is. Choose another name, or add --force.")
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
    except OSError as error:
        raise InputFileError(f"{path} can't be written: {error.strerror or error}. Choose another place.") from None
    try:
        os.fchmod(handle, 0o644) if hasattr(os, "fchmod") else None
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(content)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _missing_parents(folder: Path) -> list[Path]:
    """Return `folder` and those of its parents that do not exist yet, deepest first."""
    return [path for path in (folder, *folder.parents) if not path.exists()]


def _remove_empty(folders: list[Path]) -> None:
    for folder in folders:
        try:
            folder.rmdir()
        except OSError:
            return
