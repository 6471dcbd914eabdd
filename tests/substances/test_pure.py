"""Pure ethanol and water against published figures."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from middlerun import alcoholometry, substances
from middlerun.substances import _scalar
from middlerun.substances.constants import values


def boiling_point(pressure_of, pressure=101325.0):
    return brentq(lambda T: float(pressure_of(T)) - pressure, 300.0, 383.0, xtol=1e-10) - 273.15


def test_normal_boiling_points():
    """Ethanol 78.29 +- 0.03 Cel (handbooks, from memory (high)); water 99.974 Cel (IAPWS)."""
    assert boiling_point(substances.vapour_pressure_ethanol) == pytest.approx(78.29, abs=0.03)
    assert boiling_point(substances.vapour_pressure_water) == pytest.approx(99.974, abs=0.001)


def test_ethanol_pressure_beside_another_wagner_set():
    """McGarry (1983), as carried in an open library: another fit of other data; they agree to 0.1 % above 20 Cel."""
    A, B, C, D, Tc, pc = -8.51838, 0.341626, -5.73683, 8.32581, 513.92, 6130870.0
    T = np.linspace(293.15, 383.15, 50)
    t = 1 - T / Tc
    other = pc * np.exp(Tc / T * (A * t + B * t**1.5 + C * t**3 + D * t**6))
    assert np.abs(substances.vapour_pressure_ethanol(T) / other - 1).max() < 1.5e-3


def test_water_gives_the_check_values_of_the_iapws_release():
    """IAPWS SR1-86(1992), table of check values (from memory (high)); next to them IAPWS-95 by an open library."""
    density, molar = values("equilibrium.toml", "density_water", "molar_mass_water")
    assert substances.vapour_pressure_water(273.16) == pytest.approx(611.657, abs=1e-3)
    assert substances.vapour_pressure_water(373.1243) == pytest.approx(101325, abs=1)
    assert _scalar.density_water(273.16, density) == pytest.approx(999.789, abs=6e-4)
    assert _scalar.density_water(373.1243, density) == pytest.approx(958.365, abs=6e-4)
    assert substances.liquid_enthalpy_water(373.1243) / molar == pytest.approx(
        419.05e3, rel=1.5e-4
    )  # reference 0.01 Cel
    assert substances.latent_heat_water(373.1243) / molar == pytest.approx((2675.7 - 419.05) * 1e3, abs=100)
    assert substances.latent_heat_water(373.1243) / molar == pytest.approx(2256.47e3, rel=2e-4)  # IAPWS-95
    for T, pressure in ((313.15, 7384.938), (333.15, 19946.43)):  # IAPWS-95
        assert substances.vapour_pressure_water(T) == pytest.approx(pressure, rel=2e-4)


def test_latent_heat_of_ethanol():
    """CRC Handbook: 42.32 kJ/mol at 298.15 K, 38.56 at 351.44 K (calorimetric)."""
    assert substances.latent_heat_ethanol(298.15) == pytest.approx(42.32e3, rel=3e-3)
    assert substances.latent_heat_ethanol(351.44) == pytest.approx(38.56e3, rel=1e-3)


def test_latent_heat_follows_from_the_vapour_pressure():
    """Clapeyron, an independent route: R T2 dz dln p/dT, dz from the CRC Handbook's second virial coefficient."""
    T, (R, wagner) = 351.44, values("equilibrium.toml", "gas_constant", "wagner_ethanol")
    ln_p, slope = _scalar.ln_pressure_ethanol(T, wagner)
    tau = 298.15 / T - 1.0
    second_virial = 1e-6 * (-4475.0 - 29719.0 * tau - 56716.0 * tau**2)
    p_over_RT = np.exp(ln_p) / (R * T)
    z = 1.0 + (second_virial - substances.liquid_molar_volume(1.0, T)) * p_over_RT
    assert substances.latent_heat_ethanol(T) == pytest.approx(R * T**2 * slope * z, rel=0.006)


@pytest.mark.parametrize(
    ("T", "ethanol", "water"), [(298.15, 42.41, 43.99), (351.45, 39.15, 41.66), (373.15, 37.36, 40.65)]
)
def test_latent_heats_beside_equations_of_state(T, ethanol, water):
    """Equations of state (Schroeder 2014, IAPWS-95) by an open library, kJ/mol. Ethanol: up to 2.2 % higher."""
    assert substances.latent_heat_water(T) == pytest.approx(1e3 * water, rel=5e-4)
    assert 0.0 <= 1.0 - substances.latent_heat_ethanol(T) / (1e3 * ethanol) < 0.022


