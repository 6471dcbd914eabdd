"""What-if by dotted keys, and comparisons over tables and grids of settings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from middlerun.errors import (
    InputFileError,
    MiddlerunError,
    OutOfRangeError,
    ProcedureError,
    SolverError,
    UnitError,
    UnknownKeyError,
    UnknownNameError,
)
from middlerun.plan import Plan, Run, compare, grid, vary, vary_keys
from middlerun.plan.compare import COLUMNS, compared
from tests.plan.build import a_plan, a_run

PLAN = a_plan()


def test_values_are_read_with_their_units() -> None:
    changed = vary(PLAN, {"charge.strength": "7 %{vol}", "weather.water": "8 Cel", "limits.day": "6 h", "category": ""})
    assert changed.charge.strength == pytest.approx(0.07)
    assert changed.weather.water == pytest.approx(281.15)
    assert (changed.limits.day, changed.category) == (21600.0, "")
    assert PLAN.charge.strength == 0.055, "the given plan stays as it is"


def test_parts_of_the_still() -> None:
    plan = vary(PLAN, {"still.heating.power": "15 kW", "still.column.plates.2.efficiency": "0.5"})
    assert plan.still.heating.power == 15e3
    assert [plate.efficiency for plate in plan.still.column.plates] == [None, 0.5, None, None]  # type: ignore[union-attr]
    plan = vary(plan, {"still.column.plates.*.type": "sieve", "still.pot.agitator": "false"})
    assert {plate.type for plate in plan.still.column.plates} == {"sieve"} and not plan.still.pot.agitator  # type: ignore[union-attr]


def test_whole_parts_by_name() -> None:
    plan = vary(PLAN, {"still": "bain-marie-100-3-plates", "procedure": "stripping-run", "category": "us-brandy"})
    assert (len(plan.still.column.plates), plan.procedure.name) == (3, "Stripping run")  # type: ignore[union-attr]
    with pytest.raises(UnknownNameError):
        vary(PLAN, {"category": "eu-fruit"})
    with pytest.raises(UnknownNameError):
        vary(PLAN, {"charge.kind": "plum"})


def test_one_phase_all_phases_and_where_product_is_taken() -> None:
    one = vary(PLAN, {"phases.hearts.heater": "6 kW", "phases.hearts.ends.lpa_share": "50 %"})
    assert [phase.heater for phase in one.procedure.phases] == [12e3, 6e3, None, 0.0]
    assert one.procedure.phases[1].ends.lpa_share == 0.5
    every = vary(PLAN, {"phases.*.agitator": True})
    assert all(phase.agitator for phase in every.procedure.phases)
    taken = vary(PLAN, {"heater": "6 kW"})
    assert [phase.heater for phase in taken.procedure.phases] == [12e3, 6e3, 6e3, 0.0], "not heat-up, not shut-down"
    held = vary(PLAN, {"hold_head_strength": "80 %{vol}"})
    assert [phase.hold_head_strength for phase in held.procedure.phases] == [None, 0.8, None, None]


def test_a_setting_takes_its_other_form_back() -> None:
    plan = vary(PLAN, {"heater_share": "30 %", "phases.hearts.hold_head_temperature_sea_level": "81 Cel"})
    hearts = plan.procedure.phases[1]
    assert (hearts.heater, hearts.heater_share, hearts.hold_head_strength) == (None, 0.3, None)
    assert vary(PLAN, {"weather.pressure": "97 kPa"}).weather.altitude is None


def test_every_key_is_known_to_the_reader() -> None:
    """A value that fits no field draws that field's own error, never that of an unknown key."""
    for key in vary_keys(PLAN):
        try:
            vary(PLAN, {key: "\x00"})
        except MiddlerunError as error:
            assert "what-if: there is no" not in str(error)


ERRORS: dict[str, tuple[dict[str, str], type[MiddlerunError], str]] = {
    "typing error": ({"charge.strenght": "5 %{vol}"}, UnknownKeyError, 'Did you mean "charge.strength"?'),
    "unknown phase": ({"phases.harts.heater": "5 kW"}, UnknownKeyError, 'Did you mean "phases.hearts.heater"?'),
    "nothing near": ({"zzz": "5"}, UnknownKeyError, "Keys look like charge.strength"),
    "a whole record": ({"still.pot": "5"}, UnknownKeyError, 'there is no "still.pot"'),
    "no such plate": ({"still.column.plates.9.efficiency": "0.5"}, UnknownKeyError, "there is no"),
    "the name of a phase": ({"phases.hearts.name": "x"}, UnknownKeyError, "there is no"),
    "unit missing": ({"heater": "5"}, UnitError, "the unit is missing"),
    "out of range": ({"weather.water": "80 Cel"}, OutOfRangeError, "outside 0.5 Cel to 45 Cel"),
    "no number": ({"still.column.plates.1.efficiency": "half"}, InputFileError, "a number"),
    "contradiction": ({"phases.hearts.at_most": "1 min", "phases.hearts.ends.time": "1 h"}, ProcedureError, "at_most"),
}


