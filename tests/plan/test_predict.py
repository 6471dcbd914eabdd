"""The contract of `predict`: what a run holds, under which names, in which units, and how it hangs together."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from middlerun.alcoholometry import alcoholmeter_reading
from middlerun.errors import NeverEndsError, PlanError
from middlerun.plan import (
    Charge,
    Plan,
    Run,
    Weather,
    charge_numbers,
    load_plan,
    predict,
    predict_many,
    standard_pressure,
)
from middlerun.run import Ends, Phase, Procedure, library_procedure
from middlerun.still import library_still
from middlerun.substances import MOLAR_MASS_WATER, bubble_point
from tests.plan.build import PLATED, a_plan
from tests.robustness.sound import MAY_BE_NAN, faults

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "examples" / "demo-plan.toml"
NOMENCLATURE = ROOT / "docs" / "nomenclature.md"


@pytest.fixture(scope="module")
def demo() -> Run:
    return predict(load_plan(DEMO))


def listed(heading: str) -> dict[str, str]:
    """Return the names of one table of the nomenclature with their units."""
    text = NOMENCLATURE.read_text(encoding="utf-8").split(f"## {heading}")[1].split("\n## ")[0]
    found: dict[str, str] = {}
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.split("|")[1:-1]]
        if len(cells) >= 2 and cells[0].startswith("`"):
            found |= {name: cells[1] for name in re.findall(r"`([a-z_]+)`", cells[0])}
    return found


def expected_series(plates: int) -> set[str]:
    names: set[str] = set()
    for name in listed("Series of a run"):
        if "_k_" in name:
            names |= {name.replace("_k_", f"_{k}_") for k in range(1, plates + 1)}
        else:
            names.add(name)
    return names


@pytest.mark.parametrize(
    ("still", "plates", "procedure"),
    [
        (PLATED, 4, "single-pass-with-plates"),
        ("steam-jacket-500-8-plates", 8, "stripping-run"),
        ("electric-pot-30", 0, "plain-pot-still"),
    ],
)
def test_series_are_exactly_those_of_the_nomenclature(still: str, plates: int, procedure: str) -> None:
    described = library_still(still)
    plan = a_plan(
        still=described,
        procedure=library_procedure(procedure),
        charge=Charge(volume=0.6 * described.pot.working_max, strength=0.1),
    )
    run = predict(plan)
    assert set(run.series) == expected_series(plates)
    assert len(run.series) == len(list(run.series)) == len(expected_series(plates))


def test_totals_and_balances_are_exactly_those_of_the_nomenclature(demo: Run) -> None:
    assert set(demo.totals) == set(listed("Totals of a run"))
    assert set(demo.balance) == {"ethanol", "water", "energy"}


def test_every_series_is_an_array_of_floats_over_the_time_grid(demo: Run) -> None:
    n = len(demo.series["time"])
    for name in demo.series:
        row = demo.series[name]
        assert isinstance(row, np.ndarray), name
        assert row.shape == (n,), name
        assert row.dtype == np.float64, name


def test_time_grid_runs_in_equal_steps_from_zero_to_the_end(demo: Run) -> None:
    time = demo.series["time"]
    assert time[0] == 0.0
    assert np.diff(time)[:-1] == pytest.approx(demo.plan.report_every)
    assert 0.0 < time[-1] - time[-2] <= demo.plan.report_every
    assert time[-1] == demo.totals["duration"]


def test_only_series_said_to_have_gaps_have_gaps(demo: Run) -> None:
    for name, row in demo.series.items():
        assert name in MAY_BE_NAN or name.endswith("_weep") or np.isfinite(row).all(), name
    said = NOMENCLATURE.read_text(encoding="utf-8")
    for name in (*MAY_BE_NAN, "plate_k_weep"):
        assert re.search(rf"`{name}` \|[^\n]*NaN", said), name


def test_an_unknown_series_is_a_key_error(demo: Run) -> None:
    with pytest.raises(KeyError):
        demo.series["pot_temprature"]


def test_values_are_si(demo: Run) -> None:
    """Kelvin, pascal, watt, cubic metre, mole per second: each in the range of its SI unit in a small still."""
    ranges = {
        "pot_temperature": (273.15, 380.0), "head_temperature": (273.15, 380.0), "jacket_temperature": (273.15, 400.0),
        "jacket_gauge": (-1e3, 6e4), "pot_gauge": (-1.0, 5e3), "heater_power": (0.0, 18e3),
        "pot_volume_hot": (0.08, 0.15),
        "pot_strength": (0.0, 0.06), "dephlegmator_water_flow": (0.0, 600.1e-3 / 3600), "distillate": (0.0, 0.5),
        "condenser_water_flow": (0.0, 600.1e-3 / 3600), "product_rate": (0.0, 1e-5), "plate_1_liquid": (0.0, 2e-3),
    }  # fmt: skip
    for name, (low, high) in ranges.items():
        assert demo.series[name].min() >= low, name
        assert demo.series[name].max() <= high, name
    assert demo.series["pot_temperature"].max() > 365.0
    assert demo.series["heater_power"].max() > 1e3
    assert demo.series["jacket_gauge"].max() > 1e4
    assert demo.totals["duration"] > 3600.0
    assert 1e7 < demo.totals["heat_supplied"] < 1e9
    assert 0.05 < demo.totals["water_condenser"] < 3.0
    assert demo.totals["charge_pure_alcohol"] == pytest.approx(0.0055)


def test_phases_follow_each_other_and_say_what_ended_them(demo: Run) -> None:
    assert [phase.name for phase in demo.phases] == [phase.name for phase in demo.plan.procedure.phases]
    assert demo.phases[0].start == 0.0
    assert demo.phases[-1].end == demo.totals["duration"]
    for described, phase in zip(demo.plan.procedure.phases, demo.phases, strict=True):
        assert getattr(described.ends, phase.ended_by) is not None
        assert phase.fraction == described.fraction
    for before, after in zip(demo.phases, demo.phases[1:], strict=False):
        assert before.end == after.start
    index = demo.series["phase_index"]
    for i, phase in enumerate(demo.phases):
        inside = (demo.series["time"] > phase.start) & (demo.series["time"] < phase.end)
        assert (index[inside] == i).all()


def test_fractions_add_up_to_what_was_collected(demo: Run) -> None:
    """Pure alcohol and mass add up; strength is alcohol over volume, density 0.79 (alcohol) to 1.0 kg/L."""
    total = sum(fraction.pure_alcohol for fraction in demo.fractions)
    assert total == pytest.approx(demo.totals["collected_pure_alcohol"], rel=1e-9)
    for fraction in demo.fractions:
        assert fraction.strength * fraction.volume == pytest.approx(fraction.pure_alcohol, rel=1e-5)
        assert 785.0 < fraction.mass / fraction.volume < 1000.0
        assert demo.phases[0].start <= fraction.start < fraction.end <= demo.totals["duration"]


def test_fractions_are_told_apart_by_vessel() -> None:
    """Two phases into one vessel make one fraction; `into` names it; nothing is counted twice."""
    hearts = Phase(name="a", fraction="hearts", heater=6e3, into="jar 1", ends=Ends(time=1800.0))
    phases = (
        Phase(name="heat up", heater=18e3, ends=Ends(pot_temperature=360.0)),
        hearts,
        replace(hearts, name="b", into="jar 2"),
        replace(hearts, name="c", into="jar 1"),
    )
    run = predict(a_plan(procedure=Procedure(name="x", phases=phases), charge=Charge(volume=0.1, strength=0.1)))
    assert {"jar 1", "jar 2"} <= {fraction.name for fraction in run.fractions}
    total = sum(fraction.pure_alcohol for fraction in run.fractions)
    assert total == pytest.approx(run.totals["collected_pure_alcohol"], rel=1e-9)


def test_costs_are_energy_and_water_at_their_prices(demo: Run) -> None:
    limits, totals = demo.plan.limits, demo.totals
    assert totals["energy_cost"] == pytest.approx(totals["heat_supplied"] / 3.6e6 * limits.energy_price)
    water = totals["water_dephlegmator"] + totals["water_condenser"]
    assert totals["water_cost"] == pytest.approx(water * limits.water_price)


def test_heat_goes_somewhere(demo: Run) -> None:
    """Heater = losses + relief + cooling waters + what the hot still holds: 15 to 45 % in a charge heated by 85 K."""
    totals = demo.totals
    out = sum(totals[name] for name in ("heat_lost", "heat_relief", "heat_dephlegmator", "heat_condenser"))
    held = totals["heat_supplied"] - out
    # 100 L of mash, 45 kg of copper and 40 L of jacket water by about 84 K, handbook heat capacities.
    sensible = 84.0 * (100.0 * 4.1e3 + 45.0 * 390.0 + 40.0 * 4.19e3)
    assert 0.7 * sensible < held < 1.1 * sensible


def test_glass_reads_what_the_alcoholmeter_would_show(demo: Run) -> None:
    """The parrot's reading is the reading of a 20 Cel glass in spirit of its true strength and temperature."""
    strength, warm, reading = (demo.series[f"parrot_{name}"] for name in ("strength", "temperature", "reading"))
    rows = np.flatnonzero(~np.isnan(reading))[::97]
    assert len(rows) > 5
    for row in rows:
        assert reading[row] == pytest.approx(float(alcoholmeter_reading(strength[row], warm[row])), abs=1e-9)


