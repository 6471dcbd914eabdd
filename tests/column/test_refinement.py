"""Finer steps converge; the same steps give the same bits; compiled or not, the same; an edit is picked up."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

import middlerun
from middlerun.column import TOLERANCE, Outcome
from tests.column.cases import Case, column_of, demo

SOURCE = Path(middlerun.__file__).parents[1]
TOLERANCES = (1e-3, 1e-4, 1e-5, 1e-6, 1e-7)


def _ethanol(run: Outcome) -> np.ndarray:
    return np.array([phase.ethanol for phase in run.phases])


@pytest.mark.parametrize("case", [demo(), column_of(3), column_of(8)], ids=["demo", "3 plates", "8 plates"])
def test_collected_ethanol_converges(case: Case):
    """The whole run's ethanol is out by less than the tolerance, or than 5e-5 down to 1e-5.

    The error estimate can miss a kink (a head that begins to give product) within a step, which costs some 1e-5; from
    1e-6 on steps are too short for that.
    """
    errors = _errors(case)
    bounds = [max(tolerance, 5e-5) if tolerance >= 1e-5 else tolerance for tolerance in TOLERANCES]
    assert all(error < bound for error, bound in zip(errors, bounds, strict=True)), errors


def test_collected_ethanol_converges_where_the_product_comes_in_bursts():
    """A pot without plates can't keep this hold: the head shuts and opens. Ten times the tolerance."""
    errors = _errors(column_of(0))
    assert all(error < 10.0 * tolerance for error, tolerance in zip(errors, TOLERANCES, strict=True)), errors


def _errors(case: Case) -> list[float]:
    exact = _ethanol(case.run(tolerance=1e-9)).sum()
    return [abs(_ethanol(case.run(tolerance=tolerance)).sum() / exact - 1.0) for tolerance in TOLERANCES]


@pytest.mark.parametrize("case", [demo(), column_of(3)], ids=["demo", "3 plates"])
def test_ends_of_phases_converge(case: Case):
    """To a tenth of a second at 1e-6, where ends are located in time and pot and head move by less than 1e-3 K/s."""
    fine, finest = case.run(tolerance=1e-6), case.run(tolerance=1e-8)
    for one, other in zip(fine.phases, finest.phases, strict=True):
        assert one.ended_by == other.ended_by
        assert one.end == pytest.approx(other.end, abs=0.1)


def test_the_same_run_gives_the_same_bits():
    case = demo()
    first = case.run()
    with ThreadPoolExecutor(max_workers=4) as pool:
        others = [case.run(), *pool.map(lambda _: case.run(), range(4))]
    for other in others:
        assert other.state.tobytes() == first.state.tobytes()
        assert other.series.tobytes() == first.series.tobytes()
        assert other.phases == first.phases


_SHORT = """
import sys
import numpy as np
from tests.column.cases import column_of
case = column_of(1).cut(int(sys.argv[2]), 600.0)
run = case.run(tolerance=1e-3, every=60.0)
np.savez(sys.argv[1], state=run.state, series=run.series, steps=run.steps)
"""


@pytest.mark.slow
@pytest.mark.parametrize(("phases", "rounding"), [(3, 1e-8), (6, TOLERANCE)], ids=["before the boil", "with product"])
def test_the_same_without_the_compiler(tmp_path, phases, rounding):
    """Before the boil rounding alone (1e-16, fused multiply-add) over 30 steps of a stiff system.

    First vapour on cold metal can make a step fall on the other side of a kink: from there on the two runs are two runs
    of the same tolerance, and agree to it.
    """
    found = {}
    for name, off in (("compiled", "0"), ("interpreted", "1")):
        place = tmp_path / f"{name}.npz"
        paths = os.pathsep.join([str(SOURCE), str(Path(__file__).parents[2])])
        environment = {**os.environ, "NUMBA_DISABLE_JIT": off, "PYTHONPATH": paths}
        subprocess.run([sys.executable, "-c", _SHORT, str(place), str(phases)], env=environment, check=True)
        found[name] = np.load(place)
    compiled, interpreted = found["compiled"], found["interpreted"]
    assert int(interpreted["steps"]) == pytest.approx(int(compiled["steps"]), rel=0.05)
    assert interpreted["state"] == pytest.approx(compiled["state"], rel=rounding, abs=1e-9)
    assert interpreted["series"][:, -1] == pytest.approx(compiled["series"][:, -1], rel=rounding, abs=1e-9, nan_ok=True)


_ASK = """
from middlerun.column.kernels.compiled import fingerprint
from middlerun.column.kernels.hand import opened
print(fingerprint(), opened(0.0, -1.0, 1.0)[1])
"""


def _ask(source: Path, cache: Path) -> tuple[str, float]:
    environment = {**os.environ, "PYTHONPATH": str(source), "MIDDLERUN_CACHE": str(cache)}
    answer = subprocess.run([sys.executable, "-c", _ASK], env=environment, check=True, capture_output=True, text=True)
    fingerprint, value = answer.stdout.split()
    return fingerprint, float(value)


@pytest.mark.slow
def test_an_edit_in_an_imported_kernel_file_is_picked_up(tmp_path):
    """Numba looks only at the file that holds a function; the cache folder's name looks at all of them."""
    copy, cache = tmp_path / "src", tmp_path / "cache"
    shutil.copytree(SOURCE / "middlerun", copy / "middlerun", ignore=shutil.ignore_patterns("__pycache__"))
    first = _ask(copy, cache)
    assert _ask(copy, cache) == first
    basics = copy / "middlerun" / "column" / "kernels" / "basics.py"
    text = basics.read_text(encoding="utf-8")
    slope = "    return soft(u, width) / math.sqrt(u * u + width * width)"
    assert text.count(slope) == 1
    basics.write_text(text.replace(slope, slope.replace("return soft", "return 3.0 * soft")), encoding="utf-8")
    edited = _ask(copy, cache)
    assert edited[0] != first[0]
    assert edited[1] == pytest.approx(3.0 * first[1])
    basics.write_text(text, encoding="utf-8")
    assert _ask(copy, cache) == first


@pytest.mark.parametrize(
    ("file", "counts"),
    [
        ("column/kernels/stage.py", True),
        ("column/kernels/layout.py", True),
        ("substances/equilibrium_table.py", True),
        ("substances/data/equilibrium.toml", True),
        ("column/pack.py", False),
    ],
)
def test_what_the_fingerprint_looks_at(tmp_path, file, counts):
    """Every file that is compiled in counts; one that only hands over numbers does not."""
    copy = tmp_path / "src"
    shutil.copytree(SOURCE / "middlerun", copy / "middlerun", ignore=shutil.ignore_patterns("__pycache__"))
    ask = "from middlerun.column.kernels.compiled import fingerprint as f; print(f())"

    def fingerprint() -> str:
        environment = {**os.environ, "PYTHONPATH": str(copy)}
        answer = subprocess.run(
            [sys.executable, "-c", ask], env=environment, check=True, capture_output=True, text=True
        )
        return answer.stdout.strip()

    before = fingerprint()
    with (copy / "middlerun" / file).open("a", encoding="utf-8") as target:
        target.write("\n# an edit\n")
    assert (fingerprint() != before) is counts
