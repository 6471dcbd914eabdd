"""docs/validation/engine.md says what the code gives."""

import pytest

from validation import engine_page, pages


@pytest.mark.slow
def test_page_on_disk_matches_the_code():
    on_disk = engine_page.PAGE.read_text(encoding="utf-8")
    assert pages.differences(on_disk, engine_page.page()) == [], "run python -m validation.engine_page"


def test_summary_on_disk_misses_nothing_but_what_it_explains():
    lines = engine_page.PAGE.read_text(encoding="utf-8").splitlines()
    missed = [line for line in lines if line.endswith("**missed** |")]
    assert len(missed) == 1
    assert "constant molar overflow" in missed[0]
    assert sum(line.endswith("| met |") for line in lines) == 10


def test_pages_differ_where_words_or_numbers_differ():
    page = "| a | 1.234 | 2e-06 |\n"
    assert pages.differences(page, page) == []
    assert pages.differences(page, "| a | 1.238 | 7e-06 |\n") == []
    assert pages.differences(page, "| a | 1.240 | 2e-06 |\n")
    assert pages.differences(page, "| a | 1.234 | 3e-05 |\n")
    assert pages.differences(page, "| b | 1.234 | 2e-06 |\n")
    assert pages.differences(page, page + page)
