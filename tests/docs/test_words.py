"""Words that pages must not hold: paths of one machine, hosts of package registries, units without a basis."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.docs.pages import ROOT, page_name, pages

_TEXT = {".py", ".md", ".toml", ".csv", ".json", ".txt", ".html", ".typ", ".css", ".svg", ".cfg", ".yml", ""}
_SKIPPED = {
    ".git",
    ".venv",
    "out",
    "build",
    "dist",
    "__pycache__",
    ".mypy_cache",
    ".ruff_cache",
    ".pytest_cache",
    ".hypothesis",
    ".import_linter_cache",
    "middlerun.egg-info",
}
_MACHINE = re.compile(r"(?<![\w.~])/(?:home|root|work|Users|private|mnt)/\w")
_REGISTRY = re.compile(r"\b(?:pypi\.org|pythonhosted\.org|registry\.npmjs|index-url|test\.pypi)\b")
_LOOSE = re.compile(r"(?<![\w-])(?:proof|gallons?|degrees?)(?![\w-])", re.IGNORECASE)


def _files() -> list[Path]:
    found = [path for path in ROOT.rglob("*") if path.is_file() and not _SKIPPED & set(path.relative_to(ROOT).parts)]
    return sorted(path for path in found if path.suffix in _TEXT and path != Path(__file__))


@pytest.mark.parametrize("pattern", [_MACHINE, _REGISTRY], ids=["machine paths", "registry hosts"])
def test_nothing_names_one_machine_or_registry(pattern: re.Pattern[str]) -> None:
    found = []
    for path in _files():
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1):
            if pattern.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}")
    assert found == []


@pytest.mark.parametrize("page", pages(), ids=page_name)
def test_pages_name_the_basis_of_every_unit(page: Path) -> None:
    text = re.sub(r"```.*?```|`[^`\n]*`", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert _LOOSE.findall(text) == []
