"""Laws of heating up and boiling. Each states its premises; none needs a number from the program itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.alcoholometry import mole_fraction_from_volume_strength
from middlerun.column import Day
from middlerun.substances import MOLAR_MASS_WATER, bubble_point, liquid_enthalpy
from tests.column.small import DAY, PLATED, POT, VAPOUR, Seen, charge, distilled, few, phase, seen, still

EVERY = 2.0  # s; a boil is read to one row
POWERS = st.floats(1.5e3, 4.5e3)
FACTORS = st.floats(1.15, 2.0)


def heated(power: float, pot: object = None, minutes: float = 300.0, day: Day = DAY, **changes: object) -> Seen:
    """Heat a small pot still (no relief, no jacket) at constant power until it has boiled for a while."""
    numbers = still(POT, heater_max=10e3, **changes)
    pot = pot or charge(0.015)
    return seen(numbers, pot, [phase(numbers, minutes, power)], day, every=EVERY)  # type: ignore[arg-type]


def boil(power: float, pot: object = None, **changes: object) -> float:
    """Return the time to the first vapour (s)."""
    return heated(power, pot, 60.0 + 6e5 / power, **changes).boils_at()  # type: ignore[arg-type]


@few
@given(power=POWERS, more=FACTORS)
def test_more_heat_boils_sooner(power: float, more: float) -> None:
    """At constant power without relief, more power reaches the boil sooner."""
    assert boil(more * power) < boil(power)


@few
@given(power=POWERS, volume=st.floats(0.008, 0.012), more=FACTORS)
def test_bigger_charge_boils_later(power: float, volume: float, more: float) -> None:
    """At the same power and strength, a bigger charge takes longer to the boil."""
    assert boil(power, charge(more * volume)) > boil(power, charge(volume))


@few
@given(power=POWERS, cold=st.floats(275.0, 290.0), step=st.floats(5.0, 30.0))
def test_colder_charge_boils_later(power: float, cold: float, step: float) -> None:
    """At the same power, a colder charge takes longer to the boil."""
    assert boil(power, charge(0.015, temperature=cold)) > boil(power, charge(0.015, temperature=cold + step))


@few
@given(power=POWERS, loss=st.floats(0.5, 5.0), more=FACTORS)
def test_bigger_loss_takes_more_heat(power: float, loss: float, more: float) -> None:
    """At the same power in a room colder than the charge, one that loses more needs more heat and time to boil."""
    day = Day(pressure=DAY.pressure, room=283.15, water=DAY.water)
    tight, leaky = (heated(power, day=day, pot_heat_loss=one) for one in (loss, more * loss))
    assert leaky.boils_at() > tight.boils_at()
    assert leaky.at("heat_loss", tight.boils_at()) > tight.at("heat_loss", tight.boils_at())


@few
@given(power=POWERS, loss=st.floats(0.5, 8.0))
def test_insulation_never_slows(power: float, loss: float) -> None:
    """A pot without losses boils no later than one with losses, charge and room at one temperature."""
    assert boil(power, charge(0.015, temperature=DAY.room), pot_heat_loss=0.0) <= boil(
        power, charge(0.015, temperature=DAY.room), pot_heat_loss=loss
    )


@few
@given(power=POWERS, conductance=st.floats(40.0, 200.0), more=FACTORS)
def test_better_contact_boils_no_later(power: float, conductance: float, more: float) -> None:
    """At constant power without relief, more U·A between base and charge leaves less heat in the base."""
    late, soon = (boil(power, heating_conductance=one) for one in (conductance, more * conductance))
    assert soon <= late


@few
@given(power=st.floats(4e3, 11e3))
def test_agitator_boils_no_later(power: float) -> None:
    """The agitator raises U·A before the boil, so the boil comes no later (vented bain-marie, relief shut)."""
    numbers = still(PLATED, relief_gauge=1e9)
    times = [
        seen(
            numbers,
            charge(),
            [phase(numbers, 3e6 / power * 0.25, power, agitated=stirred, vent_open=True)],
            every=EVERY,
        ).boils_at()
        for stirred in (True, False)
    ]
    assert times[0] <= times[1]


@few
@given(power=POWERS, cold=st.floats(268.0, 285.0))
def test_warmer_room_boils_no_later(power: float, cold: float) -> None:
    """The room takes less heat from a pot the warmer it is."""
    times = [heated(power, day=replace(DAY, room=room)).boils_at() for room in (cold, cold + 15.0)]
    assert times[1] <= times[0]


@few
@given(power=st.floats(2e3, 6e3), volume=st.floats(0.010, 0.02), strength=st.floats(0.05, 0.4))
def test_warm_up_takes_the_sensible_heat(power: float, volume: float, strength: float) -> None:
    """Without losses, heat supplied until 70 Cel is the sensible heat of charge, pot metal and base, to 0.5 %.

    Heat of the liquid by `substances.liquid_enthalpy` (IAPWS, Zabransky); the kernel's quadratics differ from it by
    0.16 % for water to 0.3 % for 40 % vol, and one row is up to 0.15 %.
    """
    numbers = still(POT, heater_max=10e3, pot_heat_loss=0.0, jacket_heat_loss=0.0, head_heat_loss=0.0)
    start = DAY.room
    pot = charge(volume, strength, temperature=start)
    run = seen(numbers, pot, [phase(numbers, 5e6 * volume / power, power)], every=EVERY)
    row = int(np.flatnonzero(run["pot_temperature"] > 343.15)[0])
    hot, base = run["pot_temperature"][row], run["jacket_temperature"][row]
    moles = pot.ethanol + pot.water
    x = pot.ethanol / moles
    liquid = moles * float(liquid_enthalpy(x, hot) - liquid_enthalpy(x, start))
    metal = numbers.pot_heat_capacity * (hot - start) + numbers.jacket_heat_capacity * (base - start)
    assert power * run["time"][row] == pytest.approx(liquid + metal, rel=5e-3)


@few
@given(pressure=st.sampled_from([65e3, 80e3, 95e3, 108e3]), strength=st.floats(0.04, 0.6), power=POWERS)
def test_pot_boils_at_the_bubble_point_of_its_pressure(pressure: float, strength: float, power: float) -> None:
    """A boiling pot without solids is at its bubble point under the pressure in it, less than 0.1 K above.

    Bubble point by `substances.bubble_point`; the kernel looks a table up.
    """
    run = heated(power, charge(0.015, strength, 320.0), 120.0, replace(DAY, pressure=pressure))
    rows = np.flatnonzero(run["pot_vapour"] > 5.0 * VAPOUR)[::400]
    assert len(rows) > 2
    for row in rows:
        x = float(mole_fraction_from_volume_strength(run["pot_strength"][row]))
        bubble, _ = bubble_point(x, pressure + run["pot_gauge"][row])
        assert -0.02 < run["pot_temperature"][row] - float(bubble) < 0.1


@few
@given(low=st.sampled_from([62e3, 75e3, 90e3]), step=st.sampled_from([3e3, 10e3]), strength=st.floats(0.04, 0.4))
def test_lower_pressure_boils_colder(low: float, step: float, strength: float) -> None:
    """The same charge boils colder under lower ambient pressure."""
    pot = charge(0.015, strength)
    runs = [heated(3e3, pot, day=replace(DAY, pressure=p)) for p in (low, low + step)]
    temperatures = [run.at("pot_temperature", run.boils_at()) for run in runs]
    assert temperatures[0] < temperatures[1]


@few
@given(weak=st.floats(0.03, 0.5), step=st.floats(0.02, 0.2))
def test_stronger_charge_boils_colder(weak: float, step: float) -> None:
    """Below the azeotrope a stronger charge boils at a lower temperature."""
    runs = [heated(3e3, charge(0.015, one)) for one in (weak, weak + step)]
    temperatures = [run.at("pot_temperature", run.boils_at()) for run in runs]
    assert temperatures[1] < temperatures[0]


@few
@given(molality=st.floats(0.1, 1.0), strength=st.floats(0.03, 0.15))
def test_extract_raises_the_boil_by_its_molality(molality: float, strength: float) -> None:
    """Solutes raise the boil by 0.51 K kg/mol times their molality in the water (ebullioscopic constant, handbooks)."""
    pot = charge(0.015, strength, 330.0)
    solutes = molality * pot.water * MOLAR_MASS_WATER
    plain, sweet = (heated(3e3, one, 60.0) for one in (pot, replace(pot, solutes=solutes)))
    at = 0.97 * strength  # the same liquid in both pots
    warm = [
        float(np.interp(-at, -_after_boil(r, "pot_strength"), _after_boil(r, "pot_temperature")))
        for r in (plain, sweet)
    ]
    # The water that has left by then, below 5 %, makes the rise a little larger.
    assert warm[1] - warm[0] == pytest.approx(0.51 * molality, rel=0.06)


def _after_boil(run: Seen, name: str) -> np.ndarray:
    return run[name][run["time"] >= run.boils_at()]


@few
@given(power=POWERS, factor=st.floats(0.4, 0.8))
def test_thick_mash_boils_no_sooner(power: float, factor: float) -> None:
    """Mash that takes heat worse than wine boils no sooner at the same power."""
    assert boil(power, charge(0.015, heat_transfer=factor)) >= boil(power, charge(0.015))


@few
@given(temperature=st.floats(278.15, 303.15))
def test_nothing_happens_without_heat(temperature: float) -> None:
    """Everything at the temperature of the room, heater off: nothing warms, cools or flows in three hours."""
    numbers = still(PLATED)
    day = replace(DAY, room=temperature, water=temperature)
    run = seen(numbers, charge(temperature=temperature), [phase(numbers, 180.0, 0.0)], day)
    for name in ("pot_temperature", "jacket_temperature", "head_temperature", "plate_2_temperature"):
        assert np.abs(run[name] - temperature).max() < 0.05
    assert run["collected_volume"][-1] < 1e-6  # a millilitre
    assert run["heat_to_pot"].max() < 1e-3 * numbers.heater_max


@few
@given(power=POWERS, minutes=st.floats(20.0, 90.0))
def test_cools_towards_the_room(power: float, minutes: float) -> None:
    """Ten minutes after the heater went off a pot without jacket only cools, and never below the room."""
    numbers = still(POT)
    hot = phase(numbers, minutes, min(power, numbers.heater_max))
    run = seen(numbers, charge(0.015), [hot, phase(numbers, 300.0, 0.0)])
    cooling = run["pot_temperature"][run["time"] > 60.0 * minutes + 600.0]
    assert np.diff(cooling).max() <= 1e-6
    assert cooling.min() >= DAY.room - 0.01


@few
@given(power=st.floats(0.3, 1.0), room=st.floats(263.15, 303.15), water=st.floats(274.15, 300.15))
def test_nothing_colder_than_the_coldest_or_hotter_than_steam(power: float, room: float, water: float) -> None:
    """Heat flows downhill: nothing gets colder than room, water and charge or hotter than boiling water."""
    numbers = still(PLATED)
    day = Day(pressure=DAY.pressure, room=room, water=water)
    run = distilled(numbers, charge(temperature=290.0), 0.3 * numbers.dephlegmator_water_max, power=power, day=day)
    coldest, steam = min(room, water, 290.0), float(bubble_point(0.0, DAY.pressure + run["pot_gauge"].max())[0])
    for name in run.outcome.names:
        if name.endswith("temperature") and name != "jacket_temperature":
            assert run[name].min() > coldest - 0.05, name
            assert run[name].max() < steam + 0.1, name


@few
@given(power=st.floats(0.7, 1.0))
def test_vapour_carries_the_heat_that_reaches_a_boiling_pot(power: float) -> None:
    """Without losses, heat into a pot that has boiled down to water leaves as steam: 40.65 kJ/mol (steam tables).

    2 % for what ethanol is left and for the last tenths of a kelvin that the pot warms.
    """
    numbers = still(POT, pot_heat_loss=0.0, head_heat_loss=0.0)
    run = seen(numbers, charge(0.015, 0.05, 340.0), [phase(numbers, 120.0, power * numbers.heater_max)])
    late = (run["pot_strength"] < 2e-3) & (run["phase_index"] == 0)
    assert np.count_nonzero(late) > 20
    assert run["heat_to_pot"][late] / run["pot_vapour"][late] == pytest.approx(40.65e3, rel=0.02)
