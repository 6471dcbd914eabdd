"""Start the real command in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any


def start(*words: str | Path, **options: Any) -> subprocess.Popen[str]:
    """Start `python -m middlerun` with these words in a process of its own."""
    pipe = subprocess.PIPE
    arguments = [sys.executable, "-m", "middlerun", *map(str, words)]
    return subprocess.Popen(arguments, stdout=pipe, stderr=pipe, text=True, encoding="utf-8", **options)