def test_altitude_means_its_pressure() -> None:
    """A still at an altitude runs like one under the standard atmosphere's pressure there (ISO 2533), bit for bit."""
    plan = a_plan(charge=Charge(volume=0.1, strength=0.08, kind="plum-mash"))
    high = predict(replace(plan, weather=Weather(altitude=420.0)))
    low = predict(replace(plan, weather=Weather(pressure=standard_pressure(420.0))))
    for name in high.series:
        assert np.array_equal(high.series[name], low.series[name], equal_nan=True), name
    assert high.totals == low.totals


def test_altitude_boils_colder_by_the_handbooks_figure() -> None:
    """Wine boils colder by about 1 K per 300 m (common practice; 3.3 K per 1000 m for water, steam tables)."""
    phases = (Phase(name="boil", heater=12e3, ends=Ends(time=7200.0)),)
    plan = a_plan(procedure=Procedure(name="boil", phases=phases), charge=Charge(volume=0.1, strength=0.1))
    boils = []
    for altitude in (0.0, 900.0):
        run = predict(replace(plan, weather=Weather(altitude=altitude)))
        boils.append(
            float(np.interp(run.totals["time_to_boil"] + 300.0, run.series["time"], run.series["pot_temperature"]))
        )
    assert 2.5 < boils[0] - boils[1] < 3.5


