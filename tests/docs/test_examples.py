"""What a page tells its reader to type works, with the files that the page shows, in the order of the page."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from middlerun.app import main
from middlerun.still import library_text
from tests.docs.pages import ROOT, page_name

PAGES = [
    ROOT / "README.md",
    *sorted((ROOT / "docs" / "tutorial").glob("*.md")),
    *sorted((ROOT / "docs" / "how-to").glob("*.md")),
]
_BLOCK = re.compile(r"^ *```(\w*)\n(.*?)^ *```", re.MULTILINE | re.DOTALL)
pytestmark = pytest.mark.slow


def _blocks(page: Path) -> list[tuple[str, str]]:
    return [
        (kind, re.sub(r"^ {3}", "", text, flags=re.MULTILINE)) for kind, text in _BLOCK.findall(page.read_text("utf-8"))
    ]


def _files(page: Path) -> dict[str, str]:
    """Return the files that a page shows: TOML whose first line is a comment with the file's name."""
    named = {}
    for kind, text in _blocks(page):
        match = re.match(r"# ([\w-]+\.toml)\n", text)
        if kind == "toml" and match:
            named[match[1]] = text
    return named


def _commands(page: Path) -> list[str]:
    lines = [line for kind, text in _blocks(page) if kind == "" for line in text.splitlines()]
    inline = re.findall(r"`(--(?:set|grid) \"[^`]*\")`", page.read_text("utf-8"))
    return [line for line in lines if line.startswith("middlerun ")] + [
        f"middlerun compare my-plan.toml {w}" for w in inline
    ]


@pytest.mark.parametrize("page", PAGES, ids=page_name)
def test_page_can_be_followed(page: Path, tmp_path: Path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-still.toml").write_text(library_text("bain-marie-100-3-plates"), encoding="utf-8")
    tutorial = ROOT / "docs" / "tutorial" / "first-prediction.md"
    for name, text in {**_files(tutorial), **_files(page)}.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    commands = _commands(page)
    assert commands
    for line in commands:
        words, _, target = line.removeprefix("middlerun ").partition(" > ")
        if words.startswith("still new"):
            continue  # asks on a terminal; tests/cli/test_still_new.py answers
        code = main(shlex.split(words))
        captured = capsys.readouterr()
        assert code == 0, f"{line}: {captured.err}"
        if target:
            (tmp_path / target.strip()).write_text(captured.out, encoding="utf-8")


def test_python_of_the_readme_works(monkeypatch, capsys) -> None:
    monkeypatch.chdir(ROOT)
    (code,) = [text for kind, text in _blocks(ROOT / "README.md") if kind == "python"]
    exec(compile(code, "README.md", "exec"), {})
    duration, strength = map(float, capsys.readouterr().out.split())
    assert 3600 < duration < 12 * 3600
    assert 0.4 < strength < 0.97
