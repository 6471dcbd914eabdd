"""Run the real command, in this process or in one of its own."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from middlerun.app import main


class Answer(NamedTuple):
    """What a command gave back."""

    code: int
    out: str
    err: str

    def document(self) -> Any:
        """Return standard output as the one JSON document that it must be."""
        assert self.err == ""
        return json.loads(self.out, parse_constant=_no_constant)


def _no_constant(name: str) -> None:
    raise AssertionError(f"{name} is not JSON")


Command = Callable[..., Answer]


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    """Run `middlerun` with these words in this process, 120 columns wide (test workers set COLUMNS, too)."""
    monkeypatch.setenv("COLUMNS", "120")

    def run(*words: str | Path) -> Answer:
        capsys.readouterr()
        code = main([str(word) for word in words])
        captured = capsys.readouterr()
        return Answer(code, captured.out, captured.err)

    return run
