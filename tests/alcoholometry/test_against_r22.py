"""Density, strength and volumes against OIML R 22 (1973) and figures computed elsewhere from its general formula."""

from __future__ import annotations

import numpy as np
import pytest

from middlerun import alcoholometry as alc
from tests.data.reading import rows

CELSIUS = 273.15


def column(table: list[dict[str, str]], name: str) -> np.ndarray:
    return np.array([float(row[name]) for row in table])


def test_density_grid_at_a_thousandth():
    """The only cells that test the C coefficients have p > 0 and t other than 20 Cel: the grid has both."""
    grid = [row for row in rows("r22_density.csv") if row["kind"] == "grid"]
    p, t = column(grid, "p_mass_fraction"), column(grid, "t_C")
    assert np.count_nonzero((p > 0) & (t != 20)) > 60
    off = np.abs(alc.density(p, t + CELSIUS) - column(grid, "rho_kg_m3"))
    assert np.all(off <= column(grid, "tolerance_kg_m3"))


def test_density_beside_equations_of_state():
    """Independent of R 22: IAPWS-95 water, and ethanol's equation of state, which lies 0.18 kg/m3 higher, as known."""
    other = [row for row in rows("r22_density.csv") if row["kind"] == "library"]
    off = np.abs(
        alc.density(column(other, "p_mass_fraction"), column(other, "t_C") + CELSIUS) - column(other, "rho_kg_m3")
    )
    assert len(other) > 8
    assert np.all(off <= column(other, "tolerance_kg_m3"))


def test_water_is_densest_near_4_celsius():
    """Physics: 3.98 Cel (the formula gives 3.97)."""
    t = np.linspace(0.0, 10.0, 10001)
    assert t[np.argmax(alc.density(0.0, t + CELSIUS))] == pytest.approx(3.98, abs=0.02)


def test_density_falls_with_strength_at_every_temperature():
    """So that reading backwards has one answer; even in the cold, where water itself has a density maximum."""
    p, t = np.linspace(0.0, 1.0, 1001), np.linspace(-20.0, 40.0, 121)
    slope = np.diff(alc.density(p[:, None], t[None, :] + CELSIUS), axis=0) / np.diff(p)[:, None]
    assert slope.max() == pytest.approx(-6.03, abs=0.02)  # computed from a second transcription of the coefficients
    assert np.unravel_index(slope.argmax(), slope.shape)[1] == 0


def test_strength_density_table():
    table = rows("strength_density.csv")
    q, rho, mass, grams = (column(table, n) for n in ("vol_pct_20C", "rho20_kg_m3", "mass_pct", "g_per_L"))
    w = alc.mass_fraction(q / 100)
    assert np.abs(alc.density(w, alc.REFERENCE_TEMPERATURE) - rho).max() < 1.0e-3
    assert np.abs(100 * w - mass).max() < 6e-4
    assert np.abs(q / 100 * alc.REFERENCE_DENSITY_ETHANOL - grams).max() < 6e-3
    # Backwards: half a digit of the table (5e-4 kg/m3) is 5e-6 in strength where the density is flattest.
    inside = (q > 0) & (q < 100)
    assert np.abs(alc.strength_from_density(rho, alc.REFERENCE_TEMPERATURE) - q / 100)[inside].max() < 6e-6


def test_contraction_on_mixing():
    """Mass is conserved, volume is not: 50 L and 50 L give 96.46 L (OIML R 22)."""
    table = rows("contraction.csv")
    ethanol, water = column(table, "ethanol_L") * 1e-3, column(table, "water_L") * 1e-3
    m_ethanol = ethanol * alc.REFERENCE_DENSITY_ETHANOL
    mass = m_ethanol + water * alc.density(0.0, 293.15)
    w = m_ethanol / mass
    volume = mass / alc.density(w, 293.15)
    assert np.abs(volume * 1e3 - column(table, "volume_L")).max() < 6e-4
    assert np.abs((ethanol + water - volume) * 1e3 - column(table, "contraction_L")).max() < 6e-4
    assert np.abs(100 * alc.volume_strength(w) - column(table, "vol_pct")).max() < 6e-4
    assert np.abs(100 * w - column(table, "mass_pct")).max() < 6e-4


def test_dilution_by_conserved_mass():
    """Water to bring 100 L of spirit to strength (OIML R 22); adding volumes gives another, wrong answer."""
    table = rows("dilution.csv")
    start, end = column(table, "from_vol_pct") / 100, column(table, "to_vol_pct") / 100
    w0, w1 = alc.mass_fraction(start), alc.mass_fraction(end)
    mass = 0.1 * alc.density(w0, 293.15)
    water = mass * (w0 / w1 - 1.0)
    litres = 1e3 * water / alc.density(0.0, 293.15)
    assert np.abs(water - column(table, "water_kg_per_100L")).max() < 1e-3
    assert np.abs(litres - column(table, "water_L_per_100L")).max() < 1e-3
    assert np.all(np.abs(litres - column(table, "water_L_if_volumes_added")) > 0.5)


def test_instrument_corrections_and_volume_factors():
    """Construction of ISO 1768 and OIML R 22, computed elsewhere; 0.006 % vol and 6e-6."""
    table = rows("instrument_correction.csv")
    seen = [row for row in table if row["kind"] == "true_strength"]
    reading, T = column(seen, "strength_vol_pct") / 100, column(seen, "t_C") + CELSIUS
    glass, meter = column(seen, "value"), column(seen, "value_no_glass")
    assert np.abs(100 * alc.true_strength(reading, T) - glass).max() < 0.006
    assert np.abs(100 * alc.true_strength(reading, T, alc.Instrument.DENSITY_METER) - meter).max() < 0.006
    assert np.abs(100 * alc.alcoholmeter_reading(glass / 100, T) - 100 * reading).max() < 0.006
    factors = [row for row in table if row["kind"] == "volume_factor"]
    q, T = column(factors, "strength_vol_pct") / 100, column(factors, "t_C") + CELSIUS
    assert np.abs(alc.volume_at_20c(1.0, T, q) - column(factors, "value")).max() < 6e-6


def test_pure_alcohol_two_ways():
    """By volume and strength, and by mass: the same LPA, whatever the temperature of the measuring."""
    q, T, litres = 0.63, 301.15, 0.042
    w = alc.mass_fraction(q)
    by_volume = alc.pure_alcohol_volume(litres, q, T)
    by_mass = alc.pure_alcohol_from_mass(litres * alc.density(w, T), q)
    assert by_volume == pytest.approx(by_mass, rel=1e-12)
    assert alc.pure_alcohol_volume(0.1, 0.4) == pytest.approx(0.04, rel=1e-12)


def test_spirit_table_is_within_its_tolerance():
    table = alc.spirit_table()
    w = np.linspace(0.0, 1.0, 20001)
    r = w * table.shape[0]
    i = np.minimum(r.astype(int), table.shape[0] - 1)
    u = (r - i)[:, None]
    c = table[i]
    value = c[..., 0] + u * (c[..., 1] + u * (c[..., 2] + u * c[..., 3]))
    assert table.shape == (64, 2, 4)
    assert np.abs(value[:, 0] - alc.density(w, 293.15)).max() < 1e-4
    assert np.abs(value[:, 1] - alc.volume_strength(w)).max() < 1e-7
    assert not table.flags.writeable
