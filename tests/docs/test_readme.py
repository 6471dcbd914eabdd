"""The README shows the demo as it is: its table, its first line, its picture."""

from __future__ import annotations

import re

from middlerun.app import main
from tests.docs.pages import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def _numbers(text: str) -> list[list[float]]:
    """Return the numbers of each row of a printed table; times h:min as hours."""
    rows = []
    for line in text.splitlines():
        cells = re.findall(r"(?<![\w.:])(\d+):(\d\d)\b|(?<![\w.:])(\d+\.\d+)\b", line)
        if len(cells) > 3:
            rows.append(
                [float(number) if number else int(hours) + int(minutes) / 60 for hours, minutes, number in cells]
            )
    return rows


def test_table_is_that_of_the_demo(capsys, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    assert main(["predict", str(ROOT / "examples" / "demo-plan.toml")]) == 0
    printed = capsys.readouterr().out
    fractions = printed[printed.index("Fractions") : printed.index("Totals")]
    (shown,) = re.findall(r"```text\n(Fractions\n.*?)```", README, re.DOTALL)
    now, then = _numbers(fractions), _numbers(shown)
    assert [len(row) for row in now] == [len(row) for row in then]
    for row, old in zip(now, then, strict=True):
        for value, before in zip(row, old, strict=True):
            # One digit in the last place, or 1 %: other processors round differently.
            assert abs(value - before) <= max(0.11, 0.01 * value), f"README shows {before}, the demo gives {value}"


def test_first_command_is_the_demo() -> None:
    first = re.search(r"^```\n(.*?)\n```", README, re.MULTILINE | re.DOTALL)
    assert first is not None
    assert first[1] == "make demo"


def test_windows_needs_one_line_and_no_make() -> None:
    (line,) = [line for line in README.splitlines() if line.startswith("py -3")]
    for part in ("-m venv", "install -c constraints.txt .", "predict examples\\demo-plan.toml --out out"):
        assert part in line


def test_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph, heading = README.split("\n\n")[:3]
    assert title == "# Middlerun"
    assert "predicts the whole run" in " ".join(paragraph.split())
    assert heading.startswith("## ")
