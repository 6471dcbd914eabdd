"""Pictures as files: SVG with its title and summary inside, and PNG. `run_pictures.py` says what is on them."""

from __future__ import annotations

import io
import re
import threading
from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path

from middlerun.plan.result import Run
from middlerun.report.chart import STYLE, draw
from middlerun.report.picture import Picture
from middlerun.report.run_pictures import pictures

FORMATS = ("svg", "png")
DPI = 110
_ONE_AT_A_TIME = threading.Lock()  # the plotting library's style is one for the whole process


def picture_bytes(picture: Picture, form: str) -> bytes:
    """Draw one picture and return the file's bytes; `form` is "svg" or "png". The same picture gives the same bytes."""
    return next(iter(_drawn(picture, (form,)).values()))


def write_pictures(run: Run, folder: Path, progress: Callable[[str], None] | None = None) -> list[Path]:
    """Write every picture of a run as SVG and PNG into a folder that exists; return the paths."""
    return save_pictures(pictures(run), folder, progress)


def save_pictures(made: Iterable[Picture], folder: Path, progress: Callable[[str], None] | None = None) -> list[Path]:
    """Draw pictures once each and write both files; return the paths."""
    paths = []
    for picture in made:
        for form, content in _drawn(picture, FORMATS).items():
            path = folder / f"{picture.name}.{form}"
            path.write_bytes(content)
            paths.append(path)
            if progress:
                progress(path.name)
    return paths


def _drawn(picture: Picture, forms: Iterable[str]) -> dict[str, bytes]:
    import matplotlib

    found = {}
    with _ONE_AT_A_TIME, matplotlib.rc_context(STYLE):
        figure = draw(picture)
        for form in forms:
            buffer = io.BytesIO()
            if form == "svg":
                about = {"Date": None, "Creator": "Middlerun", "Title": picture.title}
                figure.savefig(buffer, format="svg", metadata=about)
                found[form] = _described(buffer.getvalue().decode(), picture).encode()
            else:
                about = {"Title": picture.title, "Description": picture.summary}
                figure.savefig(buffer, format="png", dpi=DPI, metadata=about)
                found[form] = buffer.getvalue()
    return found


def _described(svg: str, picture: Picture) -> str:
    """Put title and summary where a screen reader looks for them."""
    inside = f"<title>{escape(picture.title)}</title><desc>{escape(picture.summary)}</desc>"
    return re.sub(r"(<svg\b[^>]*)>", lambda match: f'{match[1]} role="img">{inside}', svg, count=1)
