"""`middlerun still new`: by options, by questions; what it writes reads back and is checked."""

from __future__ import annotations

import pytest

from middlerun.cli.ask import ask_all
from middlerun.cli.guard import UsageError
from middlerun.fields import load_record, specs
from middlerun.still import Measurements, load_still, new_still

JACKETED = {
    "--name": "Trial", "--pot-volume": "120 L", "--heating-kind": "bain-marie", "--power": "15 kW",
    "--relief-gauge": "0.5 bar", "--plates": "3", "--column-diameter": "200 mm",
}  # fmt: skip
OPTIONS = [word for pair in JACKETED.items() for word in pair] + ["--vent", "--vacuum-breaker"]


def test_writes_a_file_that_reads_back(command, tmp_path) -> None:
    path = tmp_path / "trial.toml"
    answer = command("still", "new", *OPTIONS, "-o", path)
    assert answer.code == 0
    still = load_still(path)
    assert still.pot.volume == pytest.approx(0.120)
    assert still.column is not None
    assert len(still.column.plates) == 3
    assert command("still", "check", path).code == 0


def test_prints_the_same_file_without_a_name(command, tmp_path) -> None:
    path = tmp_path / "trial.toml"
    command("still", "new", *OPTIONS, "-o", path)
    assert command("still", "new", *OPTIONS).out == path.read_text(encoding="utf-8")
    document = command("still", "new", *OPTIONS, "--json").document()
    assert document["file"] == path.read_text(encoding="utf-8")
    assert document["derived"]


def test_never_replaces_a_file_unless_told(command, tmp_path) -> None:
    path = tmp_path / "trial.toml"
    path.write_text("mine", encoding="utf-8")
    answer = command("still", "new", *OPTIONS, "-o", path)
    assert answer.code == 2
    assert "--force" in answer.err
    assert path.read_text(encoding="utf-8") == "mine"
    assert command("still", "new", *OPTIONS, "-o", path, "--force").code == 0
    assert load_still(path).name == "Trial"


def test_leaves_nothing_behind_where_it_cannot_write(command, tmp_path) -> None:
    answer = command("still", "new", *OPTIONS, "-o", tmp_path / "not" / "there.toml")
    assert answer.code == 2
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("option", "value", "part"),
    [
        ("--power", "15", "the unit is missing"),
        ("--power", "-3 kW", "outside"),
        ("--heating-kind", "bain-mary", 'Did you mean "bain-marie"?'),
        ("--plates", "three", "whole number"),
        ("--plates", "12", "outside"),
        ("--plate-type", "seive", "sieve"),
    ],
)
def test_wrong_values_are_told_with_what_is_right(command, option, value, part) -> None:
    words = [word for pair in {**JACKETED, option: value}.items() for word in pair]
    answer = command("still", "new", *words)
    assert answer.code == 2
    assert part in answer.err
    assert answer.out == ""


def test_help_names_every_measurement(capsys) -> None:
    from middlerun.app import main

    with pytest.raises(SystemExit):
        main(["still", "new", "--help"])
    text = capsys.readouterr().out
    for key in specs(Measurements):
        assert f"--{key.replace('_', '-')}" in text


def _asked(typed: dict[str, str]) -> tuple[dict[str, object], list[str]]:
    """Answer each question by the first part of it that is known; Enter for the rest."""
    questions: list[str] = []

    def read(question: str) -> str:
        assert question not in questions, f"asked twice: {question}"
        questions.append(question)
        return next((answer for part, answer in typed.items() if part in question), "")

    return ask_all(read), questions


def test_questions_carry_unit_and_default_and_lead_to_a_still(capsys) -> None:
    answers, questions = _asked(
        {"called": "Asked", "Inner volume": "120", "How the pot is": "electric", "Most heat": "9"}
    )
    assert answers["pot_volume"] == "120 L"
    assert answers["power"] == "9 kW"
    assert any(question.startswith("Inner volume of the pot") and "(L)" in question for question in questions)
    still, _ = new_still(load_record(Measurements, answers, "measurements"))
    assert still.pot.volume == pytest.approx(0.120)


def test_questions_follow_from_the_answers() -> None:
    _, without = _asked({"called": "A", "Inner volume": "50", "How the pot is": "fire", "Most heat": "9"})
    _, jacket = _asked(
        {"called": "A", "Inner volume": "50", "How the pot is": "bain-marie", "Most heat": "9", "Number of plates": "2"}
    )
    assert not any("vacuum breaker" in question for question in without)
    assert any("vacuum breaker" in question for question in jacket)
    assert not any("diameter of the column" in question for question in without)
    assert any("diameter of the column" in question for question in jacket)


def test_a_wrong_answer_is_asked_again(capsys) -> None:
    volumes = iter(["much", "-5", "120"])
    other = {"called": "A", "How the pot is": "fire", "Most heat": "9"}

    def read(question: str) -> str:
        if "Inner volume" in question:
            return next(volumes)
        return next((answer for part, answer in other.items() if part in question), "")

    assert ask_all(read)["pot_volume"] == "120 L"
    told = capsys.readouterr().err
    assert "no number can be read" in told
    assert "outside" in told


def test_answers_that_end_too_early_are_told() -> None:
    def read(question: str) -> str:
        raise EOFError

    with pytest.raises(UsageError, match="ended too early"):
        ask_all(read)
