"""The reference pages of plans, procedures and warnings are those that the code gives."""

from __future__ import annotations

import runpy
from pathlib import Path

import pytest

from middlerun.plan import check_plan, load_plan
from middlerun.run import load_procedure

SCRIPT = Path(__file__).parents[2] / "docs" / "reference" / "plan_files.py"
PAGES = runpy.run_path(str(SCRIPT))["PAGES"]


@pytest.mark.parametrize("name", sorted(PAGES))
def test_page_is_up_to_date(name: str) -> None:
    assert SCRIPT.with_name(name).read_text(encoding="utf-8") == PAGES[name](), f"Run python {SCRIPT.name} again."


def test_examples_of_the_pages_load(tmp_path: Path) -> None:
    for name, load in (("plan-file.md", load_plan), ("procedure-file.md", load_procedure)):
        example = SCRIPT.with_name(name).read_text(encoding="utf-8").split("```toml\n")[1].split("```")[0]
        path = tmp_path / f"{name}.toml"
        path.write_text(example, encoding="utf-8")
        assert load(path)
    check_plan(load_plan(tmp_path / "plan-file.md.toml"))
