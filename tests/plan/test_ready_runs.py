"""Every ready procedure, predicted on every library still that it is for, with mash, wine or low wines; examples."""

from __future__ import annotations

import runpy
from pathlib import Path

import pytest

from middlerun.plan import (
    Charge,
    Plan,
    Weather,
    catalogue,
    charge_numbers,
    hot_volume,
    load_plan,
    predict,
    standard_pressure,
)
from middlerun.run import library_procedure, procedure_names
from middlerun.still import Still, library_names, library_still

EXAMPLES = Path(__file__).parents[2] / "examples"
FITS = {"any": (True, False), "plates": (True,), "no plates": (False,)}
ALTITUDE = 420.0


def _cases() -> list[tuple[str, str, str, float]]:
    found = []
    for name in procedure_names():
        charges = [("low-wines", 0.28)] if name.startswith("second") else [("plum-mash", 0.055), ("wine", 0.12)]
        for still in library_names():
            column = library_still(still).column
            if (column is not None and bool(column.plates)) in FITS[library_procedure(name).needs]:
                found += [(name, still, kind, strength) for kind, strength in charges]
    return found


def _full(still: Still, kind: str, strength: float) -> Charge:
    """Return a charge that with its froth comes to 97 % of the working maximum."""
    numbers = charge_numbers(Charge(volume=0.1, strength=strength, kind=kind))
    taken = hot_volume(numbers, standard_pressure(ALTITUDE)) / 0.1 * (1.0 + numbers.froth)
    return Charge(volume=0.97 * still.pot.working_max / taken, strength=strength, kind=kind)


@pytest.mark.parametrize(("name", "still", "kind", "strength"), _cases())
def test_ready_procedure_runs_to_its_end(name: str, still: str, kind: str, strength: float) -> None:
    """Common practice: hearts over plates at 80 to 85 % vol, a run of a working day, a pot left under 2 % vol."""
    described, procedure = library_still(still), library_procedure(name)
    category = "eu-fruit-spirit" if kind == "plum-mash" else "eu-wine-spirit"
    run = predict(
        Plan(
            name="x",
            still=described,
            procedure=procedure,
            charge=_full(described, kind, strength),
            weather=Weather(altitude=ALTITUDE, water=285.15),
            category=category,
        )
    )
    assert [phase.name for phase in run.phases] == [phase.name for phase in procedure.phases]
    assert [one.code for one in run.warnings if catalogue()[one.code].priority == "high"] == []
    assert 3600.0 < run.totals["duration"] < 8 * 3600.0
    parts = {fraction.name: fraction for fraction in run.fractions}
    asked = {phase.fraction for phase in procedure.phases} - {"none"}
    assert asked <= set(parts) and all(parts[one].volume > 0.0 for one in asked)
    if procedure.needs == "plates":
        assert 0.80 < parts["hearts"].strength < 0.85
    if "tails" in asked or "low wines" in asked:
        assert run.totals["pot_strength_end"] < 0.02


@pytest.mark.parametrize(
    "name", ["demo-plan.toml", "stripping.toml", "second-distillation.toml", "plain-pot-still.toml"]
)
def test_examples_run_to_their_end(name: str) -> None:
    run = predict(load_plan(EXAMPLES / name))
    assert len(run.phases) == len(run.plan.procedure.phases)


def test_demo_plan_shows_what_it_says() -> None:
    """At least four hours, hearts under the ceiling of Regulation (EU) 2019/787, Annex I, category 9, nothing wrong."""
    run = predict(load_plan(EXAMPLES / "demo-plan.toml"))
    assert run.totals["duration"] > 4 * 3600.0
    assert run.warnings == ()
    hearts = next(fraction for fraction in run.fractions if fraction.name == "hearts")
    assert 0.80 < hearts.strength < 0.86


@pytest.mark.slow
def test_what_if_script_prints_a_row_for_every_setting(capsys: pytest.CaptureFixture[str]) -> None:
    script = runpy.run_path(str(EXAMPLES / "what_if.py"))
    script["main"]()
    lines = capsys.readouterr().out.strip().splitlines()
    assert len(lines) == 1 + len(script["SETTINGS"])
    assert "charge.strength = 7 %{vol}" in lines[2] and "-" not in lines[2].split(" | ")[:6]
