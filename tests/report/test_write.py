"""All outputs in one folder: whole or not at all."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest

from middlerun.errors import InputFileError
from middlerun.plan import Run
from middlerun.report import read_series, write_outputs

FILES = {"run-sheet.pdf", "run-sheet.html", "series.csv", "run.json"}
PICTURES = {
    f"{name}.{form}" for name in ("temperatures", "product", "heat-and-water", "cuts") for form in ("svg", "png")
}


def _found(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def test_everything_is_there_in_time(demo: Run, tmp_path: Path) -> None:
    said: list[str] = []
    start = time.process_time()
    paths = write_outputs(demo, tmp_path / "deep" / "out", said.append)
    # 3.5 s is the aim on two cores, drawing libraries loaded or not; counted in processor time, others may be busy
    assert time.process_time() - start < 3.5
    expected = FILES | {f"plots/{name}" for name in PICTURES | {"plates.svg", "plates.png"}}
    assert _found(tmp_path / "deep" / "out") == expected == set(said)
    assert {str(path.relative_to(tmp_path / "deep" / "out")) for path in paths} == expected
    assert all(path.stat().st_size > 1000 for path in paths)
    assert json.loads(paths[-1].read_text(encoding="utf-8"))["plan"]["name"] == demo.plan.name
    assert len(read_series(tmp_path / "deep" / "out" / "series.csv")["time"]) == len(demo.series["time"])
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["out"]


def test_an_earlier_run_is_replaced_and_other_files_stay(demo: Run, pot_still: Run, tmp_path: Path) -> None:
    write_outputs(demo, tmp_path)
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    (tmp_path / "plots" / "mine.png").write_bytes(b"x")
    write_outputs(pot_still, tmp_path)
    assert _found(tmp_path) == FILES | {f"plots/{name}" for name in PICTURES} | {"notes.txt", "plots/mine.png"}
    assert (
        json.loads((tmp_path / "run.json").read_text(encoding="utf-8"))["plan"]["still"]["name"]
        == pot_still.plan.still.name
    )


@pytest.mark.parametrize("last", ["run-sheet.html", "run.json"])
def test_an_interruption_leaves_nothing(demo: Run, tmp_path: Path, last: str) -> None:
    def stop(name: str) -> None:
        if name == last:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_outputs(demo, tmp_path / "out", stop)
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_way_is_left_alone(demo: Run, tmp_path: Path) -> None:
    target = tmp_path / "out"
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(InputFileError, match="is a file"):
        write_outputs(demo, target)
    with pytest.raises(InputFileError, match="is a file"):
        write_outputs(demo, target / "deeper")
    assert target.read_text(encoding="utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_where_nothing_can_be_written(demo: Run) -> None:
    with pytest.raises(InputFileError, match="can't be written"):
        write_outputs(demo, Path("/proc/middlerun-out"))  # not even the administrator writes there


def test_a_folder_in_the_place_of_a_file(demo: Run, tmp_path: Path) -> None:
    (tmp_path / "out" / "run-sheet.pdf" / "inner").mkdir(parents=True)
    with pytest.raises(InputFileError, match="can't be written"):
        write_outputs(demo, tmp_path / "out")
    assert not [path for path in (tmp_path / "out").iterdir() if path.name.startswith(".")]
