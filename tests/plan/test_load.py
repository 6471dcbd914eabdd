"""Plan files: what they may hold, where the parts come from, and errors that say what to do."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from middlerun.errors import (
    FormatVersionError,
    InputFileError,
    MiddlerunError,
    MissingKeyError,
    OutOfRangeError,
    PlanError,
    ProcedureError,
    UnitError,
    UnknownKeyError,
    UnknownNameError,
)
from middlerun.plan import Fraction, Plan, Run, check_plan, load_plan
from middlerun.plan.source import blend
from middlerun.still import library_text
from tests.plan.build import a_run

EXAMPLES = Path(__file__).parents[2] / "examples"
GOOD = """format = "middlerun-plan/1"
name = "Test"
still = "bain-marie-150-4-plates"
procedure = "single-pass-with-plates"

[charge]
volume = "100 L"
strength = "5,5 %{vol}"
kind = "plum-mash"
"""


def _write(folder: Path, content: str, name: str = "plan.toml") -> Path:
    path = folder / name
    path.write_text(content, encoding="utf-8")
    return path


def test_names_of_the_library(tmp_path: Path) -> None:
    plan = load_plan(_write(tmp_path, GOOD))
    check_plan(plan)
    assert plan.charge.strength == pytest.approx(0.055), "a decimal comma is understood"
    assert (plan.weather.altitude, plan.report_every, plan.category) == (None, 10.0, "")


def test_paths_are_relative_to_the_plan(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    _write(tmp_path / "parts", library_text("bain-marie-100-3-plates"), "still.toml")
    procedure = '[[phases]]\nname = "a"\nheater = "2 kW"\nends = { time = "5 min" }\n'
    _write(tmp_path / "parts", f'format = "middlerun-procedure/1"\nname = "Own"\n{procedure}', "own.toml")
    content = GOOD.replace('"bain-marie-150-4-plates"', '"parts/still.toml"')
    plan = load_plan(_write(tmp_path, content.replace('"single-pass-with-plates"', '"parts/own.toml"')))
    assert (len(plan.still.column.plates), plan.procedure.name) == (3, "Own")  # type: ignore[union-attr]


def test_parts_as_tables(tmp_path: Path) -> None:
    content = (
        GOOD.replace('still = "bain-marie-150-4-plates"\nprocedure = "single-pass-with-plates"\n', "")
        + """
[procedure]
name = "Own"
[[procedure.phases]]
name = "a"
heater = "2 kW"
ends = { time = "5 min" }