def test_a_bigger_extract_boils_hotter() -> None:
    """150 g/L of solutes of 150 g/mol is 1.16 mol per kg of water in a plum mash: 0.6 K (0.51 K kg/mol, handbooks)."""
    phases = (Phase(name="boil", heater=12e3, ends=Ends(time=7200.0)),)
    plan = a_plan(procedure=Procedure(name="boil", phases=phases))
    boils = []
    for extract in (0.0, 150.0):
        charge = Charge(volume=0.1, strength=0.055, kind="plum-mash", extract=extract)
        run = predict(replace(plan, charge=charge))
        numbers = charge_numbers(charge)
        # The liquid between the solids is stronger than the mash; the same part of it has boiled off in both.
        strength = run.series["pot_strength"] / run.series["pot_strength"][0]
        boiling = run.series["time"] > run.totals["time_to_boil"]
        boils.append(float(np.interp(-0.9, -strength[boiling], run.series["pot_temperature"][boiling])))
        moles = numbers.solutes
    x = [charge_numbers(replace(charge, extract=e)) for e in (0.0, 150.0)]
    plain = [float(bubble_point(0.9 * n.ethanol / (n.ethanol + n.water), standard_pressure(420.0))[0]) for n in x]
    molality = moles / (x[1].water * MOLAR_MASS_WATER)
    assert boils[1] - boils[0] == pytest.approx(0.51 * molality + plain[1] - plain[0], abs=0.08)
    assert 0.45 < 0.51 * molality < 0.75


