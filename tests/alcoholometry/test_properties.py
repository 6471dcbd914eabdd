"""Round trips, limits and refusals of the alcoholometry room."""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from middlerun import alcoholometry as alc
from middlerun.errors import MiddlerunError, OutOfRangeError, UnknownNameError

fraction = st.floats(0.0, 1.0)
inner = st.floats(0.0, 0.99999)
kelvin = st.floats(253.15, 313.15)


@given(fraction, kelvin)
def test_density_round_trip(p, T):
    # At -20 Cel the slope is 6 kg/m3 per 1 and a density carries 1e-10 kg/m3 of rounding.
    assert alc.mass_fraction_from_density(alc.density(p, T), T) == pytest.approx(p, abs=1e-10)


@given(inner)
def test_strength_round_trip(q):
    assert alc.volume_strength(alc.mass_fraction(q)) == pytest.approx(q, abs=1e-12)


@given(fraction)
def test_mole_fraction_round_trip(x):
    w = alc.mass_fraction_from_mole_fraction(x)
    assert alc.mole_fraction_from_mass_fraction(w) == pytest.approx(x, abs=1e-14)
    assert alc.mole_fraction_from_volume_strength(alc.volume_strength_from_mole_fraction(x)) == pytest.approx(
        x, abs=1e-10
    )


@given(inner, kelvin, st.sampled_from(list(alc.Instrument)))
def test_reading_round_trip(q, T, instrument):
    shown = alc.alcoholmeter_reading(q, T, instrument)
    if 0.0 <= shown <= alc.volume_strength(1.0):
        assert alc.true_strength(shown, T, instrument) == pytest.approx(q, abs=1e-9)


@given(st.floats(0.05, 0.99), st.floats(274.0, 313.0))
def test_warm_spirit_reads_strong_and_swells(q, T):
    """Physics: above 20 Cel spirit is lighter, so that a float sinks deeper and the same spirit takes more room."""
    direction = np.sign(T - 293.15)
    if abs(T - 293.15) > 0.01:
        assert np.sign(alc.alcoholmeter_reading(q, T) - q) == direction
        assert np.sign(1.0 - alc.volume_at_20c(1.0, T, q)) == direction


@given(st.lists(st.tuples(fraction, kelvin), min_size=1, max_size=20))
@settings(max_examples=30)
def test_arrays_equal_single_numbers(pairs):
    p, T = (np.array(values) for values in zip(*pairs, strict=True))
    together = alc.strength_from_density(alc.density(p, T), T)
    one_by_one = [float(alc.strength_from_density(alc.density(a, b), b)) for a, b in pairs]
    assert np.allclose(together, one_by_one, rtol=0.0, atol=1e-10)


def test_shapes_broadcast():
    assert alc.density(np.zeros((3, 1)), np.full((4,), 290.0)).shape == (3, 4)
    assert alc.density([], 290.0).shape == (0,)
    assert alc.mass_fraction(0.4).shape == ()
    assert alc.mass_fraction_from_density(np.full((2, 3), 950.0), 293.15).shape == (2, 3)


def test_ends_are_exact():
    assert alc.mass_fraction_from_density(alc.density(0.0, 280.0), 280.0) == 0.0
    assert alc.mass_fraction_from_density(alc.density(1.0, 280.0), 280.0) == pytest.approx(1.0, abs=1e-12)
    assert alc.mass_fraction(0.0) == 0.0
    assert alc.mass_fraction(1.0) == pytest.approx(1.0, abs=1e-12)
    assert alc.density(1.0 + 2e-16, -20 + 273.15) == alc.density(1.0, 253.15)  # rounding is not a wrong number
    # A water check by a meter with four decimals of g/mL must not be refused.
    assert alc.strength_from_density(998.205, 293.15) == 0.0


def test_reading_beyond_the_scale_goes_on_in_a_straight_line():
    """At 4 Cel water is denser than at 20: the mark 0 stands above the surface. The joints are smooth."""
    assert -0.01 < alc.alcoholmeter_reading(0.0, 277.15) < 0.0
    assert 1.0 < alc.alcoholmeter_reading(1.0, 313.15) < 1.05
    for q in (0.0, 1.0):
        steps = np.diff(alc.alcoholmeter_reading(q, [293.14, 293.15, 293.16]))
        assert steps[0] == pytest.approx(steps[1], rel=2e-3)


def test_reading_of_a_warm_product():
    with pytest.raises(OutOfRangeError, match=r"313\.15 K"):
        alc.alcoholmeter_reading(0.7, 320.0)
    shown = alc.alcoholmeter_reading([0.7, 0.7, np.nan], [300.0, 320.0, 300.0], outside_as_nan=True)
    assert np.isfinite(shown[0]) and np.isnan(shown[1]) and np.isnan(shown[2])


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: alc.density(1.2, 293.15), "mass_fraction is 1.2"),
        (lambda: alc.density(0.4, 20.0), "253.15 to 313.15 K"),
        (lambda: alc.density(0.4, np.nan), "nan K"),
        (lambda: alc.volume_strength([0.2, -0.1]), "-0.1"),
        (lambda: alc.mass_fraction(40), "Give a fraction of 1"),
        (lambda: alc.mass_fraction("strong"), "'strong'"),
        (lambda: alc.mass_fraction_from_density(1040.0, 293.15), "998.201"),
        (lambda: alc.mass_fraction_from_density(np.nan, 293.15), "nan"),
        (lambda: alc.strength_from_density([950.0, 700.0], 293.15), "789.239"),
        (lambda: alc.true_strength(0.0, 310.0), "density"),
        (lambda: alc.volume_at_20c(-1.0, 293.15, 0.4), "volume is -1"),
        (lambda: alc.pure_alcohol_from_mass(np.inf, 0.4), "mass is inf"),
    ],
)
def test_refusals_name_the_number_and_the_range(call, names):
    with pytest.raises(OutOfRangeError) as caught:
        call()
    assert names in str(caught.value)
    assert isinstance(caught.value, MiddlerunError)


def test_unknown_instrument_names_the_nearest():
    with pytest.raises(UnknownNameError, match="glass alcoholmeter"):
        alc.true_strength(0.4, 293.15, "glass alcoholometer")


def test_a_million_conversions_take_less_than_a_second():
    rng = np.random.default_rng(7)
    T = 253.15 + 60.0 * rng.random(1_000_000)
    rho = alc.density(rng.random(1_000_000), T)
    start = time.perf_counter()
    alc.strength_from_density(rho, T)
    assert time.perf_counter() - start < 1.0