[still]
name = "Kettle"
pot = { volume = "130 L", working_max = "129 L", working_min = "10 L", metal_mass = "12 kg", heat_loss = "4 W/K" }
heating = { kind = "electric", power = "3 kW", conductance = "200 W/K" }
condenser = { conductance = "80 W/K", water_max = "100 L/h" }
"""
    )
    plan = load_plan(_write(tmp_path, content))
    assert (plan.still.name, plan.procedure.phases[0].heater) == ("Kettle", 2000.0)


ERRORS: dict[str, tuple[str, type[MiddlerunError], str]] = {
    "unit missing": (GOOD.replace('"100 L"', '"100"'), UnitError, "volume is '100': the unit is missing"),
    "strength without basis": (GOOD.replace("5,5 %{vol}", "5.5 %"), UnitError, "not a unit of volume strength"),
    "negative": (GOOD.replace('"100 L"', '"-100 L"'), OutOfRangeError, "outside 1 L to 4500 L"),
    "unknown key": (GOOD.replace("volume", "volum"), UnknownKeyError, 'Did you mean "volume"?'),
    "unknown key above": (GOOD.replace("procedure =", "procdure ="), UnknownKeyError, 'Did you mean "procedure"?'),
    "no still": (GOOD.replace('still = "bain-marie-150-4-plates"\n', ""), MissingKeyError, 'lacks the key "still"'),
    "no charge": (GOOD.partition("\n[charge]")[0], MissingKeyError, 'lacks the key "charge"'),
    "unknown still": (GOOD.replace("150-4-plates", "150-4-plate"), UnknownNameError, 'Did you mean "bain-marie-150'),
    "unknown procedure": (GOOD.replace("single-pass", "singel-pass"), UnknownNameError, "single-pass-with-plates"),
    "unknown kind": (GOOD.replace("plum-mash", "plum mash"), UnknownNameError, 'Did you mean "plum-mash"?'),
    "unknown category": (
        'category = "eu-fruit"\n'.join(GOOD.split("\n", 1)).replace('1"cat', '1"\ncat'),
        UnknownNameError,
        "no category",
    ),
    "still is a number": (GOOD.replace('"bain-marie-150-4-plates"', "4"), InputFileError, "still is 4"),
    "procedure is a list": (GOOD.replace('"single-pass-with-plates"', "[]"), InputFileError, "procedure is []"),
    "cut off": (GOOD[:-8], InputFileError, "not valid TOML, or was cut off"),
    "newer": (GOOD.replace("plan/1", "plan/7"), FormatVersionError, "newer than this program"),
    "still file given": (GOOD.replace("middlerun-plan/1", "middlerun-still/1"), FormatVersionError, "is expected"),
}


@pytest.mark.parametrize(("content", "error", "says"), ERRORS.values(), ids=ERRORS)
def test_errors_say_what_to_do(tmp_path: Path, content: str, error: type[MiddlerunError], says: str) -> None:
    with pytest.raises(error) as caught:
        load_plan(_write(tmp_path, content))
    assert says in str(caught.value)


def test_every_truncation_is_an_error_or_a_plan(tmp_path: Path) -> None:
    """A file cut off anywhere never ends in a traceback of another kind."""
    for length in range(0, len(GOOD), 7):
        try:
            load_plan(_write(tmp_path, GOOD[:length]))
        except MiddlerunError as error:
            assert len(str(error)) > 20


def _stand_in(plan: Plan) -> Run:
    """Return a made-up run: chaining is about files and amounts, not about physics."""
    run = a_run(plan)
    taken = {phase.fraction for phase in plan.procedure.phases} & {"low wines"}
    return replace(run, fractions=(*run.fractions, *(replace(run.fractions[0], name=name) for name in taken)))


SECOND = """format = "middlerun-plan/1"
name = "Second"
still = "bain-marie-100-3-plates"
procedure = "second-distillation-with-plates"
[charge.source]
plan = "plan.toml"
"""


def test_charge_from_the_product_of_another_plan(tmp_path: Path) -> None:
    _write(tmp_path, GOOD)
    plan = load_plan(_write(tmp_path, SECOND + 'dilute_to = "25 %{vol}"\nruns = 5\n', "second.toml"), predict=_stand_in)
    assert plan.charge.kind == "low-wines"
    assert plan.charge.strength == 0.25
    assert plan.charge.volume == pytest.approx(5 * 4e-3 / 0.25), "pure alcohol is kept"


def test_mixing_fractions_contracts() -> None:
    """OIML R 22 densities: a litre of pure alcohol and a litre of water make 1.93 L (common textbook figure)."""

    def part(volume: float, strength: float, mass: float) -> Fraction:
        return Fraction(
            name="x",
            volume=volume,
            strength=strength,
            pure_alcohol=volume * strength,
            mass=mass,
            start=0.0,
            end=1.0,
            strength_start=strength,
            strength_end=strength,
        )

    volume, strength = blend([part(1e-3, 1.0, 0.78924), part(1e-3, 0.0, 0.998201)])
    assert volume == pytest.approx(1.93e-3, abs=0.005e-3)
    assert volume * strength == pytest.approx(1e-3)


@pytest.mark.parametrize(
    ("content", "error", "says"),
    [
        (SECOND + 'fractions = ["harts"]\n', UnknownNameError, 'Did you mean "hearts"?'),
        (SECOND.replace("[charge.source]", '[charge]\nvolume = "5 L"\n[charge.source]'), PlanError, "one or the other"),
        (SECOND.replace('"plan.toml"', '"gone.toml"'), InputFileError, "does not exist"),
        (SECOND.replace('"plan.toml"', '"second.toml"'), PlanError, "in a circle: second.toml -> second.toml"),
    ],
)
def test_sources_that_do_not_work(tmp_path: Path, content: str, error: type[MiddlerunError], says: str) -> None:
    _write(tmp_path, GOOD)
    with pytest.raises(error) as caught:
        load_plan(_write(tmp_path, content, "second.toml"), predict=_stand_in)
    assert says in str(caught.value)


def test_dilution_never_strengthens(tmp_path: Path) -> None:
    _write(tmp_path, GOOD)
    plan = load_plan(_write(tmp_path, SECOND + 'dilute_to = "60 %{vol}"\n', "second.toml"), predict=_weak)
    assert plan.charge.strength == pytest.approx(0.2, abs=5e-4)
    assert plan.charge.volume == pytest.approx(0.02, rel=2e-3)


def _weak(plan: Plan) -> Run:
    part = {"name": "low wines", "volume": 0.02, "strength": 0.2, "pure_alcohol": 0.004, "mass": 19.471}
    return a_run(plan, fractions=(Fraction(**part, start=0.0, end=1.0, strength_start=0.5, strength_end=0.05),))  # type: ignore[arg-type]


def test_a_longer_circle_is_found(tmp_path: Path) -> None:
    _write(tmp_path, SECOND.replace("plan.toml", "b.toml"), "a.toml")
    _write(tmp_path, SECOND.replace("plan.toml", "a.toml"), "b.toml")
    with pytest.raises(PlanError, match=r"a\.toml -> b\.toml -> a\.toml"):
        load_plan(tmp_path / "a.toml", predict=_stand_in)


def test_source_without_product(tmp_path: Path) -> None:
    _write(tmp_path, GOOD)
    with pytest.raises(PlanError, match="no product at all"):
        load_plan(_write(tmp_path, SECOND, "second.toml"), predict=lambda plan: a_run(plan, fractions=()))


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.name)
def test_examples_load_and_are_marked_invented(path: Path) -> None:
    content = path.read_text(encoding="utf-8")
    if '"middlerun-plan/' not in content:
        pytest.fail(f"{path.name} is no plan")
    plan = load_plan(path, predict=_stand_in)
    assert plan.invented and plan.still.invented
    if plan.charge.source is None:
        check_plan(plan)


def test_demo_plan_is_the_scenario_it_claims() -> None:
    plan = load_plan(EXAMPLES / "demo-plan.toml")
    assert plan.still.pot.volume == pytest.approx(0.15) and len(plan.still.column.plates) == 4  # type: ignore[union-attr]
    assert (plan.weather.altitude, plan.charge.kind) == (420.0, "plum-mash")
    assert plan.weather.water == pytest.approx(285.15) and plan.charge.strength == pytest.approx(0.055)
    moves = {phase.levels or phase.level for phase in plan.procedure.phases} - {"as before"}
    assert len(moves) >= 4, "weirs move during the run"
    hearts = [phase for phase in plan.procedure.phases if phase.fraction == "hearts"]
    assert all(phase.hold_head_strength is not None for phase in hearts)


def test_procedure_in_a_plan_is_checked(tmp_path: Path) -> None:
    content = GOOD.replace('procedure = "single-pass-with-plates"\n', "") + '[[procedure.phases]]\nname = "a"\n'
    content = content.replace("[[procedure.phases]]", '[procedure]\nname = "Own"\n[[procedure.phases]]')
    with pytest.raises(ProcedureError, match="must say how it heats"):
        load_plan(_write(tmp_path, content))
