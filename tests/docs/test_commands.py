"""Every command and every option of the program is in docs/reference/commands.md, and nothing else is."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator

import pytest

from middlerun.cli.parser import build_parser
from tests.docs.pages import ROOT, page_name, pages

PAGE = (ROOT / "docs" / "reference" / "commands.md").read_text(encoding="utf-8")
_BLOCK = re.compile(r"```[a-z]*\n(.*?)```", re.DOTALL)


def _walk(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    inner = [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]
    for action in inner:
        for one in action.choices.values():
            yield from _walk(one)
    if not inner:
        yield parser


COMMANDS = {parser.prog: parser for parser in _walk(build_parser())}


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_command_is_described_with_its_options(name: str) -> None:
    section = re.search(rf"^#+ `{re.escape(name)}\b.*?`$(.*?)(?=^#+ `|\Z)", PAGE, re.MULTILINE | re.DOTALL)
    assert section, f"{name} has no heading in docs/reference/commands.md"
    for action in COMMANDS[name]._actions:
        for option in action.option_strings:
            if option not in ("-h", "--help", "--json"):  # the page says once that every command has these
                assert option in section[0], f"{name} {option} is not described"


def test_page_describes_nothing_that_is_not_there() -> None:
    headings = re.findall(r"^#+ `(middlerun(?: [a-z]+)+)", PAGE, re.MULTILINE)
    assert sorted(headings) == sorted(COMMANDS)


def _shown() -> list[tuple[str, str]]:
    found = []
    for page in pages():
        for block in _BLOCK.findall(page.read_text(encoding="utf-8")):
            for line in block.splitlines():
                match = re.match(r"^(?:\$ |> )?(?:\.venv\S*[/\\])?middlerun ((?:[a-z]+ ?)+)", line)
                if match:
                    found.append((page_name(page), match[1].strip()))
    return found


@pytest.mark.parametrize(("page", "words"), _shown(), ids=lambda value: value)
def test_pages_show_only_commands_that_exist(page: str, words: str) -> None:
    assert any(f"middlerun {words} ".startswith(f"{name} ") for name in COMMANDS), f"{page}: middlerun {words}"
