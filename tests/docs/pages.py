"""The pages that the tests of the documentation read."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).parents[2]
FOLDERS = ("docs", "validation", "examples", "benchmarks")


def pages() -> list[Path]:
    """Return every Markdown page of the project."""
    found = [path for folder in FOLDERS for path in (ROOT / folder).rglob("*.md")]
    return sorted([*ROOT.glob("*.md"), *found])


def page_name(path: Path) -> str:
    """Return a page's path from the root, as a test's name."""
    return str(path.relative_to(ROOT))
