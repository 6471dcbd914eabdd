"""From words to the kernel's numbers: shares, levels, what stays as it was, held heads, ends, and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.errors import NeverEndsError, OutOfRangeError, ProcedureError
from middlerun.plan import Charge, Plan, Weather, phase_settings
from middlerun.plan.head import (
    dew_temperature,
    strength_for_temperature,
    temperature_for_strength,
    temperature_of_the_day,
)
from middlerun.plan.weather import pressure_of, standard_pressure
from middlerun.run import Ends, Phase, Procedure, library_procedure, procedure_names
from middlerun.still import library_names, library_still, resolve
from tests.plan.build import PLATED, a_plan

ZERO = 273.15
END = Ends(time=60.0)
L_PER_H = 1e-3 / 3600.0
HOT = Phase(name="heat up", heater=12e3, ends=Ends(time=600.0))


def _settings(*phases: Phase, still: str = PLATED, **plan: object):  # type: ignore[no-untyped-def]
    described = library_still(still)
    made = a_plan(still=described, procedure=Procedure(name="test", phases=(HOT, *phases)), **plan)
    return phase_settings(made, resolve(described))


@pytest.mark.parametrize(
    ("altitude", "pressure"),
    [(0.0, 101325.0), (500.0, 95461.0), (1000.0, 89876.0), (2000.0, 79501.0), (3000.0, 70121.0)],
)
def test_pressure_of_the_standard_atmosphere(altitude: float, pressure: float) -> None:
    """ISO 2533:1975, table by geometric altitude (printed to 5 digits; from memory, high)."""
    assert standard_pressure(altitude) == pytest.approx(pressure, abs=1.0)


def test_barometer_wins_over_altitude() -> None:
    assert pressure_of(Weather(pressure=97e3, altitude=420.0)) == 97e3
    assert pressure_of(Weather()) == 101325.0


@pytest.mark.parametrize(("pressure", "strength"), [(101.3e3, 0.849), (96.4e3, 0.825)])
def test_one_head_temperature_is_another_strength_every_day(pressure: float, strength: float) -> None:
    """81 Cel is 84.9 % vol at 101.3 kPa but 82.5 % vol at 96.4 kPa: the project's own specification of held heads."""
    assert strength_for_temperature(81.0 + ZERO, pressure) == pytest.approx(strength, abs=0.001)


@given(st.floats(0.05, 0.955), st.floats(60e3, 110e3))
def test_strength_and_head_temperature_are_one_thing(strength: float, pressure: float) -> None:
    temperature = temperature_for_strength(strength, pressure)
    # Near the azeotrope the dew line is flat: 1e-9 K there are 1e-6 in strength.
    assert strength_for_temperature(temperature, pressure) == pytest.approx(strength, abs=2e-6)


@given(st.floats(78.3, 99.5), st.floats(60e3, 110e3))
def test_sea_level_temperature_keeps_its_strength(sea_level: float, pressure: float) -> None:
    today = temperature_of_the_day(sea_level + ZERO, pressure)
    meant = strength_for_temperature(sea_level + ZERO, 101325.0)
    assert strength_for_temperature(today, pressure) == pytest.approx(meant, abs=2e-6)
    assert (today < sea_level + ZERO) == (pressure < 101325.0) or pressure == pytest.approx(101325.0, abs=1.0)


def test_nothing_is_held_beyond_the_azeotrope() -> None:
    with pytest.raises(OutOfRangeError, match="azeotrope"):
        temperature_for_strength(0.985, 101325.0)
    with pytest.raises(OutOfRangeError, match="nothing comes over"):
        strength_for_temperature(78.0 + ZERO, 101325.0)


def _pairs() -> list[tuple[str, str]]:
    """Return every ready procedure with every library still that it is written for."""
    fits = {"any": (True, False), "plates": (True,), "no plates": (False,)}
    plated = {name: bool((column := library_still(name).column) and column.plates) for name in library_names()}
    return [(s, p) for p in procedure_names() for s in plated if plated[s] in fits[library_procedure(p).needs]]


@pytest.mark.parametrize(("still", "name"), _pairs())
def test_every_ready_procedure_fits_every_still_it_is_for(still: str, name: str) -> None:
    described, procedure = library_still(still), library_procedure(name)
    numbers = resolve(described)
    for altitude in (-300.0, 420.0, 3500.0):
        plan = Plan(
            name="x",
            still=described,
            procedure=procedure,
            weather=Weather(altitude=altitude),
            charge=Charge(volume=0.6 * described.pot.working_max, strength=0.055),
        )
        settings = phase_settings(plan, numbers)
        assert len(settings) == len(procedure.phases)
        for one in settings:
            assert 0.0 <= one.heater <= numbers.heater_max
            assert math.isnan(one.dephlegmator_flow) or 0.0 <= one.dephlegmator_flow <= numbers.dephlegmator_water_max
            assert 0.0 < one.condenser_flow <= numbers.condenser_water_max
            assert len(one.levels) == len(one.bypassed) == len(numbers.plates)
            assert one.ends


