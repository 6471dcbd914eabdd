"""Laws of what comes over: the pot still as Rayleigh has it, sums of alcohol, parrot and instruments."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.column.kernels.layout import D_LOST_E, D_PARROT_E
from middlerun.substances import MOLAR_MASS_ETHANOL
from tests.column.small import (
    DAY,
    PLATED,
    POT,
    Seen,
    charge,
    distilled,
    end,
    few,
    on_plates,
    phase,
    seen,
    still,
    volume_at_20,
)

DENSITY_ETHANOL = 789.24  # kg/m3 at 20 Cel, OIML R 22
STRENGTHS = st.floats(0.05, 0.4)


def pot_run(strength: float, power: float = 0.8, minutes: float = 60.0, **changes: object) -> Seen:
    """Distil 15 L in a plain electric pot still."""
    return distilled(still(POT, **changes), charge(0.015, strength), 0.0, minutes, power)


@few
@given(strength=STRENGTHS, power=st.floats(0.4, 1.0))
def test_pot_only_weakens(strength: float, power: float) -> None:
    """Without plates and below the azeotrope vapour is stronger than the liquid: the pot's strength never rises."""
    run = pot_run(strength, power)
    assert np.diff(run["pot_strength"][run.running(1)]).max() <= 1e-9


@few
@given(strength=st.floats(0.05, 0.2), share=st.floats(0.02, 0.12))
def test_pot_under_plates_only_weakens(strength: float, share: float) -> None:
    """With weirs, heat and water left alone, half an hour into the product the pot's strength never rises.

    Nothing then sends more alcohol down than comes up: the column gives back only what it held.
    """
    numbers = still(PLATED)
    run = distilled(numbers, charge(strength=strength), share * numbers.dephlegmator_water_max)
    late = run.running(1) & (run["time"] > run.phases[0].end + 1800.0)
    assert late.any()
    assert np.diff(run["pot_strength"][late]).max() <= 1e-7


@few
@given(strength=STRENGTHS, power=st.floats(0.4, 1.0))
def test_product_is_stronger_than_the_pot(strength: float, power: float) -> None:
    """Below the azeotrope vapour is richer than its liquid: the product is stronger than the pot, and falls."""
    run = pot_run(strength, power)
    runs = run.running(1) & (run["time"] > run.phases[0].end + 900.0)
    assert (run["product_strength"] > run["pot_strength"])[runs].all()
    assert np.diff(run["product_strength"][runs]).max() < 1e-4


@few
@given(weak=st.floats(0.04, 0.25), more=st.floats(1.1, 1.6))
def test_stronger_charge_gives_stronger_product(weak: float, more: float) -> None:
    """In a pot still, the first two litres of a stronger charge are stronger and hold more alcohol."""
    runs = [pot_run(strength, minutes=90.0) for strength in (weak, more * weak)]
    alcohol = [float(np.interp(2e-3, run["collected_volume"], run["collected_pure_alcohol"])) for run in runs]
    assert alcohol[1] > alcohol[0]


@few
@given(strength=STRENGTHS, slow=st.floats(0.35, 0.6), more=st.floats(1.2, 1.6))
def test_rayleigh_does_not_know_the_clock(strength: float, slow: float, more: float) -> None:
    """Without losses or reflux, pot and distillate depend on how much has come over, not on how fast.

    Premise: the head loses nothing. Within 0.2 % vol: metal of the head condenses a little at the start.
    """
    runs = [pot_run(strength, power, 130.0 / power, head_heat_loss=0.0) for power in (slow, more * slow)]
    for volume in (1.5e-3, 2.5e-3):
        for name in ("pot_strength", "fraction_strength"):
            at = [float(np.interp(volume, run["collected_volume"], run[name])) for run in runs]
            assert at[0] == pytest.approx(at[1], abs=2e-3), (name, volume)


@few
@given(strength=STRENGTHS, slow=st.floats(0.4, 0.7), more=st.floats(1.1, 1.4))
def test_more_heat_brings_it_over_sooner(strength: float, slow: float, more: float) -> None:
    """At more heat a pot still has collected no less at any time."""
    late, soon = (pot_run(strength, power) for power in (slow, more * slow))
    rows = min(len(late["time"]), len(soon["time"]))
    early = late.phases[0].end + 600.0  # both are heated up alike until then
    after = late["time"][:rows] > early
    assert (soon["collected_volume"][:rows] >= late["collected_volume"][:rows] - 1e-6)[after].all()


@few
@given(strength=st.floats(0.03, 0.5), share=st.floats(0.0, 0.3), power=st.floats(0.2, 1.0), count=st.integers(0, 5))
def test_collected_only_grows_and_never_beyond_the_charge(
    strength: float, share: float, power: float, count: int
) -> None:
    """Collected volume and alcohol never fall, and no more ethanol or water comes over than was filled."""
    numbers = on_plates(still(PLATED), count)
    pot = charge(strength=strength)
    run = distilled(numbers, pot, share * numbers.dephlegmator_water_max, 120.0, power)
    for name in ("collected_volume", "collected_pure_alcohol"):
        assert np.diff(run[name]).min() >= -1e-12
    assert sum(p.ethanol for p in run.phases) <= pot.ethanol * (1.0 + 1e-9)
    assert sum(p.water for p in run.phases) <= pot.water * (1.0 + 1e-9)


