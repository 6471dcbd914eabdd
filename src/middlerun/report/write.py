"""All outputs of a run in one folder, whole or not at all."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from middlerun.errors import InputFileError
from middlerun.plan.result import Run

PICTURE_FOLDER = "plots"
DOCUMENT = "run.json"  # moved last: a folder that has it has the rest
_PICTURES = ("temperatures", "product", "heat-and-water", "plates", "cuts")


def write_outputs(run: Run, folder: Path, progress: Callable[[str], None] | None = None) -> list[Path]:
    """Write run sheet (PDF, HTML), pictures (SVG, PNG), series (CSV) and document (JSON) of a run; return the paths.

    Everything is made in a temporary folder beside the target and moved when all of it is there. A target that exists
    keeps what else it holds, and loses pictures that an earlier run left and this one has not. `progress` is called
    with the name of each file when it is made.

    Raises InputFileError when the target is a file, lies where nothing can be written, or the disk is full.
    """
    folder = Path(folder)
    _check(folder)
    said = progress or (lambda name: None)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        beside = folder if folder.is_dir() else folder.parent
        partial = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", suffix=".partial", dir=beside))
    except OSError as error:
        raise _refused(folder, error) from None
    try:
        made = partial / folder.name
        made.mkdir()
        _write_all(run, made, said)
        return _move(made, folder)
    except OSError as error:
        raise _refused(folder, error) from None
    finally:
        shutil.rmtree(partial, ignore_errors=True)


def _write_all(run: Run, made: Path, said: Callable[[str], None]) -> None:
    """The typesetter runs beside the pictures: it is compiled code that lets other threads go on."""
    from middlerun.report.document import write_json
    from middlerun.report.plots import write_pictures
    from middlerun.report.run_sheet import run_sheet_html, run_sheet_pdf
    from middlerun.report.series_csv import write_series

    plots = made / PICTURE_FOLDER
    plots.mkdir()
    with ThreadPoolExecutor(max_workers=1) as beside:
        paper = beside.submit(run_sheet_pdf, run)
        (made / "run-sheet.html").write_text(run_sheet_html(run), encoding="utf-8")
        said("run-sheet.html")
        write_pictures(run, plots, lambda name: said(f"{PICTURE_FOLDER}/{name}"))
        (made / "run-sheet.pdf").write_bytes(paper.result())
        said("run-sheet.pdf")
    write_series(run, made / "series.csv")
    said("series.csv")
    write_json(run, made / DOCUMENT)
    said(DOCUMENT)


def _check(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise InputFileError(f"{folder} is a file; give the path of a folder for the outputs.")
    near = next((place for place in (folder, *folder.absolute().parents) if place.exists()), Path("/"))
    if not near.is_dir():
        raise InputFileError(f"{folder} can't be made: {near} is a file. Give another folder for the outputs.")
    if not os.access(near, os.W_OK | os.X_OK):
        raise InputFileError(f"{folder} can't be written: {near} is closed to you. Give a folder of your own.")


def _refused(folder: Path, error: OSError) -> InputFileError:
    return InputFileError(
        f"{folder} can't be written: {error.strerror or error}. Nothing half-written is left; "
        "make room, or give another folder."
    )


def _move(made: Path, folder: Path) -> list[Path]:
    """Move what was made to its place: the whole folder at once where there is none yet, else file by file."""
    names = sorted(
        (path.relative_to(made) for path in made.rglob("*") if path.is_file()), key=lambda name: str(name) == DOCUMENT
    )
    if not folder.exists():
        os.replace(made, folder)
        return [folder / name for name in names]
    for name in names:
        (folder / name).parent.mkdir(exist_ok=True)
        os.replace(made / name, folder / name)
    for picture in _PICTURES:
        for form in ("svg", "png"):
            if Path(PICTURE_FOLDER, f"{picture}.{form}") not in names:
                (folder / PICTURE_FOLDER / f"{picture}.{form}").unlink(missing_ok=True)
    return [folder / name for name in names]
