"""Bad input gives one paragraph, exit code 2 and no traceback; with --json one document. The contract is our own."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from middlerun.cli import guard
from middlerun.cli.parser import build_parser

WORDS = [
    ([], "Say which command"),
    (["predcit"], 'Did you mean "predict"?'),
    (["still"], "Say which command"),
    (["still", "shwo", "x"], 'Did you mean "show"?'),
    (["predict"], "PLAN"),
    (["predict", "a.toml", "b.toml"], "b.toml"),
    (["predict", "a.toml", "--form", "x"], "--form"),
    (["procedure", "show", "stripping-rn"], 'Did you mean "stripping-run"?'),
    (["procedure", "check", "nowhere.toml"], "does not exist"),
    (["still", "show", "bain-marie-100-3-plate"], 'Did you mean "bain-marie-100-3-plates"?'),
    (["still", "check", "nowhere.toml"], "does not exist"),
    (["plan", "check", "nowhere.toml"], "does not exist"),
    (["predict", "nowhere.toml"], "does not exist"),
    (["compare", "nowhere.toml"], "does not exist"),
]


@pytest.mark.parametrize(("words", "part"), WORDS, ids=lambda value: " ".join(value) if isinstance(value, list) else "")
def test_mistakes_are_told_in_one_paragraph(command, words, part) -> None:
    answer = command(*words)
    assert answer.code == 2
    assert answer.out == ""
    assert part in answer.err
    assert answer.err.count("\n") == 1
    assert "Traceback" not in answer.err


@pytest.mark.parametrize(("words", "part"), WORDS, ids=lambda value: " ".join(value) if isinstance(value, list) else "")
def test_mistakes_are_one_document_with_json(command, words, part) -> None:
    answer = command(*words, "--json")
    assert answer.code == 2
    document = answer.document()
    assert list(document) == ["error"]
    assert part in document["error"]["message"]
    assert document["error"]["exit_code"] == 2


def test_a_fault_of_the_program_is_told_plainly(command, monkeypatch) -> None:
    monkeypatch.delenv("MIDDLERUN_DEBUG", raising=False)
    monkeypatch.setattr(guard, "_dispatch", _fault)
    answer = command("version")
    assert answer.code == 1
    assert "ZeroDivisionError" in answer.err
    assert "Traceback" not in answer.err


def test_a_fault_shows_its_place_when_asked(command, monkeypatch) -> None:
    monkeypatch.setenv("MIDDLERUN_DEBUG", "1")
    monkeypatch.setattr(guard, "_dispatch", _fault)
    assert "Traceback" in command("version").err


def test_interrupt_gives_130(command, monkeypatch) -> None:
    monkeypatch.setattr(guard, "_dispatch", _interrupt)
    answer = command("version")
    assert (answer.code, answer.out) == (130, "")
    assert "Interrupted" in answer.err


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGPIPE convention")
def test_a_closed_pipe_is_quiet(tmp_path: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    result = subprocess.run(
        [sys.executable, "-m", "middlerun", "procedure", "list", "--json"],
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)
    assert result.stderr == b""
    assert result.returncode == 141  # 128 + SIGPIPE, as shells count it


def test_help_names_every_command(command, capsys) -> None:
    with pytest.raises(SystemExit) as ending:
        build_parser().parse_args(["--help"])
    assert ending.value.code == 0
    text = capsys.readouterr().out
    for word in ("predict", "compare", "plan", "still", "procedure", "law", "prepare", "version"):
        assert word in text


@pytest.mark.parametrize("words", [["--help"], ["predict", "nowhere.toml"], ["still", "check", "nowhere.toml"]])
def test_answers_before_it_loads_anything_heavy(words) -> None:
    code = (
        "import sys\nfrom middlerun.app import main\ntry:\n    main(sys.argv[1:])\nexcept SystemExit:\n    pass\n"
        "heavy = [m for m in ('numba', 'matplotlib', 'jinja2', 'typst') if m in sys.modules]\n"
        "print('loaded', heavy, file=sys.stderr)"
    )
    began = time.perf_counter()
    result = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True)
    assert result.stderr.rstrip().endswith("loaded []")
    assert time.perf_counter() - began < 3.0  # 0.1 s on an idle machine; the list above is what keeps it so


def _fault(argv: list[str]) -> int:
    return 1 // 0


def _interrupt(argv: list[str]) -> int:
    raise KeyboardInterrupt
