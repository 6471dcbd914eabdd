"""The benchmarks run, compare one and the same problem, and take a rival's failure for a failure."""

from __future__ import annotations

import doctest
import json
from pathlib import Path

import numpy as np
import pytest

from benchmarks import accuracy, page, picture, tables, targets
from benchmarks.__main__ import main
from benchmarks.plans import demo, different, lasting, with_plates
from benchmarks.problem import Problem, jacobian_of, problem_of
from benchmarks.rivals import cvode_solver, engine_solver, hushed, scipy_solver
from middlerun.column import TOLERANCE
from middlerun.plan import check_plan


@pytest.fixture(scope="module")
def small() -> Problem:
    """The demo plan over one plate less, two cycles of total reflux: short, with ends by temperature and by time."""
    return problem_of(lasting(with_plates(demo(), 3), 2))


def test_rival_solves_the_engine_s_problem(small: Problem) -> None:
    # Two independent integrators on one set of equations: physics of the check, no published figure.
    engine, rival = engine_solver(small, 1e-7)(), cvode_solver(small, 1e-7)()
    assert rival.failure == ""
    assert np.abs(np.array(engine.ends) - np.array(rival.ends)).max() < 0.05  # s, of 1.9 h


def test_a_rival_that_gives_up_is_a_failure(small: Problem, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchmarks.rivals.MOST_STEPS", 20)
    with hushed():
        found = cvode_solver(small, 1e-5)()
    assert "max_num_steps" in found.failure
    assert len(found.ends) < len(small.settings)


def test_jacobian_of_the_rivals_holds_the_integrals_columns_at_nought(small: Problem) -> None:
    small.set_phase(0, 0.0)
    y = small.packed.state.copy()
    jacobian = jacobian_of(0.0, y, small.data)
    assert np.isfinite(jacobian).all()
    assert (jacobian[:, -12:] == 0.0).all()
    assert np.abs(jacobian).sum(axis=1)[:5].min() > 0.0


def test_scipy_s_ends_are_located_not_stepped_over(small: Problem) -> None:
    found = scipy_solver(small, "LSODA", 1e-6)()
    lengths = np.diff(found.ends)[-4:]
    assert found.failure == ""
    assert np.allclose(lengths, 600.0, atol=1e-6)  # the cycles end by time


def test_errors_are_of_fractions_and_of_ends() -> None:
    true = accuracy.Found(ends=[1.0, 2.0, 3.0], ethanol=[0.0, 2.0, 2.0])
    got = accuracy.Found(ends=[1.0, 2.5, 3.0], ethanol=[0.0, 2.2, 1.8])
    found = accuracy.errors(got, true, ["none", "heads", "hearts"])
    assert found["total"] == pytest.approx(0.0, abs=1e-12)
    assert found["worst"] == pytest.approx(0.1)
    assert found["ends"] == pytest.approx(0.5)


def test_the_thousand_are_different_and_may_be_run() -> None:
    plans = different(200, 300.0)
    for plan in plans:
        check_plan(plan)
    assert len({(plan.charge.strength, plan.weather.pressure) for plan in plans}) == len(plans)


def test_examples_in_docstrings() -> None:
    assert all(doctest.testmod(module).failed == 0 for module in (tables, picture))


def test_speed_writes_tables_and_results(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["--quick", "--only", "speed", "--out", str(tmp_path)])
    found = json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))
    printed = capsys.readouterr().out
    assert {aim.key for aim in targets.targets(found)} == {"run-4", "run-3", "predict", "fresh"}
    assert "compiled run" in printed
    for row in found["speed"]["plans"]:
        assert 0.0 < row["run"]["min"] < row["run_and_report"]["min"] < row["predict"]["min"]


@pytest.mark.slow
def test_whole_run_makes_a_page(tmp_path: Path) -> None:
    main(["--quick", "--out", str(tmp_path)])
    found = json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))
    text = page.page(found)
    picture.draw(found["rivals"][0], [tmp_path / "picture.svg", tmp_path / "picture.png"])
    assert all(aim.words in text for aim in targets.targets(found))
    assert (tmp_path / "picture.svg").stat().st_size > 10_000
    names = {row["name"] for row in found["rivals"][0]["duel"]}
    assert {"engine", accuracy.CVODE, accuracy.BDF} <= names
    assert found["rivals"][0]["duel"][0]["setting"] == f"{TOLERANCE:g}, default"
