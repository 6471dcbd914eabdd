"""Bubble points, dew points and the azeotrope: against figures computed elsewhere, an independent solver, and laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from middlerun import alcoholometry, substances
from middlerun.errors import OutOfRangeError
from middlerun.substances import _scalar
from middlerun.substances.constants import values
from tests.data.reading import rows

fraction = st.floats(0.0, 1.0)
pascal = st.floats(20e3, 120e3)


def by_hand(x: float, p: float) -> tuple[float, float]:
    """Bubble point by another road: NRTL in its textbook form, and SciPy's root finder."""

    def parts(T: float) -> tuple[float, float]:
        t12, t21 = -0.8009 + 246.18 / T, 3.4578 - 586.0809 / T
        g12, g21 = math.exp(-0.3 * t12), math.exp(-0.3 * t21)
        z = 1 - x
        ln1 = z**2 * (t21 * (g21 / (x + z * g21)) ** 2 + t12 * g12 / (z + x * g12) ** 2)
        ln2 = x**2 * (t12 * (g12 / (z + x * g12)) ** 2 + t21 * g21 / (x + z * g21) ** 2)
        first = x * math.exp(ln1) * float(substances.vapour_pressure_ethanol(T))
        return first, z * math.exp(ln2) * float(substances.vapour_pressure_water(T))

    T = brentq(lambda T: sum(parts(T)) - p, 300.0, 383.0, xtol=1e-11)
    return T, parts(T)[0] / p


@given(fraction, pascal)
def test_bubble_point_by_an_independent_solver(x, p):
    T, y = substances.bubble_point(x, p)
    assert (float(T), float(y)) == pytest.approx(by_hand(x, p), abs=1e-8)


def test_bubble_points_computed_elsewhere():
    """Same model, other code (open library thermo 0.6.1), 33 to 101 kPa: half the printed digit.

    In y 2.5e-5 more, which is y (1 - y) times the 1e-4 by which equations for water's saturation differ.
    """
    table = [row for row in rows("vle_by_pressure.csv") if row["kind"] == "boiling_point_and_vapour"]
    p, x, t, y = (np.array([float(r[n]) for r in table]) for n in ("p_kPa", "x_ethanol", "T_C", "y_ethanol"))
    T, vapour = substances.bubble_point(x, 1e3 * p)
    assert len(table) > 50
    assert np.abs(T - 273.15 - t).max() < 0.0051
    assert np.abs(vapour - y).max() < 7.5e-5


def test_azeotropes_computed_elsewhere():
    table = [r for r in rows("vle_by_pressure.csv") if r["kind"] == "azeotrope" and r["source"] == "computed"]
    p, x, t = (np.array([float(r[n]) for r in table]) for n in ("p_kPa", "x_ethanol", "T_C"))
    found, T = substances.azeotrope(1e3 * p)
    assert len(table) > 7
    assert np.abs(found - x).max() < 0.0001
    assert np.abs(T - 273.15 - t).max() < 0.0051


def test_azeotrope_as_measured():
    """Horsley: x 0.894 to 0.904, 78.17 Cel; Carey & Lewis: x 0.8943, 78.15 Cel; richer at 33 kPa."""
    x, T = substances.azeotrope(101325.0)
    assert 0.885 < x < 0.905
    assert 78.05 < T - 273.15 < 78.20
    assert 0.91 < substances.azeotrope(33330.6)[0] < 0.925


def test_boiling_table_by_strength():
    """Same model with another Wagner set (Tb 0.006 K lower), R 22 strengths: 0.011 K, 0.0002 in y, 0.02 % vol.

    Mole fractions: half the printed digit, and 4e-6 for a molar mass of water rounded to 18.015.
    """
    table = rows("vle_by_strength.csv")
    q, x, t, y, vapour = (
        np.array([float(r[n]) for r in table])
        for n in ("liquid_vol_pct", "x_ethanol", "T_boil_C", "y_ethanol", "vapour_vol_pct")
    )
    assert np.abs(alcoholometry.mole_fraction_from_volume_strength(q / 100) - x).max() < 9e-6
    T, found = substances.bubble_point(alcoholometry.mole_fraction_from_volume_strength(q / 100), 101325.0)
    assert np.abs(T - 273.15 - t).max() < 0.011
    assert np.abs(found - y).max() < 2e-4
    assert np.abs(100 * alcoholometry.volume_strength_from_mole_fraction(found) - vapour).max() < 0.02


