"""Hundreds of odd plans: each is either predicted, with all that holds for a run, or refused in plain words."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from middlerun.errors import MiddlerunError, SolverError
from middlerun.plan import Run, check_plan, load_plan, predict
from tests.robustness.plans import fields_of, plan_toml, random_plan
from tests.robustness.sound import faults

QUICK = 60
BATCH = 50
LONGEST = 2.0  # s of one core, compiled; a usual run takes 0.03


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    """Compile once, so that no single plan is blamed for it."""
    predict(random_plan(1))


def outcome(seed: int) -> tuple[Run | None, str]:
    """Return the run, or why it was refused; fail on anything that is neither."""
    plan = random_plan(seed)
    started = time.thread_time()
    try:
        run = predict(plan)
    except SolverError as error:
        raise AssertionError(f"seed {seed}: the solver gave up: {error}") from error
    except MiddlerunError as error:
        return None, str(error)
    taken = time.thread_time() - started
    assert taken < LONGEST, f"seed {seed} took {taken:.1f} s"
    return run, ""


def check(seeds: range) -> int:
    """Check the plans of these seeds; return how many were predicted."""
    predicted = 0
    for seed in seeds:
        run, refused = outcome(seed)
        if run is None:
            # A refusal is a sentence that names the thing and ends in what to do.
            assert len(refused) > 60 and refused[0].isupper() and refused.rstrip().endswith("."), (
                f"seed {seed}: {refused}"
            )
            assert any(
                word in refused for word in ("Give", "Leave", "Lower", "End", "Fill", "Hold", "Choose", "Correct")
            )
            continue
        predicted += 1
        assert not list(faults(run)), f"seed {seed}: {list(faults(run))}"
    return predicted


def test_a_first_few_odd_plans() -> None:
    """Nine in ten of them make sense and are predicted."""
    assert check(range(QUICK)) > 0.8 * QUICK


@pytest.mark.slow
@pytest.mark.parametrize("batch", range(12))
def test_hundreds_of_odd_plans(batch: int) -> None:
    assert check(range(QUICK + batch * BATCH, QUICK + (batch + 1) * BATCH)) > 0.8 * BATCH


@pytest.mark.soak
@pytest.mark.parametrize("batch", range(100))
def test_thousands_of_odd_plans(batch: int) -> None:
    check(range(10_000 + 100 * batch, 10_100 + 100 * batch))


def test_an_odd_plan_is_the_same_from_its_file(tmp_path: Path) -> None:
    """A failing seed can be handed on as a plan file: it reads back to the very same plan."""
    for seed in range(10):
        file = tmp_path / f"{seed}.toml"
        file.write_text(plan_toml(random_plan(seed)), encoding="utf-8")
        read = load_plan(file)
        assert fields_of(read) == fields_of(random_plan(seed))


def test_prediction_refuses_what_the_check_refuses() -> None:
    """A plan that `check_plan` refuses is refused by `predict` with the same words, before anything is computed."""
    refused = 0
    for seed in range(200):
        try:
            check_plan(random_plan(seed))
        except MiddlerunError as error:
            refused += 1
            with pytest.raises(type(error)) as again:
                predict(random_plan(seed))
            assert str(again.value) == str(error)
    assert refused > 3