def test_shares_and_words_become_numbers() -> None:
    numbers = resolve(library_still(PLATED))
    phase = Phase(
        name="b", heater_share=0.5, dephlegmator_water_share=0.25, condenser_water_share=0.5, ends=Ends(time=60.0)
    )
    for word, level in (("drained", 0.0), ("low", 2e-4), ("usual", 6e-4), ("high", 12e-4)):
        one = _settings(replace(phase, level=word))[1]
        assert one.levels == pytest.approx((level,) * 4)
    assert one.heater == pytest.approx(9e3)
    assert one.dephlegmator_flow == pytest.approx(150 * L_PER_H)
    assert one.condenser_flow == pytest.approx(0.5 * numbers.condenser_water_max)


def test_what_is_left_out_stays() -> None:
    first, second, third = _settings(
        Phase(
            name="b",
            dephlegmator_water=100 * L_PER_H,
            levels=(3e-4, 4e-4, 5e-4, 6e-4),
            bypass=(2,),
            agitator=True,
            vent_open=True,
            jacket_temperature=370.0,
            condenser_water=50 * L_PER_H,
            ends=Ends(time=60.0),
        ),
        Phase(name="c", ends=Ends(time=60.0)),
    )
    assert first.heater == 12e3 and first.dephlegmator_flow == 0.0
    assert first.condenser_flow == resolve(library_still(PLATED)).condenser_water_max
    assert replace(third, name="b") == second
    assert third.jacket_setpoint == 370.0 and third.agitated and third.vent_open
    assert third.bypassed == (False, True, False, False)


def test_a_thermostat_ends_with_the_next_heater_setting() -> None:
    _, on, off = _settings(
        Phase(name="b", jacket_temperature=370.0, ends=Ends(time=60.0)),
        Phase(name="c", heater=4e3, ends=Ends(time=60.0)),
    )
    assert on.jacket_setpoint == 370.0 and math.isnan(off.jacket_setpoint)


def test_a_hold_goes_on_until_the_water_is_set() -> None:
    _, hold, goes_on, other, free = _settings(
        Phase(
            name="b", fraction="hearts", hold_head_strength=0.83, dephlegmator_water=90 * L_PER_H, ends=Ends(time=60.0)
        ),
        Phase(name="c", ends=Ends(time=60.0)),
        Phase(name="d", hold_head_strength=0.80, ends=Ends(time=60.0)),
        Phase(name="e", dephlegmator_water=0.0, ends=Ends(time=60.0)),
    )
    assert hold.dephlegmator_flow == pytest.approx(90 * L_PER_H), "where the hand begins"
    assert goes_on.head_setpoint == hold.head_setpoint and math.isnan(goes_on.dephlegmator_flow)
    assert other.head_setpoint > hold.head_setpoint and math.isnan(other.dephlegmator_flow)
    assert math.isnan(free.head_setpoint) and free.dephlegmator_flow == 0.0


def test_three_ways_to_hold_the_same_head() -> None:
    pressure = standard_pressure(420.0)
    strength = strength_for_temperature(81.0 + ZERO, 101325.0)
    today = temperature_for_strength(strength, pressure)
    _, one, two, three = _settings(
        Phase(name="b", hold_head_strength=strength, ends=Ends(time=60.0)),
        Phase(name="c", hold_head_temperature_sea_level=81.0 + ZERO, ends=Ends(time=60.0)),
        Phase(name="d", hold_head_temperature=today, ends=Ends(time=60.0)),
    )
    assert (
        one.head_setpoint == pytest.approx(two.head_setpoint, abs=1e-6) == pytest.approx(three.head_setpoint, abs=1e-6)
    )


def test_ends_go_to_their_channels() -> None:
    _, one = _settings(
        Phase(
            name="b",
            fraction="heads",
            hold_head_strength=0.85,
            ends=Ends(
                pot_temperature=365.0,
                head_temperature=360.0,
                product_strength=0.1,
                collected=1e-3,
                smell_marker=0.02,
                time=60.0,
            ),
        ),
    )
    assert {end.name: (end.channel, end.rising) for end in one.ends} == {
        "pot_temperature": ("pot_temperature", True),
        "head_temperature": ("head_temperature", True),
        "product_strength": ("product_strength", False),
        "collected": ("collected", True),
        "smell_marker": ("lpa_share", True),
        "time": ("time", True),
    }


