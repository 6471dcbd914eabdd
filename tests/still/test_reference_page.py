"""The reference page of the still file is the one that the code's fields give."""

from __future__ import annotations

import runpy
from pathlib import Path

from middlerun.still import check_still, read_still

SCRIPT = Path(__file__).parents[2] / "docs" / "reference" / "still_file.py"


def test_page_is_up_to_date() -> None:
    page = runpy.run_path(str(SCRIPT))["page"]()
    assert SCRIPT.with_name("still-file.md").read_text(encoding="utf-8") == page, f"Run python {SCRIPT.name} again."


def test_the_shortest_still_of_the_page_is_complete() -> None:
    page = SCRIPT.with_name("still-file.md").read_text(encoding="utf-8")
    example = page.split("```toml\n")[1].split("```")[0]
    assert [f for f in check_still(read_still(example, "example")) if f.level != "note"] == []
