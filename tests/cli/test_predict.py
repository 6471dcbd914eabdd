"""`middlerun predict` on the demo plan: one document, whole folders, and every kind of bad plan refused in words."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.process import start

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "examples" / "demo-plan.toml"
# An invented plan of its own, so that the demo plan may change.
TEXT = """format = "middlerun-plan/1"
name = "Trial"
invented = true
still = "bain-marie-150-4-plates"
category = "eu-fruit-spirit"

[charge]
volume = "100 L"
strength = "5.5 %{vol}"
kind = "plum-mash"

[weather]
altitude = "420 m"
water = "12 Cel"

[procedure]
name = "Single pass"
needs = "plates"

[[procedure.phases]]
name = "heat up"
heater = "18 kW"
vent_open = true
ends = { pot_temperature = "80 Cel" }

[[procedure.phases]]
name = "total reflux"
heater = "6 kW"
dephlegmator_water_share = "100 %"
vent_open = false
ends = { time = "45 min" }

[[procedure.phases]]
name = "hearts"
fraction = "hearts"
heater = "4.5 kW"
hold_head_strength = "83 %{vol}"
ends = { lpa_share = "60 %", time = "4 h" }

[[procedure.phases]]
name = "tails"
fraction = "tails"
dephlegmator_water = "0 L/h"
ends = { product_strength = "10 %{vol}", time = "40 min" }
"""


def test_document_is_the_run(command) -> None:
    answer = command("predict", DEMO, "--json")
    assert answer.code == 0
    assert answer.out.count("\n") == 1
    document = json.loads(answer.out)
    assert document["format"].startswith("middlerun-run/")
    assert [phase["name"] for phase in document["phases"]][-1] == "shut down"
    assert len(document["series"]["time"]) == len(document["series"]["pot_temperature"])


def test_the_same_plan_gives_the_same_document(command) -> None:
    assert command("predict", DEMO, "--json").out == command("predict", DEMO, "--json").out


def test_summary_shows_phases_fractions_totals_and_warnings(command) -> None:
    text = command("predict", DEMO).out
    for words in ("Phases", "Fractions", "Totals", "Warnings", "invented", "unattended"):
        assert words in text
    document = json.loads(command("predict", DEMO, "--json").out)
    for phase in document["phases"]:
        assert phase["name"] in text
    assert max(map(len, text.splitlines())) <= 120


@pytest.mark.parametrize("width", [80, 100, 200])
def test_tables_fit_the_terminal_without_breaking_words(command, monkeypatch, width) -> None:
    document = json.loads(command("predict", DEMO, "--json").out)
    monkeypatch.setenv("COLUMNS", str(width))
    lines = command("predict", DEMO).out.splitlines()
    assert max(map(len, lines)) <= width
    for phase in document["phases"]:
        assert any(line.startswith(f" {phase['name']} ") for line in lines)
    for fraction in document["fractions"]:
        assert any(line.startswith(f" {fraction['name']} ") for line in lines)


def test_every_changes_the_rows_and_not_the_run(command) -> None:
    fine = json.loads(command("predict", DEMO, "--json").out)
    coarse = json.loads(command("predict", DEMO, "--json", "--every", "1 min").out)
    assert 5 < len(fine["series"]["time"]) / len(coarse["series"]["time"]) < 7
    for name in ("duration", "collected_pure_alcohol", "heat_supplied"):
        assert coarse["totals"][name] == pytest.approx(fine["totals"][name], rel=1e-9)  # the same steps, other rows


@pytest.mark.parametrize("every", ["10", "0.1 s", "2 h", "10 kW", "often", "-5 s"])
def test_every_is_a_time_within_limits(command, every) -> None:
    answer = command("predict", DEMO, f"--every={every}")
    assert answer.code == 2
    assert "--every" in answer.err


def test_folder_gets_every_file_beside_the_document(command, tmp_path) -> None:
    answer = command("predict", DEMO, "--json", "--out", tmp_path / "new" / "out")
    document = json.loads(answer.out)
    names = {path.name for path in (tmp_path / "new" / "out").rglob("*") if path.is_file()}
    assert {"run.json", "series.csv", "run-sheet.pdf", "run-sheet.html"} <= names
    assert any(name.endswith(".svg") for name in names)
    assert any(name.endswith(".png") for name in names)
    written = json.loads((tmp_path / "new" / "out" / "run.json").read_text(encoding="utf-8"))
    assert written == document
    assert [path.name for path in tmp_path.iterdir()] == ["new"]
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["out"]


def test_a_file_in_the_place_of_the_folder_is_refused(command, tmp_path) -> None:
    target = tmp_path / "out"
    target.write_text("mine", encoding="utf-8")
    answer = command("predict", DEMO, "--out", target)
    assert answer.code == 2
    assert answer.out == ""
    assert target.read_text(encoding="utf-8") == "mine"


def _changed(old: str, new: str) -> str:
    assert old in TEXT
    return TEXT.replace(old, new, 1)


BAD = {
    "no unit": (_changed('"100 L"', '"100"'), "the unit is missing"),
    "a bare number": (_changed('"100 L"', "100"), "written as text with its unit"),
    "unit of another kind": (_changed('"12 Cel"', '"12 kW"'), "is not a unit of temperature"),
    "strength without basis": (_changed('"5.5 %{vol}"', '"5.5 %"'), "%{vol}"),
    "negative": (_changed('"100 L"', '"-100 L"'), "outside"),
    "absurd": (_changed('"18 kW"', '"18000 kW"'), "outside"),
    "too many digits": (_changed('"100 L"', '"1e999 L"'), "too large"),
    "unknown key": (_changed('strength = "5.5', 'strenght = "5.5'), 'Did you mean "strength"?'),
    "unknown table": (_changed("[weather]", "[wether]"), 'Did you mean "weather"?'),
    "unknown still": (_changed("bain-marie-150-4-plates", "bain-marie-150-4-plate"), 'Did you mean "bain-marie'),
    "unknown category": (_changed("eu-fruit-spirit", "eu-fruit-spirits"), 'Did you mean "eu-fruit-spirit"?'),
    "unknown kind of charge": (_changed('"plum-mash"', '"plum"'), "plum-mash"),
    "no charge": (TEXT.replace("[charge]", "[charges]", 1), "charge"),
    "cut off": (TEXT[: TEXT.index("[weather]") + 20], "not valid TOML"),
    "empty": ("", "is empty"),
    "another format": (_changed("middlerun-plan/1", "middlerun-still/1"), "expected"),
    "a newer format": (_changed("middlerun-plan/1", "middlerun-plan/99"), "newer"),
    "no format": (TEXT.replace('format = "middlerun-plan/1"', "", 1), "format"),
    "a phase without an end": (_changed('ends = { time = "45 min" }', "ends = {}"), "can never end"),
    "an end that can't come": (
        _changed(
            'ends = { product_strength = "10 %{vol}", time = "40 min" }', 'ends = { pot_temperature = "118 Cel" }'
        ),
        "can never end",
    ),
    "a pot too full": (_changed('"100 L"', '"140 L"'), "too full"),
    "a pot too empty": (_changed('"100 L"', '"10 L"'), "too empty"),
    "stronger than fermentation gives": (_changed('"5.5 %{vol}"', '"45 %{vol}"'), "charge.strength"),
    "too much heat for the still": (_changed('heater = "18 kW"', 'heater = "19 kW"'), "heater"),
    "a hold above what any column gives": (_changed('"83 %{vol}"', '"99 %{vol}"'), "outside"),
}


@pytest.mark.parametrize(("text", "part"), BAD.values(), ids=BAD.keys())
@pytest.mark.parametrize("words", [("predict", "--out"), ("plan", "check"), ("predict", "--json")], ids=" ".join)
def test_bad_plans_are_refused_in_one_paragraph(command, tmp_path, text, part, words) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(text, encoding="utf-8")
    if words[0] == "plan":
        answer = command("plan", "check", plan)
    elif words[1] == "--out":
        answer = command("predict", plan, "--out", tmp_path / "out")
    else:
        answer = command("predict", plan, "--json")
    assert answer.code == 2
    told = json.loads(answer.out)["error"]["message"] if words[1] == "--json" else answer.err
    assert part in told
    assert "Traceback" not in answer.err
    assert told.strip().count("\n") == 0
    assert [path.name for path in tmp_path.iterdir()] == ["plan.toml"]


def test_a_bad_plan_is_refused_before_the_model_is_loaded(tmp_path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(BAD["unknown key"][0], encoding="utf-8")
    code = (
        "import sys\nfrom middlerun.app import main\ncode = main(sys.argv[1:])\n"
        "print(code, [name for name in ('numba', 'matplotlib') if name in sys.modules])"
    )
    words = [sys.executable, "-c", code, "predict", str(plan)]
    result = subprocess.run(words, capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "2 []"


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"\x00" * 50, b"a" * 2_000_000], ids=["UTF-16", "zeros", "huge"])
def test_what_is_no_text_is_refused(command, tmp_path, content) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_bytes(content)
    answer = command("predict", plan)
    assert answer.code == 2
    assert answer.err.count("\n") == 1


def test_a_folder_is_no_plan(command, tmp_path) -> None:
    answer = command("predict", tmp_path)
    assert answer.code == 2
    assert "is a folder" in answer.err


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends Ctrl-C to a whole console")
def test_ctrl_c_ends_at_once_and_leaves_nothing(tmp_path) -> None:
    values = ",".join(f"{8 + 0.001 * i:.3f} Cel" for i in range(9000))
    process = start("compare", DEMO, "--set", f"weather.water={values}", "--out", tmp_path / "out")
    try:
        process.wait(timeout=4)
    except subprocess.TimeoutExpired:
        process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (130, "")
    assert "Interrupted" in err
    assert list(tmp_path.iterdir()) == []