@given(fraction, pascal)
def test_dew_point_undoes_bubble_point(x, p):
    T, y = substances.bubble_point(x, p)
    T_dew, back = substances.dew_point(y, p)
    assert float(T_dew) == pytest.approx(float(T), abs=1e-9)
    assert float(back) == pytest.approx(x, abs=1e-11)


def test_dew_point_on_both_sides_of_the_azeotrope():
    azeotrope, T = substances.azeotrope(101325.0)
    T_weak, weak = substances.dew_point(azeotrope - 0.03, 101325.0)
    T_strong, strong = substances.dew_point(azeotrope + 0.03, 101325.0)
    assert weak < azeotrope - 0.03 and strong > azeotrope + 0.03
    assert T_weak > T and T_strong > T
    assert substances.dew_point(azeotrope, 101325.0)[1] == pytest.approx(azeotrope, abs=1e-9)


def test_ends_are_the_pure_substances():
    for p in (20e3, 101325.0, 120e3):
        (T0, T1), y = substances.bubble_point([0.0, 1.0], p)
        assert list(y) == [0.0, 1.0]
        assert substances.vapour_pressure_water(T0) == pytest.approx(p, rel=1e-10)
        assert substances.vapour_pressure_ethanol(T1) == pytest.approx(p, rel=1e-10)
        assert list(substances.dew_point([0.0, 1.0], p)[1]) == [0.0, 1.0]


@given(st.floats(0.01, 0.99), st.floats(300.0, 380.0))
def test_gibbs_duhem(x, T):
    """x dln(gamma 1) + (1 - x) dln(gamma 2) = 0 at constant temperature, by difference."""
    h = 1e-5
    up, down = (np.log(substances.activity_coefficients(x + s, T)) for s in (h, -h))
    assert x * (up[0] - down[0]) + (1 - x) * (up[1] - down[1]) == pytest.approx(0.0, abs=1e-9)


@given(fraction, st.floats(300.0, 380.0))
def test_slopes_agree_with_differences(x, T):
    model = values("equilibrium.toml", "wagner_ethanol", "saturation_water", "nrtl")
    h = 1e-3
    _, slope, _ = _scalar.bubble_state(T, x, *model)
    difference = (_scalar.bubble_state(T + h, x, *model)[0] - _scalar.bubble_state(T - h, x, *model)[0]) / (2 * h)
    assert slope == pytest.approx(difference, rel=1e-7)


def test_head_temperature_follows_the_weather():
    """0.25 to 0.28 K per kPa near 101.3 kPa: common practice in still houses, and the slope of the vapour pressures."""
    strong = substances.bubble_point(0.8, [100825.0, 101825.0])[0]
    weak = substances.bubble_point(0.0, [100825.0, 101825.0])[0]
    assert 0.24 < np.diff(strong)[0] < 0.26
    assert 0.27 < np.diff(weak)[0] < 0.285


def test_boiling_point_rise():
    """0.51 K per mol/kg: 100 g/kg of sugars as glucose in water (0.617 mol/kg) raise the boil by 0.31 K."""
    assert substances.boiling_point_rise(100 / 180.156 / 0.9) == pytest.approx(0.3146, abs=1e-3)
    with pytest.raises(OutOfRangeError):
        substances.boiling_point_rise(-0.1)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: substances.bubble_point(0.1, 101.325), "101.325 Pa"),
        (lambda: substances.bubble_point(40, 101325), "mole fraction"),
        (lambda: substances.bubble_point([0.1, np.nan], 101325), "nan"),
        (lambda: substances.dew_point(1.1, 101325), "y_ethanol is 1.1"),
        (lambda: substances.dew_point(0.5, 130e3), "130000"),
        (lambda: substances.azeotrope(5e3), "20000 to 120000 Pa"),
        (lambda: substances.activity_coefficients(0.5, 80.0), "383.15 K"),
        (lambda: substances.vapour_pressure_ethanol(None), "383.15 K"),
        (lambda: substances.liquid_molar_volume(0.5, 400.0), "383.15 K"),
        (lambda: substances.latent_heat_water(100.0), "273.15"),
        (lambda: substances.vapour_density(0.5, 350.0, 0.0), "pressure is 0 Pa"),
        (lambda: substances.surface_tension(-0.1, 350.0), "x_ethanol is -0.1"),
    ],
)
def test_refusals_name_the_number_and_the_range(call, names):
    with pytest.raises(OutOfRangeError) as caught:
        call()
    assert names in str(caught.value)
