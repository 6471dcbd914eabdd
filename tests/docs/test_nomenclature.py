"""The names of public arguments are those of docs/nomenclature.md, its one list, and every name there is in use."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from importlib import import_module

import pytest

from tests.docs.pages import ROOT

ROOMS = ("units", "substances", "alcoholometry", "still", "law", "column", "run", "plan", "report")
_SECTION = (ROOT / "docs" / "nomenclature.md").read_text(encoding="utf-8").split("## Arguments of public functions")[1]
LISTED = {
    name for row in _SECTION.splitlines() if row.startswith("| `") for name in re.findall(r"`(\w+)`", row.split("|")[1])
}


def _arguments(room: str) -> Iterator[tuple[str, str]]:
    """Yield (function, argument) for every public function of a room; records and classes are not looked at."""
    module = import_module(f"middlerun.{room}")
    for name in module.__all__:
        thing = getattr(module, name)
        if callable(thing) and not isinstance(thing, type):
            for argument in inspect.signature(thing).parameters:
                yield name, argument


@pytest.mark.parametrize("room", ROOMS)
def test_public_arguments_have_names_of_the_nomenclature(room: str) -> None:
    assert [(function, argument) for function, argument in _arguments(room) if argument not in LISTED] == []


def test_every_listed_argument_is_one() -> None:
    used = {argument for room in ROOMS for _, argument in _arguments(room)}
    assert LISTED - used == set()