def test_many_at_once_are_each_alone(demo: Run) -> None:
    """`predict_many` gives the runs in order, bit for bit those of `predict`, and tells how far it is."""
    plans = [replace(demo.plan, charge=replace(demo.plan.charge, strength=s)) for s in (0.04, 0.05, 0.06, 0.07)]
    told: list[tuple[int, int]] = []
    together = predict_many(plans, progress=lambda done, total: told.append((done, total)))
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]
    for plan, run in zip(plans, together, strict=True):
        alone = predict(plan)
        assert run.plan is plan
        assert run.totals == alone.totals
        assert np.array_equal(run.series["pot_temperature"], alone.series["pot_temperature"])
    assert predict_many([]) == []


def test_the_first_refusal_of_many_is_raised(demo: Run) -> None:
    too_much = replace(demo.plan, charge=replace(demo.plan.charge, volume=0.14))
    with pytest.raises(PlanError, match="too full"):
        predict_many([demo.plan, too_much])


def test_a_phase_that_cannot_end_says_where_it_got_to() -> None:
    weak = Phase(name="wait", heater=500.0, ends=Ends(pot_temperature=365.0), at_most=7200.0)
    with pytest.raises(NeverEndsError, match=r'Phase "wait" does not end: after 120 min .* pot thermometer shows'):
        predict(a_plan(procedure=Procedure(name="x", phases=(weak,))))


def test_a_held_head_without_product_is_given_up_and_the_run_goes_on() -> None:
    """Four plates do not reach 95 % vol over a 5.5 % vol mash: half an hour (common practice), then the next phase."""
    phases = (
        Phase(name="heat up", heater_share=0.6, agitator=True, vent_open=True, ends=Ends(pot_temperature=355.0)),
        Phase(name="close", vent_open=False, dephlegmator_water_share=1.0, ends=Ends(time=2400.0)),
        Phase(name="hearts", fraction="hearts", heater=4e3, hold_head_strength=0.95, ends=Ends(lpa_share=0.5)),
        Phase(name="tails", fraction="tails", dephlegmator_water=0.0, ends=Ends(time=1200.0)),
    )
    run = predict(a_plan(procedure=Procedure(name="test", phases=phases)))
    assert [phase.ended_by for phase in run.phases] == ["pot_temperature", "time", "no_product", "time"]
    (warning,) = (one for one in run.warnings if one.code == "hold-no-product")
    assert warning.values["phase"] == "hearts"
    assert warning.values["reached"] < warning.values["asked"] == pytest.approx(0.95, abs=1e-6)
    assert run.totals["collected_volume"] > 1e-4
    late = run.series["time"] > run.phases[2].end - 1790.0
    assert run.series["distillate"][late & (run.series["phase_index"] == 2)].max() < 2e-3


def test_reporting_step_changes_no_total(demo: Run) -> None:
    """Totals that are amounts are the solver's own; only the two moments are read off the grid, to one step."""
    coarse = predict(replace(demo.plan, report_every=60.0))
    for name, value in demo.totals.items():
        if name in ("time_to_boil", "time_to_product"):
            assert coarse.totals[name] == pytest.approx(value, abs=60.0)
        else:
            assert coarse.totals[name] == value, name
    assert coarse.fractions[0].volume == demo.fractions[0].volume


def _cases() -> Iterator[tuple[Plan, str]]:
    yield a_plan(), "plan of the tests"
    yield load_plan(DEMO), "demo"


@pytest.mark.parametrize(("plan", "name"), list(_cases()), ids=lambda value: value if isinstance(value, str) else "")
def test_runs_are_sound(plan: Plan, name: str) -> None:
    run = predict(plan)
    assert not list(faults(run)), name
