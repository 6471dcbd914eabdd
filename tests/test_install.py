"""What `pip install .` puts into a clean environment is enough: every data file is there, and a prediction runs."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "middlerun"
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel from a copy, as a user's pip would."""
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    source.mkdir()
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source)
    shutil.copytree(ROOT / "src", source / "src", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info"))
    _pip(sys.executable, "wheel", "--no-deps", "--wheel-dir", str(folder), str(source))
    (built,) = folder.glob("middlerun-*.whl")
    return built


def test_wheel_holds_every_file_of_the_package(wheel: Path) -> None:
    packed = set(zipfile.ZipFile(wheel).namelist())
    wanted = [path for path in PACKAGE.rglob("*") if path.is_file() and "__pycache__" not in path.parts]
    assert [str(path) for path in wanted if path.relative_to(PACKAGE.parent).as_posix() not in packed] == []


def test_predicts_from_a_clean_environment(wheel: Path, tmp_path: Path) -> None:
    home = tmp_path / "environment"
    venv.create(home, with_pip=True)
    python = home / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    _pip(str(python), "install", "--constraint", str(ROOT / "constraints.txt"), str(wheel))
    plan = shutil.copy(ROOT / "examples" / "demo-plan.toml", tmp_path)
    environment = {**os.environ, "MIDDLERUN_CACHE": str(tmp_path / "cache")}
    environment.pop("PYTHONPATH", None)
    command = [python.with_name("middlerun" + python.suffix), "predict", plan, "--json", "--out", tmp_path / "out"]
    result = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stderr
    document = json.loads(result.stdout)
    assert document["totals"]
    assert list((tmp_path / "out").glob("*.pdf"))


def _pip(python: str, *words: str) -> None:
    command = [python, "-m", "pip", "--quiet", "--disable-pip-version-check", *words]
    result = subprocess.run(command, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr
