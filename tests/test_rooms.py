"""The order of the rooms, and what no room below `report` may do. Source: docs/adr/0001-rooms.md."""

from __future__ import annotations

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "middlerun"
# Rooms that compute. Files below here are read only from the package or from a path that was given.
PURE = ("errors", "units", "fields", "substances", "alcoholometry", "still", "law", "column", "run", "plan")
CLOCKS = {"now", "today", "utcnow", "monotonic", "perf_counter", "time_ns", "sleep", "urandom", "default_rng"}


def _files(*rooms: str) -> list[Path]:
    return sorted(path for room in rooms for path in (*SOURCE.glob(f"{room}.py"), *SOURCE.glob(f"{room}/**/*.py")))


def _lint(root: Path) -> subprocess.CompletedProcess[str]:
    linter = Path(sys.executable).with_name("lint-imports")
    environment = {"PYTHONPATH": str(root / "src"), "PATH": "/usr/bin:/bin"}
    return subprocess.run(
        [linter, "--no-cache"], cwd=root, env=environment, capture_output=True, text=True, check=False
    )


def _copy(to: Path) -> Path:
    shutil.copytree(ROOT / "src", to / "src", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info"))
    shutil.copy(ROOT / "pyproject.toml", to)
    return to


def test_import_rules_hold() -> None:
    result = _lint(ROOT)
    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize(
    ("file", "line", "words"),
    [
        ("units/quantity.py", "from middlerun.still import Still", "middlerun.units is not allowed to import"),
        ("law/__init__.py", "from middlerun.still import Still", "middlerun.law is not allowed to import"),
        ("plan/description.py", "import sqlite3", "middlerun.plan is not allowed to import sqlite3"),
        ("column/settings.py", "import time", "middlerun.column is not allowed to import time"),
    ],
)
def test_import_rules_can_fail(tmp_path: Path, file: str, line: str, words: str) -> None:
    root = _copy(tmp_path)
    target = root / "src" / "middlerun" / file
    target.write_text(target.read_text(encoding="utf-8") + f"\n{line}\n", encoding="utf-8")
    result = _lint(root)
    assert result.returncode == 1
    assert words in result.stdout


def test_a_room_without_a_place_is_refused(tmp_path: Path) -> None:
    root = _copy(tmp_path)
    room = root / "src" / "middlerun" / "attic"
    room.mkdir()
    (room / "__init__.py").write_text('"""A room that no layer names."""\n', encoding="utf-8")
    result = _lint(root)
    assert result.returncode == 1
    assert "attic" in result.stdout


@pytest.mark.parametrize("path", _files(*PURE), ids=lambda path: str(path.relative_to(SOURCE)))
def test_no_clock_and_no_chance(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute):
            assert node.attr not in CLOCKS, f"{path.name}:{node.lineno} uses {node.attr}"
            assert ast.unparse(node) not in ("np.random", "numpy.random"), f"{path.name}:{node.lineno} uses chance"
        if isinstance(node, ast.Name):
            assert node.id not in ("print", "input"), f"{path.name}:{node.lineno} talks to the terminal"


@pytest.mark.parametrize("room", sorted(path.parent.name for path in SOURCE.glob("*/__init__.py")))
def test_every_room_says_what_it_does(room: str) -> None:
    tree = ast.parse((SOURCE / room / "__init__.py").read_text(encoding="utf-8"))
    words = ast.get_docstring(tree) or ""
    for word in ("Takes:", "Gives:", "Never:"):
        assert word in words, f"{room}/__init__.py does not say what it {word[:-1].lower()}"
    names = [node for node in tree.body if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"]
    assert names, f"{room}/__init__.py does not list its public names"


@pytest.mark.parametrize("path", sorted(SOURCE.rglob("*.py")), ids=lambda path: str(path.relative_to(SOURCE)))
def test_files_stay_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 600  # hard limit of the house style


def test_front_door_imports_nothing_heavy() -> None:
    code = "import sys, middlerun; print([m for m in ('numpy', 'numba', 'matplotlib', 'rich') if m in sys.modules])"
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"
