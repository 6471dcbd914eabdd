"""Every link of every page leads somewhere, and every page can be reached from the README."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.docs.pages import ROOT, page_name, pages

_LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)\)")
_CODE = re.compile(r"```.*?```|`[^`\n]*`", re.DOTALL)
_HEADING = re.compile(r"^#{1,6} +(.*?) *#*$", re.MULTILINE)


def _links(page: Path) -> list[str]:
    return _LINK.findall(_CODE.sub("", page.read_text(encoding="utf-8")))


def _anchors(page: Path) -> set[str]:
    headings = _HEADING.findall(re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL))
    return {re.sub(r"[^\w\- ]", "", heading.lower()).strip().replace(" ", "-") for heading in headings}


def _target(page: Path, link: str) -> tuple[Path, str]:
    path, _, anchor = link.partition("#")
    return (page.parent / path).resolve() if path else page, anchor


def _local(page: Path) -> list[str]:
    return [link for link in _links(page) if "://" not in link and not link.startswith("mailto:")]


@pytest.mark.parametrize("page", pages(), ids=page_name)
def test_links_resolve(page: Path) -> None:
    for link in _local(page):
        target, anchor = _target(page, link)
        assert target.exists(), f"{page_name(page)} links to {link}, which is not there"
        assert ROOT in (target, *target.parents), f"{page_name(page)} links out of the project: {link}"
        if anchor and target.suffix == ".md":
            assert anchor in _anchors(target), f"{page_name(page)} links to a missing heading: {link}"


def test_every_page_can_be_reached() -> None:
    reached: set[Path] = set()
    waiting = [ROOT / "README.md"]
    while waiting:
        page = waiting.pop()
        if page in reached:
            continue
        reached.add(page)
        for target in (_target(page, link)[0] for link in _local(page)):
            waiting += target.glob("*.md") if target.is_dir() else [target] if target.suffix == ".md" else []
    lost = [page_name(page) for page in pages() if page not in reached]
    assert lost == []
