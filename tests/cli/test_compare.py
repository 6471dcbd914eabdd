"""`middlerun compare` on the demo plan."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "examples" / "demo-plan.toml"


def test_each_setting_by_itself_beside_the_plan_as_it_is(command) -> None:
    words = ("--set", "weather.water=8 Cel,16 Cel", "--set", "hold_head_strength=80 %{vol}")
    document = json.loads(command("compare", DEMO, *words, "--json").out)
    assert [row["settings"] for row in document["rows"]] == [
        {},
        {"weather.water": "8 Cel"},
        {"weather.water": "16 Cel"},
        {"hold_head_strength": "80 %{vol}"},
    ]
    first = document["rows"][0]
    assert all(value == 0 for value in first["differences"].values() if value is not None)
    assert document["rows"][3]["values"]["hearts_strength"] < first["values"]["hearts_strength"]
    assert set(first["values"]) == set(document["units"])


def test_grid_runs_every_combination(command) -> None:
    words = ("--grid", "weather.water=8 Cel,16 Cel; weather.room=10 Cel,30 Cel")
    document = json.loads(command("compare", DEMO, *words, "--json").out)
    assert len(document["rows"]) == 5
    assert document["rows"][-1]["settings"] == {"weather.water": "16 Cel", "weather.room": "30 Cel"}


def test_first_row_is_what_predict_gives(command) -> None:
    document = json.loads(command("compare", DEMO, "--set", "weather.water=8 Cel", "--json").out)
    run = json.loads(command("predict", DEMO, "--json").out)
    assert document["rows"][0]["values"]["duration"] == pytest.approx(run["totals"]["duration"], rel=1e-6)


def test_a_setting_that_is_refused_is_a_row_with_its_reason(command) -> None:
    answer = command("compare", DEMO, "--set", "charge.volume=90 L,140 L", "--json")
    assert answer.code == 0
    rows = json.loads(answer.out)["rows"]
    assert rows[1]["error"] is None
    assert "too full" in rows[2]["error"]
    assert rows[2]["values"] == {}
    assert "too full" in " ".join(command("compare", DEMO, "--set", "charge.volume=140 L").out.split())


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ((), "Say what to vary"),
        (("--set", "weather.watter=8 Cel"), 'Did you mean "weather.water"?'),
        (("--set", "weather.water"), "is not a setting"),
        (("--set", "weather.water=8"), "the unit is missing"),
        (("--set", "weather.water=80 Cel"), "outside"),
        (("--grid", "weather.water=8 Cel; weather.water=9 Cel"), "given twice"),
    ],
)
def test_wrong_settings_are_told(command, tmp_path, words, part) -> None:
    answer = command("compare", DEMO, *words, "--out", tmp_path / "out")
    assert answer.code == 2
    assert part in answer.err
    assert answer.out == ""
    assert list(tmp_path.iterdir()) == []


def test_folder_gets_table_picture_and_document(command, tmp_path) -> None:
    answer = command("compare", DEMO, "--set", "weather.water=8 Cel,16 Cel", "--out", tmp_path)
    assert answer.code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        f"comparison.{end}" for end in ("csv", "json", "png", "svg")
    ]
    document = json.loads((tmp_path / "comparison.json").read_text(encoding="utf-8"))
    with (tmp_path / "comparison.csv").open(encoding="utf-8", newline="") as stream:
        names, units, *rows = list(csv.reader(stream))
    assert len(rows) == len(document["rows"]) == 3
    column = names.index("duration")
    assert units[column] == "min"
    for row, other in zip(rows, document["rows"], strict=True):
        assert float(row[column]) == pytest.approx(other["values"]["duration"] / 60, rel=1e-5)  # six digits are written


def test_table_fits_a_terminal(command) -> None:
    text = command("compare", DEMO, "--grid", "weather.water=6 Cel,8 Cel,10 Cel,12 Cel,14 Cel").out
    assert max(map(len, text.splitlines())) <= 120
    assert "as planned" in text


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no pseudo-terminals")
def test_bar_only_on_a_terminal_and_only_when_it_takes_long(tmp_path: Path) -> None:
    import pty

    values = ",".join(f"{8 + 0.01 * i:.3f} Cel" for i in range(500))
    words = [sys.executable, "-m", "middlerun", "compare", str(DEMO), "--json", "--set"]
    shown: dict[str, bytes] = {}
    for name, setting in (("many", f"weather.water={values}"), ("few", "weather.water=8 Cel")):
        reader, writer = pty.openpty()
        # The document goes to a file: two pipes that are read one after the other would block each other.
        with (
            (tmp_path / name).open("wb") as out,
            subprocess.Popen([*words, setting], stdout=out, stderr=writer, env={**os.environ, "TERM": "xterm"}),
        ):
            os.close(writer)
            shown[name] = _read_all(reader)
        json.loads((tmp_path / name).read_text(encoding="utf-8"))
    assert b"Predicting" in shown["many"]
    assert b"Predicting" not in shown["few"]
    plain = subprocess.run([*words, f"weather.water={values}"], capture_output=True, check=True)
    assert b"Predicting" not in plain.stderr


def _read_all(reader: int) -> bytes:
    """Read what a pseudo-terminal was told; Linux ends it with an error."""
    parts = []
    try:
        while part := os.read(reader, 65536):
            parts.append(part)
    except OSError:
        pass
    os.close(reader)
    return b"".join(parts)
