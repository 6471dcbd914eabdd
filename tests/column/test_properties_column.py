"""Laws of plates and reflux. Total reflux: heated up, then all the dephlegmator's water, so that no product comes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.alcoholometry import mole_fraction_from_volume_strength
from middlerun.column import PotCharge
from middlerun.still import StillNumbers
from middlerun.substances import azeotrope, bubble_point
from tests.column.small import DAY, PLATED, Seen, charge, distilled, end, few, on_plates, phase, seen, still

# Little on the plates and a big charge, so that the pot's strength is the same in all runs that are compared.
THIN = {"level": 1e-4, "level_min": 5e-5, "level_max": 1e-3}
POWER = 5e3
FLOWS = ("_liquid", "_vapour", "_volume", "_flow", "_rate", "_level", "reflux", "distillate", "uncondensed")


def total_reflux(
    numbers: StillNumbers, pot: PotCharge | None = None, minutes: float = 90.0, power: float = POWER
) -> Seen:
    """Heat up and run at total reflux."""
    pot = pot or charge(0.075)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 350.0))
    return seen(numbers, pot, [warm, phase(numbers, minutes, power, dephlegmator_flow=numbers.dephlegmator_water_max)])


def reflux_strength(run: Seen) -> float:
    """Return the mole fraction of ethanol of the dephlegmator's liquid at the end: the product of total reflux."""
    ethanol, water = run.outcome.held()[-1]
    return float(ethanol / (ethanol + water))


def pot_strength(run: Seen) -> float:
    """Return the mole fraction of ethanol in the pot at the end."""
    ethanol, water = run.outcome.held()[0]
    return float(ethanol / (ethanol + water))


@few
@given(strength=st.floats(0.03, 0.4), count=st.integers(1, 5), efficiency=st.floats(0.4, 0.9))
def test_more_plates_are_no_weaker_at_total_reflux(strength: float, count: int, efficiency: float) -> None:
    """At total reflux from the same pot, one plate more never weakens the reflux (hardly any hold-up)."""
    pot = charge(0.075, strength)
    few_plates, more_plates = (
        reflux_strength(total_reflux(on_plates(still(PLATED), n, efficiency=efficiency, **THIN), pot))
        for n in (count, count + 1)
    )
    assert more_plates >= few_plates - 1e-4


@few
@given(strength=st.floats(0.03, 0.4), efficiency=st.floats(0.3, 0.8), better=st.floats(1.05, 1.24))
def test_better_plates_are_no_weaker_at_total_reflux(strength: float, efficiency: float, better: float) -> None:
    """At total reflux from the same pot, a higher Murphree efficiency never weakens the reflux."""
    pot = charge(0.075, strength)
    worse, good = (
        reflux_strength(total_reflux(on_plates(still(PLATED), 3, efficiency=one, **THIN), pot))
        for one in (efficiency, better * efficiency)
    )
    assert good >= worse - 1e-4


@few
@given(weak=st.floats(0.02, 0.3), more=st.floats(1.1, 2.0))
def test_stronger_pot_gives_stronger_reflux(weak: float, more: float) -> None:
    """At total reflux below the azeotrope, a stronger pot never gives a weaker reflux."""
    runs = [total_reflux(on_plates(still(PLATED), 2, **THIN), charge(0.075, one)) for one in (weak, more * weak)]
    assert reflux_strength(runs[1]) >= reflux_strength(runs[0]) - 1e-4


@few
@given(strength=st.floats(0.03, 0.4), count=st.integers(0, 4), efficiency=st.floats(0.4, 1.0))
def test_no_plate_beats_equilibrium(strength: float, count: int, efficiency: float) -> None:
    """N plates, a pot and a dephlegmator of one stage never go beyond N + 1 equilibrium steps from the pot's liquid.

    Steps at the day's pressure by `substances.bubble_point`; total condensation in the dephlegmator separates nothing.
    """
    numbers = on_plates(still(PLATED), count, efficiency=efficiency, **THIN)
    run = total_reflux(numbers, charge(0.075, strength))
    x = pot_strength(run)
    for _ in range(count + 1):
        x = float(bubble_point(x, DAY.pressure)[1])
    assert reflux_strength(run) <= x + 1e-3