@pytest.mark.parametrize(("changes", "error", "says"), ERRORS.values(), ids=ERRORS)
def test_errors_say_what_to_do(changes: dict[str, str], error: type[MiddlerunError], says: str) -> None:
    with pytest.raises(error) as caught:
        vary(PLAN, changes)
    assert says in str(caught.value)


def test_grid_is_the_product_of_its_axes() -> None:
    table = grid("heater=3 kW,4 kW; weather.water=8 Cel,15 Cel;charge.strength=6 %{vol}")
    assert len(table) == 4
    assert table[1] == {"heater": "3 kW", "weather.water": "15 Cel", "charge.strength": "6 %{vol}"}


NO_GRIDS = {
    "": "No settings",
    "heater": "not a setting with values",
    "heater=": "not a setting",
    "=3 kW": "not a setting",
    "heater=3 kW,,4 kW": "not a setting",
    "heater=3 kW;heater=4 kW": "given twice",
}


@pytest.mark.parametrize(("text", "says"), NO_GRIDS.items())
def test_grids_that_are_none(text: str, says: str) -> None:
    with pytest.raises(InputFileError, match=says):
        grid(text)


def _stand_in(plan: Plan) -> Run:
    """Return a made-up run whose duration follows the hearts' heater: comparing is about tables, not physics."""
    heater = plan.procedure.phases[1].heater or 0.0
    if heater > 15e3:
        raise SolverError("gave up")
    return a_run(plan, totals={"duration": 1e8 / heater})


def test_rows_come_in_their_order_with_their_differences() -> None:
    seen: list[tuple[int, int]] = []
    table = [{}, {"heater": "4 kW"}, {"heater": "10 kW"}]
    result = compare(PLAN, table, lambda done, of: seen.append((done, of)), predict=_stand_in)
    assert [dict(row.settings) for row in result.rows] == table
    assert seen == [(1, 3), (2, 3), (3, 3)]
    assert [row["duration"] for row in result.values()] == pytest.approx([2e4, 2.5e4, 1e4])
    assert [row["duration"] for row in result.differences()] == pytest.approx([0.0, 5e3, -1e4])


def test_what_is_refused_becomes_a_row() -> None:
    contradiction = {"phases.hearts.at_most": "1 min", "phases.hearts.ends.time": "1 h"}
    table = [{}, {"heater": "17 kW"}, {"charge.volume": "140 L"}, contradiction]
    rows = compare(PLAN, table, predict=_stand_in).rows
    assert [row.run is None for row in rows] == [False, True, True, True]
    assert [row.error[:20] for row in rows] == ["", "gave up", "The pot would be too", 'Phase "hearts": ends']
    assert compare(PLAN, table, predict=_stand_in).differences()[1] == {}


def test_an_unknown_key_stops_before_anything_is_computed() -> None:
    with pytest.raises(UnknownKeyError):
        compare(PLAN, [{}, {"heatr": "3 kW"}], predict=_stand_in)


def test_too_many_settings() -> None:
    with pytest.raises(OutOfRangeError, match="10000"):
        compare(PLAN, [{}] * 10_001, predict=_stand_in)


def test_numbers_compared_are_those_of_the_columns() -> None:
    found = compared(a_run(PLAN))
    assert set(found) == {name for name, _ in COLUMNS}
    assert found["hearts_strength"] == pytest.approx(0.83)
    assert found["energy_per_pure_alcohol"] == pytest.approx(5e7 / 4e-3)
    assert found["cost"] == 5.0


def test_hearts_are_counted_whatever_their_vessel_is_called() -> None:
    hearts = replace(PLAN.procedure.phases[1], into="glass balloon 3")
    plan = replace(PLAN, procedure=replace(PLAN.procedure, phases=(PLAN.procedure.phases[0], hearts)))
    run = a_run(plan)
    run = replace(run, fractions=(replace(run.fractions[0], name="glass balloon 3"),))
    assert compared(run)["hearts_pure_alcohol"] == pytest.approx(4e-3)
