"""Real predictions of four kinds, made once: the demo plan, a plain pot still, eight plates, a run without product."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

import middlerun
from middlerun.plan import Charge, Plan, Run
from middlerun.run import Ends, Phase, Procedure, library_procedure
from middlerun.still import library_still

DEMO = Path(__file__).parents[2] / "examples" / "demo-plan.toml"


@pytest.fixture(scope="session")
def demo() -> Run:
    """The demo plan: four plates, weirs moved."""
    return middlerun.predict(middlerun.load_plan(DEMO))


@pytest.fixture(scope="session")
def pot_still() -> Run:
    """A pot still without column and without dephlegmator water."""
    return middlerun.predict(
        Plan(
            name="Plain pot",
            invented=True,
            still=library_still("pot-over-fire-60"),
            procedure=library_procedure("plain-pot-still"),
            charge=Charge(volume=0.035, strength=0.24, kind="low-wines"),
        )
    )


@pytest.fixture(scope="session")
def eight_plates() -> Run:
    """The largest column that there is."""
    return middlerun.predict(
        Plan(
            name="Eight plates",
            invented=True,
            still=library_still("steam-jacket-500-8-plates"),
            procedure=library_procedure("single-pass-with-plates"),
            charge=Charge(volume=0.35, strength=0.08, kind="wine"),
        )
    )


@pytest.fixture(scope="session")
def no_product(demo: Run) -> Run:
    """Heated, but put out before anything comes over."""
    procedure = Procedure(
        name="Warmed and left",
        phases=(
            Phase(name="heat up", heater_share=0.5, vent_open=True, ends=Ends(pot_temperature=330.0)),
            Phase(name="shut down", heater=0.0, ends=Ends(time=900.0)),
        ),
    )
    return middlerun.predict(dataclasses.replace(demo.plan, name="No product", procedure=procedure))


@pytest.fixture(params=["demo", "pot_still", "eight_plates", "no_product"])
def any_run(request: pytest.FixtureRequest) -> Run:
    """Each of the four in turn."""
    run: Run = request.getfixturevalue(request.param)
    return run