@few
@given(strength=st.floats(0.03, 0.3), minutes=st.floats(60.0, 150.0))
def test_total_reflux_gives_no_product(strength: float, minutes: float) -> None:
    """With all its water the dephlegmator condenses everything: less than a millilitre comes over."""
    run = total_reflux(still(PLATED), charge(0.075, strength), minutes)
    assert run["collected_volume"][-1] < 1e-6
    assert run["reflux"][-1] > 0.01


@few
@given(strength=st.floats(0.04, 0.15), more=st.floats(1.3, 2.0))
def test_more_hold_up_takes_more_from_the_pot(strength: float, more: float) -> None:
    """Balanced at total reflux, higher weirs hold more alcohol and leave the pot weaker."""
    runs = []
    for level in (3e-4, 3e-4 * more):
        numbers = on_plates(still(PLATED), level=level, level_max=2e-3)
        runs.append(total_reflux(numbers, charge(0.075, strength), 120.0))
    less, much = runs
    assert much["pot_strength"][-1] < less["pot_strength"][-1]
    assert much.outcome.held()[1:-1, 0].sum() > less.outcome.held()[1:-1, 0].sum()


@few
@given(strength=st.floats(0.05, 0.15), more=st.floats(1.5, 3.0))
def test_more_hold_up_comes_into_balance_later(strength: float, more: float) -> None:
    """Same heat at total reflux: with higher weirs the top plate passes 70 % vol no sooner."""
    times = []
    for level in (3e-4, 3e-4 * more):
        numbers = on_plates(still(PLATED), level=level, level_max=2e-3)
        run = total_reflux(numbers, charge(0.075, strength), 120.0)
        top = run["plate_3_strength"]
        times.append(run["time"][np.flatnonzero(top < 0.70)[-1]])
    assert times[1] >= times[0] - 10.0


@few
@given(strength=st.floats(0.05, 0.2), power=st.floats(3e3, 6e3))
def test_plates_grow_stronger_upwards(strength: float, power: float) -> None:
    """At total reflux every plate is stronger and colder than the one below, the pot weakest and hottest of all."""
    run = total_reflux(still(PLATED), charge(0.075, strength), power=power)
    strengths = [run["pot_strength"][-1], *(run[f"plate_{k}_strength"][-1] for k in (1, 2, 3))]
    temperatures = [run["pot_temperature"][-1], *(run[f"plate_{k}_temperature"][-1] for k in (1, 2, 3))]
    assert np.diff(strengths).min() > 0.0
    assert np.diff(temperatures).max() < 0.0


@few
@given(strength=st.floats(0.05, 0.2), share=st.floats(0.02, 0.3))
def test_reflux_and_distillate_are_what_arrives(strength: float, share: float) -> None:
    """In moles, what leaves the dephlegmator is what comes from the top plate, to 0.5 %.

    Its own liquid keeps its volume, so that its moles grow by a fifth in half an hour as it turns watery: 0.3 % of the
    flow. Solved at a tolerance of 1e-6, because at the default one flows between stages carry up to 0.5 % of noise.
    """
    numbers = still(PLATED)
    water = share * numbers.dephlegmator_water_max
    run = distilled(numbers, charge(strength=strength), water, every=5.0, tolerance=1e-6)
    late = (run["phase_index"] == 1) & (run["time"] > run.phases[0].end + 1800.0)
    arriving = run["plate_3_vapour"][late]
    assert run["reflux"][late] + run["distillate"][late] == pytest.approx(arriving, rel=5e-3)


@few
@given(strength=st.floats(0.04, 0.15))
def test_bypassed_plates_do_not_separate(strength: float) -> None:
    """With every plate bypassed the product is weaker than with all of them at work, at the same cooling water."""
    numbers = still(PLATED)
    water = 0.05 * numbers.dephlegmator_water_max
    working, bypassed = (
        distilled(numbers, charge(strength=strength), water, 40.0, bypassed=(flag,) * 3) for flag in (False, True)
    )
    assert _mean(bypassed) < _mean(working) - 0.02


@few
@given(strength=st.floats(0.04, 0.15))
def test_drained_plates_hardly_separate(strength: float) -> None:
    """With every weir down the product is weaker than at the usual level, at the same cooling water."""
    numbers = still(PLATED)
    water = 0.05 * numbers.dephlegmator_water_max
    usual, drained = (
        distilled(numbers, charge(strength=strength), water, 40.0, levels=levels)
        for levels in (tuple(p.level for p in numbers.plates), (0.0,) * 3)
    )
    assert _mean(drained) < _mean(usual) - 0.02


