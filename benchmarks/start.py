"""The command from the shell: its first prediction after an installation, later ones, those that write all files.

Each command gives two times, s: by the clock, and of processor (0 where the system does not tell of children).
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from benchmarks.plans import DEMO, ROOT

_COMMAND = [sys.executable, "-m", "middlerun", "predict", str(DEMO)]


def measure(*, quick: bool = False) -> dict[str, object]:
    """Return times of whole commands; the first with empty caches of compiled code."""
    rounds = 1 if quick else 7
    warm = {"json": [], "out": [], "version": []}
    with tempfile.TemporaryDirectory() as folder:
        empty = {"MIDDLERUN_CACHE": f"{folder}/kernels", "NUMBA_CACHE_DIR": f"{folder}/others"}
        first = [] if quick else [_run([*_COMMAND, "--json"], empty)]
        again = [] if quick else [_run([*_COMMAND, "--json"], empty)]
        _run([*_COMMAND, "--json"])
        _run([*_COMMAND, "--out", f"{folder}/out"])
        for i in range(rounds):
            warm["json"].append(_run([*_COMMAND, "--json"]))
            warm["out"].append(_run([*_COMMAND, "--out", f"{folder}/out-{i}"]))
            warm["version"].append(_run([sys.executable, "-m", "middlerun", "version"]))
        written = sorted(str(path.relative_to(folder)) for path in Path(folder, "out").rglob("*") if path.is_file())
    return {"first": first, "second": again, **warm, "files": len(written)}


def _run(command: list[str], extra: dict[str, str] | None = None) -> tuple[float, float]:
    environment = {key: value for key, value in os.environ.items() if not key.endswith("_NUM_THREADS")}
    start, before = time.perf_counter(), os.times()
    subprocess.run(command, env=environment | (extra or {}), cwd=ROOT, check=True, capture_output=True)
    wall, after = time.perf_counter() - start, os.times()
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    return wall, spent