@few
@given(strength=st.floats(0.03, 0.5), share=st.floats(0.0, 0.3), power=st.floats(0.2, 1.0))
def test_alcohol_is_where_it_was_put(strength: float, share: float, power: float) -> None:
    """Pure alcohol collected, lost, and left in pot, column and parrot adds up to the charge's, counted from outside.

    The charge's litres of pure alcohol times 789.24 kg/m3 (OIML R 22), within a millionth.
    """
    numbers = still(PLATED)
    run = distilled(numbers, charge(strength=strength), share * numbers.dephlegmator_water_max, 90.0, power)
    outcome = run.outcome
    left = outcome.held()[:, 0].sum() + outcome.down(D_PARROT_E) + outcome.down(D_LOST_E)
    collected = sum(p.ethanol for p in run.phases)
    charged = 0.06 * strength * DENSITY_ETHANOL / MOLAR_MASS_ETHANOL
    assert left + collected == pytest.approx(charged, rel=1e-6, abs=1e-3)
    shown = run["collected_pure_alcohol"][-1] * DENSITY_ETHANOL / MOLAR_MASS_ETHANOL
    assert shown == pytest.approx(collected, rel=1e-9)


@few
@given(strength=st.floats(0.08, 0.4), small=st.floats(5e-5, 3e-4), more=st.floats(1.5, 5.0))
def test_parrot_lags_behind_falling_product(strength: float, small: float, more: float) -> None:
    """While a pot still's product weakens, the parrot holds stronger spirit than runs in; a bigger one lags more."""
    lag = []
    for volume in (small, more * small):
        run = pot_run(strength, minutes=75.0, parrot_volume=volume)
        late = run.running(1) & (run["time"] > run["time"][-1] - 900.0)
        lag.append(run["parrot_strength"][late] - run["product_strength"][late])
        assert lag[-1].min() > 0.0
    assert (lag[1] > lag[0]).all()


@few
@given(lag=st.floats(5.0, 60.0), more=st.floats(1.5, 4.0))
def test_thermometers_lag(lag: float, more: float) -> None:
    """While the pot warms its thermometer shows less, by lag times rate (first order); twice the lag, twice that."""
    behind = []
    for one in (lag, more * lag):
        numbers = still(POT, pot_lag=one, heater_max=4e3)
        run = seen(numbers, charge(0.015), [phase(numbers, 40.0, 2e3)])
        row = int(np.searchsorted(run["pot_temperature"], 330.0))
        rate = (run["pot_temperature"][row + 1] - run["pot_temperature"][row - 1]) / 20.0
        behind.append(run["pot_temperature"][row] - run["pot_temperature_shown"][row])
        assert behind[-1] == pytest.approx(one * rate, rel=0.05)
    assert behind[1] > behind[0]


@few
@given(target=st.floats(335.0, 360.0))
def test_phases_end_where_the_thermometer_says(target: float) -> None:
    """A phase that ends on the pot's temperature ends at that reading, to 0.01 K, and says what ended it."""
    numbers = still(PLATED)
    run = seen(
        numbers, charge(), [phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", target))], every=1.0
    )
    first = run.phases[0]
    assert first.ended_by == "pot_temperature"
    assert np.interp(first.end, run["time"], run["pot_temperature_shown"]) == pytest.approx(target, abs=0.05)


@few
@given(volume=st.floats(3e-4, 3e-3), strength=st.floats(0.08, 0.3))
def test_phases_end_at_the_volume_asked_for(volume: float, strength: float) -> None:
    """A phase that ends on collected volume has collected it, to 0.2 mL, whatever the step of the solver."""
    numbers = still(POT)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15))
    run = seen(numbers, charge(0.015, strength), [warm, phase(numbers, 0.0, 2.5e3, ends=end("collected", volume))])
    assert run.phases[1].ended_by == "collected"
    assert run["fraction_volume"][-1] == pytest.approx(volume, abs=2e-5)
    assert volume_at_20(run.phases[1].ethanol, run.phases[1].water) == pytest.approx(volume, abs=2e-7)


@few
@given(share=st.floats(0.02, 0.3), strength=st.floats(0.08, 0.3))
def test_phases_end_at_the_share_asked_for(share: float, strength: float) -> None:
    """A phase that ends on a share of the charge's pure alcohol has collected that share, to a thousandth of it."""
    numbers = still(POT)
    pot = charge(0.015, strength)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15))
    run = seen(numbers, pot, [warm, phase(numbers, 0.0, 2.5e3, ends=end("lpa_share", share))])
    assert run.phases[1].ended_by == "lpa_share"
    assert run.phases[1].ethanol / pot.ethanol == pytest.approx(share, rel=1e-3)


@few
@given(strength=st.floats(0.1, 0.3), power=st.floats(0.4, 1.0))
def test_heater_off_stops_the_product(strength: float, power: float) -> None:
    """Twenty minutes after the heater went off nothing comes over, and the parrot gives less than a millilitre."""
    numbers = still(POT)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15))
    runs = phase(numbers, 30.0, power * numbers.heater_max)
    run = seen(numbers, charge(0.015, strength), [warm, runs, phase(numbers, 60.0, 0.0)])
    after = run["time"] > run.phases[1].end + 1200.0
    assert np.ptp(run["collected_volume"][after]) < 1e-6
    assert run["product_rate"][after].max() == 0.0


@few
@given(low=st.sampled_from([60e3, 80e3]), strength=st.floats(0.03, 0.1))
def test_boiled_down_to_water_the_pot_shows_the_saturation_temperature(low: float, strength: float) -> None:
    """With the alcohol gone the pot boils at water's saturation temperature: 85.93 Cel at 60 kPa, 93.49 at 80 kPa.

    Steam tables (IAPWS-IF97). Within 0.15 K, for the overheat that drives the boil and a rest of ethanol.
    """
    saturation = {60e3: 359.08, 80e3: 366.64}[low]
    numbers = still(POT)
    run = seen(numbers, charge(0.012, strength, 340.0), [phase(numbers, 110.0, 3e3)], replace(DAY, pressure=low))
    assert run["pot_strength"][-1] < 5e-3
    assert run["pot_temperature"][-1] == pytest.approx(saturation, abs=0.15)
