"""What must not depend on how a run is asked for: size, reporting step, splits, order, threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from middlerun.column import PotCharge
from middlerun.plan import temperature_for_strength
from middlerun.still import StillNumbers
from tests.column.small import DAY, PLATED, Seen, charge, distilled, end, few, on_plates, phase, scaled, seen, still

STRENGTHS = st.floats(0.05, 0.2)
SHARES = st.floats(0.02, 0.15)


def plated(strength: float, share: float, **more: object) -> Seen:
    numbers = still(PLATED)
    return distilled(numbers, charge(strength=strength), share * numbers.dephlegmator_water_max, 60.0, **more)


def with_hold(numbers: StillNumbers, pot: PotCharge, splits: int, asked: float = 0.82, **more: object) -> Seen:
    """Heat up, total reflux, hold: each of the last two in so many equal phases."""
    setpoint = temperature_for_strength(asked, DAY.pressure)
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15))
    power = 0.4 * numbers.heater_max
    full = [phase(numbers, 20.0 / splits, power, dephlegmator_flow=numbers.dephlegmator_water_max)] * splits
    hold = phase(numbers, 60.0 / splits, power, head_setpoint=setpoint, dephlegmator_flow=float("nan"))
    return seen(numbers, pot, [warm, *full, *[hold] * splits], **more)  # type: ignore[arg-type]


@few
@given(strength=STRENGTHS, share=SHARES, k=st.sampled_from([2.0, 0.5, 0.05, 40.0]))
def test_a_bigger_still_is_a_bigger_run(strength: float, share: float, k: float) -> None:
    """Volumes, areas, power, conductances, metal, flows times k: same temperatures and strengths, k times the rest.

    Lengths (weir height over plate area, spacing) and time constants stay. 0.02 K and 0.02 % vol of solver error.
    """
    numbers = still(PLATED, relief_gauge=4e4)
    one, other = (
        distilled(n, charge(f * 0.06, strength), share * n.dephlegmator_water_max, 60.0)
        for n, f in ((numbers, 1.0), (scaled(numbers, k), k))
    )
    rows = min(len(one["time"]), len(other["time"])) - 1
    for name in ("pot_temperature", "jacket_temperature"):
        assert np.abs(one[name][:rows] - other[name][:rows]).max() < 0.02, name
    assert np.abs(one["pot_strength"][:rows] - other["pot_strength"][:rows]).max() < 2e-4
    assert one["jacket_gauge"][:rows] == pytest.approx(other["jacket_gauge"][:rows], abs=100.0)
    assert k * one["collected_volume"][rows] == pytest.approx(other["collected_volume"][rows], rel=1e-3)
    assert k * one["collected_pure_alcohol"][rows] == pytest.approx(other["collected_pure_alcohol"][rows], rel=1e-3)


@few
@given(strength=STRENGTHS, share=SHARES, every=st.sampled_from([1.0, 7.0, 60.0, 600.0]))
def test_the_reporting_step_changes_nothing(strength: float, share: float, every: float) -> None:
    """How often a run is reported changes neither its end nor its phases, and common times show the same numbers."""
    one, other = (plated(strength, share, every=step) for step in (10.0, every))
    assert (one.outcome.state == other.outcome.state).all()
    assert one.phases == other.phases
    both, here, there = np.intersect1d(one["time"], other["time"], return_indices=True)
    assert len(both) > 5
    for name in ("pot_temperature", "distillate", "collected_volume", "head_temperature", "plate_1_liquid"):
        assert one[name][here] == pytest.approx(other[name][there], rel=1e-9, abs=1e-12), name


@few
@given(strength=STRENGTHS, splits=st.sampled_from([2, 3, 5]))
def test_a_split_phase_is_the_same_phase(strength: float, splits: int) -> None:
    """Cutting total reflux and hold into equal phases changes what comes over by less than the solver's error, 0.3 %.

    The hand on the valve takes over from itself without a bump.
    """
    numbers = still(PLATED)
    whole, cut = (with_hold(numbers, charge(0.075, strength), n) for n in (1, splits))
    assert cut.outcome.phases[-1].end == pytest.approx(whole.outcome.phases[-1].end, rel=1e-6)
    ethanol = [sum(p.ethanol for p in run.phases) for run in (whole, cut)]
    assert ethanol[1] == pytest.approx(ethanol[0], rel=3e-3)
    assert cut["pot_temperature"][-1] == pytest.approx(whole["pot_temperature"][-1], abs=0.02)
    assert cut["pot_strength"][-1] == pytest.approx(whole["pot_strength"][-1], abs=2e-5)


@few
@given(strength=STRENGTHS, share=SHARES)
def test_the_same_run_twice_is_bit_identical(strength: float, share: float) -> None:
    """No run depends on what was run before it in the same thread, be it bigger, smaller or on another still."""
    first = plated(strength, share)
    distilled(on_plates(still(PLATED), 6), charge(strength=0.5), 0.0, 30.0, every=1.0)
    distilled(still("electric-pot-30"), charge(0.01), 0.0, 30.0, day=replace(DAY, pressure=70e3))
    again = plated(strength, share)
    assert (first.outcome.state == again.outcome.state).all()
    assert np.array_equal(first.outcome.series, again.outcome.series, equal_nan=True)


def test_runs_in_threads_are_those_of_one_thread() -> None:
    """Sixteen different runs in four threads at once give bit for bit what each gives alone."""
    cases = [(0.04 + 0.01 * i, 0.02 + 0.005 * i) for i in range(16)]
    alone = [plated(*case) for case in cases]
    with ThreadPoolExecutor(max_workers=4) as pool:
        together = list(pool.map(lambda case: plated(*case), cases))
    for one, other in zip(alone, together, strict=True):
        assert np.array_equal(one.outcome.series, other.outcome.series, equal_nan=True)


@few
@given(strength=STRENGTHS, share=SHARES)
def test_tighter_tolerance_hardly_moves_the_product(strength: float, share: float) -> None:
    """Ethanol that comes over at the default tolerance is that at one a hundred times tighter, to 0.05 %."""
    loose, tight = (plated(strength, share, **more) for more in ({}, {"tolerance": 1e-6}))
    assert sum(p.ethanol for p in loose.phases) == pytest.approx(sum(p.ethanol for p in tight.phases), rel=5e-4)


@few
@given(strength=st.floats(0.02, 0.6), share=st.floats(0.0, 1.0), power=st.floats(0.0, 1.0), count=st.integers(0, 8))
def test_balances_close(strength: float, share: float, power: float, count: int) -> None:
    """Ethanol and water: in = out + held to 1e-9; energy to 1e-6; whatever the still is told to do."""
    numbers = on_plates(still(PLATED), count)
    run = distilled(numbers, charge(strength=strength), share * numbers.dephlegmator_water_max, 90.0, power)
    balance = run.outcome.balance()
    assert abs(balance["ethanol"]) < 1e-9
    assert abs(balance["water"]) < 1e-9
    assert abs(balance["energy"]) < 1e-6