def _mean(run: Seen) -> float:
    return float(run["collected_pure_alcohol"][-1] / run["collected_volume"][-1])


@few
@given(strength=st.floats(0.05, 0.15), lower=st.floats(0.3, 0.8))
def test_a_lowered_weir_gives_back_what_stood_above_it(strength: float, lower: float) -> None:
    """Ten minutes after the weirs went down, plates at total reflux hold the new level to 0.1 L."""
    numbers = on_plates(still(PLATED), level=6e-4, level_max=1e-3)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 350.0))
    full = {"dephlegmator_flow": numbers.dephlegmator_water_max}
    new = lower * 6e-4
    run = seen(
        numbers,
        charge(0.075, strength),
        [warm, phase(numbers, 40.0, POWER, **full), phase(numbers, 10.0, POWER, levels=(new,) * 3, **full)],
    )
    for k in (1, 2, 3):
        assert abs(run[f"plate_{k}_level"][-1] - new) < 1e-6
        assert abs(run[f"plate_{k}_liquid"][-1] - new) < 1e-4
    row = int(np.searchsorted(run["time"], run.phases[1].end)) - 1
    assert run["pot_volume_hot"][-1] > run["pot_volume_hot"][row]


@few
@given(power=st.floats(3e3, 6e3), more=st.floats(1.2, 1.9))
def test_more_vapour_presses_harder_on_the_pot(power: float, more: float) -> None:
    """The plates' pressure drop acts on a boiling pot, and through narrow caps it grows with the vapour."""
    numbers = on_plates(still(PLATED), hole_area=2e-4)
    soft, hard = (total_reflux(numbers, charge(0.075), 60.0, one) for one in (power, more * power))
    assert 0.0 < soft["pot_gauge"][-1] < hard["pot_gauge"][-1]


@few
@given(
    pressure=st.sampled_from([62e3, 85e3, 105e3]), strength=st.floats(0.05, 0.6), share=st.floats(0.02, 0.5),
    count=st.integers(0, 8),
)  # fmt: skip
def test_no_column_passes_the_azeotrope(pressure: float, strength: float, share: float, count: int) -> None:
    """Below the azeotrope in the pot, nothing anywhere is stronger than the azeotrope of the day's pressure.

    The azeotrope drifts with the column's pressure drop; 0.001 in mole fraction covers 2 kPa (Gmehling's tables: 0.895
    at 101 kPa, 0.91 to 0.925 at 33 kPa).
    """
    numbers = on_plates(still(PLATED), count)
    day = replace(DAY, pressure=pressure)
    run = distilled(numbers, charge(strength=strength), share * numbers.dephlegmator_water_max, 40.0, day=day)
    most = float(azeotrope(pressure)[0]) + 1e-3
    for name in run.outcome.names:
        if name.endswith("_strength") and name != "fraction_strength":
            known = run[name][~np.isnan(run[name])]
            assert float(mole_fraction_from_volume_strength(known.max(initial=0.0))) < most, name
    known = run["distillate_ethanol"][~np.isnan(run["distillate_ethanol"])]
    assert known.max(initial=0.0) < most


@few
@given(
    strength=st.floats(0.02, 0.6), share=st.floats(0.0, 1.0), power=st.floats(0.05, 1.0), count=st.integers(0, 8)
)  # fmt: skip
def test_nothing_is_negative_and_no_fraction_leaves_0_to_1(
    strength: float, share: float, power: float, count: int
) -> None:
    """Hold-ups, flows and volumes are never negative; strengths and mole fractions stay between 0 and 1."""
    numbers = on_plates(still(PLATED), count)
    run = distilled(numbers, charge(strength=strength), share * numbers.dephlegmator_water_max, 60.0, power)
    assert run.outcome.held().min() >= 0.0
    for name in run.outcome.names:
        known = run[name][~np.isnan(run[name])]
        if name.endswith(FLOWS):
            assert known.min(initial=0.0) >= 0.0, name
        if name.endswith(("_strength", "_efficiency", "distillate_ethanol")):
            assert known.min(initial=0.0) >= 0.0, name
            assert known.max(initial=0.0) <= 1.0, name