def test_heater_with_steps_only() -> None:
    still = library_still(PLATED)
    coarse = replace(still, heating=replace(still.heating, fine_control=False))
    phase = Phase(name="b", heater_share=0.3, ends=Ends(time=60.0))
    plan = a_plan(still=coarse, procedure=Procedure(name="test", phases=(HOT, phase)))
    assert phase_settings(plan, resolve(coarse))[1].heater == 6e3, "30 % of 18 kW is nearest to the step of 6 kW"
    plan = a_plan(still=coarse, procedure=Procedure(name="test", phases=(replace(HOT, heater=5e3),)))
    with pytest.raises(ProcedureError, match="only the steps 0 kW, 6 kW, 12 kW, 18 kW"):
        phase_settings(plan, resolve(coarse))


REFUSED = {
    "heater": (Phase(name="b", heater=20e3, ends=END), 'Phase "b": heater is 20 kW, outside 0 kW to 18 kW'),
    "dephlegmator water": (Phase(name="b", dephlegmator_water=700 * L_PER_H, ends=END), "outside 0 L/h to 600 L/h"),
    "condenser water": (Phase(name="b", condenser_water=700 * L_PER_H, ends=END), "condenser_water is 700 L/h"),
    "weir too high": (Phase(name="b", levels=(6e-4, 6e-4, 6e-4, 2e-3), ends=END), "2 L, outside 0.2 L to 1.2 L"),
    "weir too low": (Phase(name="b", levels=(1e-4, 6e-4, 6e-4, 6e-4), ends=END), "of plate 1 (or 0 L: drained)"),
    "too few weirs": (Phase(name="b", levels=(6e-4,), ends=END), "gives 1 weir settings, but this still has 4 plates"),
    "no such plate": (Phase(name="b", bypass=(5,), ends=END), "names plate 5, but this still has 4 plates"),
    "hold at the azeotrope": (Phase(name="b", hold_head_temperature=76.8 + ZERO, ends=END), "azeotrope"),
    "hold above water": (Phase(name="b", hold_head_temperature=99.0 + ZERO, ends=END), "(water)"),
    "colder than the inlet": (Phase(name="b", hold_condenser_out=284.0, ends=END), "the water comes in at 13 Cel"),
}


@pytest.mark.parametrize(("phase", "says"), REFUSED.values(), ids=REFUSED)
def test_what_the_still_can_not_do_is_refused_by_name(phase: Phase, says: str) -> None:
    with pytest.raises(ProcedureError) as caught:
        _settings(phase)
    assert says in str(caught.value) and str(caught.value).startswith('Phase "b"')


def test_bypass_where_there_is_none() -> None:
    with pytest.raises(ProcedureError, match="plate 1 can't be bypassed"):
        _settings(Phase(name="b", bypass=(1,), ends=END), still="bain-marie-100-3-plates")


@pytest.mark.parametrize(
    ("phase", "says"),
    [
        (Phase(name="b", hold_head_strength=0.83, ends=END), "no dephlegmator"),
        (Phase(name="b", dephlegmator_water_share=0.5, ends=END), "no dephlegmator"),
        (Phase(name="b", dephlegmator_water=1e-5, ends=END), "outside 0 L/h to 0 L/h"),
        (Phase(name="b", jacket_temperature=360.0, ends=END), "without a jacket"),
    ],
)
def test_what_a_plain_pot_over_fire_has_not(phase: Phase, says: str) -> None:
    with pytest.raises(ProcedureError) as caught:
        _settings(phase, still="pot-over-fire-60")
    assert says in str(caught.value)


NEVER = {
    "pot above boiling water": Ends(pot_temperature=102.0 + ZERO),
    "head at steam": Ends(head_temperature=100.0 + ZERO),
    "more than the charge": Ends(collected=0.2),
}


@pytest.mark.parametrize("ends", NEVER.values(), ids=NEVER)
def test_ends_that_can_not_come(ends: Ends) -> None:
    phase = Phase(name="b", fraction="tails", ends=ends)
    with pytest.raises(NeverEndsError, match='Phase "b" can never end'):
        _settings(phase)
    assert len(_settings(replace(phase, ends=replace(ends, time=60.0)))[1].ends) == 2, "with a second end it can"


def test_full_water_in_litres_is_total_reflux_too() -> None:
    phase = Phase(name="b", fraction="heads", dephlegmator_water=600 * L_PER_H, ends=Ends(smell_marker=0.02))
    with pytest.raises(NeverEndsError, match="total reflux"):
        _settings(phase)


def test_head_above_water_follows_the_day() -> None:
    """Water boils below 96 Cel at 1500 m, so a head of 97 Cel can't come there."""
    assert dew_temperature(0.0, standard_pressure(1500.0)) < 96.0 + ZERO
    phase = Phase(name="b", ends=Ends(head_temperature=97.0 + ZERO))
    assert _settings(phase)
    with pytest.raises(NeverEndsError):
        _settings(phase, weather=Weather(altitude=1500.0))