@pytest.mark.parametrize(
    ("T", "ethanol", "water"), [(298.15, 2.434, 4.181), (351.45, 2.930, 4.195), (373.15, 3.174, 4.216)]
)
def test_heat_capacities_beside_equations_of_state(T, ethanol, water):
    """The same equations, kJ/(kg K). Ethanol: Zabransky's evaluation of measurements is up to 3.7 % higher when hot."""
    Me, Mw = substances.MOLAR_MASS_ETHANOL, substances.MOLAR_MASS_WATER
    assert substances.liquid_heat_capacity_water(T) / Mw == pytest.approx(1e3 * water, rel=1e-3)
    assert -0.001 < substances.liquid_heat_capacity_ethanol(T) / Me / (1e3 * ethanol) - 1.0 < 0.037


def test_heat_capacity_of_ethanol_at_room_temperature():
    """CRC Handbook, standard thermodynamic properties: 112.3 J/(mol K) at 298.15 K."""
    assert substances.liquid_heat_capacity_ethanol(298.15) == pytest.approx(112.3, rel=3e-3)


def test_enthalpies_are_integrals_of_heat_capacities():
    T, h = np.linspace(275.0, 380.0, 40), 0.01
    for enthalpy, capacity in (
        (substances.liquid_enthalpy_ethanol, substances.liquid_heat_capacity_ethanol),
        (substances.liquid_enthalpy_water, substances.liquid_heat_capacity_water),
    ):
        assert np.allclose((enthalpy(T + h) - enthalpy(T - h)) / (2 * h), capacity(T), rtol=1e-5)
        assert abs(enthalpy(273.15)) < 1e-9


def test_mixture_enthalpies_are_weighted_means():
    assert substances.liquid_enthalpy(1.0, 350.0) == substances.liquid_enthalpy_ethanol(350.0)
    assert substances.liquid_enthalpy(0.0, 350.0) == substances.liquid_enthalpy_water(350.0)
    two = substances.vapour_enthalpy_ethanol(350.0) + substances.vapour_enthalpy_water(350.0)
    assert substances.vapour_enthalpy(0.5, 350.0) == pytest.approx(two / 2)


def test_volume_of_ethanol():
    """Saturated liquid by the equation of state of Schroeder et al. (2014), cm3/mol, from CoolProp 8.0.0."""
    known = {273.15: 57.13309, 293.15: 58.36349, 313.15: 59.67356, 333.15: 61.09939, 351.44: 62.54708, 383.15: 65.55423}
    for T, volume in known.items():
        assert substances.liquid_molar_volume(1.0, T) * 1e6 == pytest.approx(volume, abs=1.5e-3)


def test_liquid_density_joins_oiml_r22():
    """Up to 40 Cel the hot-volume function and the legal density are the same to 0.05 %."""
    x, T = np.meshgrid(np.linspace(0.0, 1.0, 41), np.linspace(288.15, 313.15, 6))
    legal = alcoholometry.density(alcoholometry.mass_fraction_from_mole_fraction(x), T)
    assert np.abs(substances.liquid_density(x, T) / legal - 1.0).max() < 5e-4


def test_volume_change_on_mixing():
    """Marsh & Richards, Aust. J. Chem. 33 (1980) 2121: -0.420 cm3/mol at x = 0.082, the same from 278 to 338 K."""
    T = np.linspace(278.15, 338.15, 7)
    (excess,) = values("equilibrium.toml", "excess_volume")
    assert np.abs(_scalar.excess_volume(T, 0.082, excess) * 1e6 + 0.420).max() < 0.01


def test_surface_tension():
    """Water 72.75 at 20 Cel, 62.6 at 80, 58.8 at 100 and ethanol 22.39 at 20 Cel, mN/m (handbook tables)."""
    for x, celsius, tension in ((0, 20, 72.75), (0, 80, 62.6), (0, 100, 58.8), (1, 20, 22.39)):
        assert substances.surface_tension(x, celsius + 273.15) * 1e3 == pytest.approx(tension, rel=5e-3)


def test_surface_tension_of_mixtures():
    """Vazquez et al., J. Chem. Eng. Data 40 (1995) 611, 25 Cel, mN/m by mass percent (from memory (medium))."""
    known = {10: 47.53, 20: 37.97, 30: 32.98, 40: 30.16, 50: 27.96, 60: 26.23, 70: 25.01, 80: 23.82, 90: 22.72}
    x = alcoholometry.mole_fraction_from_mass_fraction(np.array(list(known)) / 100)
    off = substances.surface_tension(x, 298.15) * 1e3 - np.array(list(known.values()))
    assert np.abs(off).max() < 1.0


def test_vapour_density():
    """Steam at its normal boiling point 0.5976 kg/m3 (IAPWS SR1-86); the ideal gas is 1.5 % lighter."""
    assert substances.vapour_density(0.0, 373.1243, 101325.0) == pytest.approx(0.5976, rel=0.017)
    by_mass = substances.vapour_density(1.0, 360.0, 9e4) / substances.vapour_density(0.0, 360.0, 9e4)
    assert by_mass == pytest.approx(46.0684 / 18.01528)
