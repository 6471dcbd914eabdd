"""Run the real command, in this process or in one of its own."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from middlerun.app import main

ROOT = Path(__file__).parents[2]


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
def command(capsys: pytest.CaptureFixture[str]) -> Command:
    """Run `middlerun` with these words in this process."""

    def run(*words: str | Path) -> Answer:
        capsys.readouterr()
        code = main([str(word) for word in words])
        captured = capsys.readouterr()
        return Answer(code, captured.out, captured.err)

    return run


def start(*words: str | Path, **options: Any) -> subprocess.Popen[str]:
    """Start `python -m middlerun` with these words in a process of its own."""
    pipe = subprocess.PIPE
    arguments = [sys.executable, "-m", "middlerun", *map(str, words)]
    return subprocess.Popen(arguments, stdout=pipe, stderr=pipe, text=True, encoding="utf-8", **options)
