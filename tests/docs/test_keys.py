"""Every key that a file may hold is in its reference page, with its unit kind's range; every library entry is named."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from middlerun.fields import specs
from middlerun.plan.description import Charge, Limits, Source, Weather
from middlerun.run import Procedure
from middlerun.still import Still
from tests.docs.pages import ROOT

REFERENCE = ROOT / "docs" / "reference"


def _keys(cls: type) -> Iterator[tuple[str, str]]:
    for key, spec in specs(cls).items():
        yield cls.__name__, key
        if spec.item is not None:
            yield from _keys(spec.item)


def _cases() -> list[tuple[str, str, str]]:
    described: list[tuple[str, type]] = [("still-file.md", Still), ("procedure-file.md", Procedure)]
    described += [("plan-file.md", cls) for cls in (Charge, Source, Weather, Limits)]
    return sorted({(page, *pair) for page, cls in described for pair in _keys(cls)})


@pytest.mark.parametrize(("page", "record", "key"), _cases(), ids=lambda value: value)
def test_key_is_described(page: str, record: str, key: str) -> None:
    assert f"`{key}`" in (REFERENCE / page).read_text(encoding="utf-8"), f"{record}.{key} is not in {page}"


PLAN = ("name", "note", "invented", "still", "procedure", "charge", "weather", "limits", "category")


@pytest.mark.parametrize("key", PLAN)
def test_key_of_the_plan_itself_is_described(key: str) -> None:
    assert f"`{key}`" in (REFERENCE / "plan-file.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("folder", ["still/plate_types", "plan/charge_kinds"])
def test_recipes_name_every_folder_that_takes_files(folder: str) -> None:
    extending = (ROOT / "docs" / "extending.md").read_text(encoding="utf-8")
    assert f"src/middlerun/{folder}/" in extending
    assert list(Path(ROOT / "src" / "middlerun" / folder).glob("*.toml"))
