"""Molar enthalpies of ethanol and water, liquid and saturated vapour.

Takes: temperatures in K and mole fractions, arrays welcome. Gives: J/mol above the pure liquids at 273.15 K. Never:
counts the heat of mixing, which at the boil is about 1 % of the latent heat (cold dilution
needs it: 0.5 to 0.8 kJ/mol).

The vapour's enthalpy is that of the saturated liquid of the pure substance at the same temperature plus its latent
heat; vapour mixtures are ideal.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from middlerun.substances._scalar import Value, density_water, ln_pressure_water
from middlerun.substances.constants import values
from middlerun.substances.ranges import checked

__all__ = [
    "latent_heat_ethanol",
    "latent_heat_water",
    "liquid_enthalpy",
    "liquid_enthalpy_ethanol",
    "liquid_enthalpy_water",
    "liquid_heat_capacity_ethanol",
    "liquid_heat_capacity_water",
    "vapour_enthalpy",
    "vapour_enthalpy_ethanol",
    "vapour_enthalpy_water",
]

REFERENCE = 273.15
RANGE = (273.15, 383.15)
Array = NDArray[np.float64]

_R, _MW, _SATURATION, _DENSITY = values(
    "equilibrium.toml", "gas_constant", "molar_mass_water", "saturation_water", "density_water"
)
_CP, _LATENT, _ALPHA, _STEAM = values(
    "enthalpy.toml", "heat_capacity_ethanol", "latent_heat_ethanol", "alpha_water", "density_steam"
)


def _temperature(temperature: ArrayLike) -> Array:
    return checked("temperature", temperature, *RANGE, "K", "Enthalpies hold from 0 to 110 Cel.")


def _fraction(what: str, value: ArrayLike) -> Array:
    return checked(what, value, 0.0, 1.0, "mol/mol", "Give a mole fraction.")


def liquid_heat_capacity_ethanol(temperature: ArrayLike) -> Array:
    """Heat capacity of saturated liquid ethanol, J/(mol K), at 273.15 to 383.15 K (Zabransky et al. 1996).

    >>> round(float(liquid_heat_capacity_ethanol(298.15)), 1)
    112.1
    """
    t = _temperature(temperature) / 100.0
    return np.asarray(_R * (_CP[0] + t * (_CP[1] + t * (_CP[2] + t * _CP[3]))))


def _integral_ethanol(T: Value) -> Value:
    t = T / 100.0
    return 100.0 * _R * t * (_CP[0] + t * (_CP[1] / 2.0 + t * (_CP[2] / 3.0 + t * _CP[3] / 4.0)))


def liquid_enthalpy_ethanol(temperature: ArrayLike) -> Array:
    """Enthalpy of liquid ethanol, J/mol, zero at 273.15 K; 273.15 to 383.15 K, else OutOfRangeError."""
    return np.asarray(_integral_ethanol(_temperature(temperature)) - _integral_ethanol(REFERENCE))


def latent_heat_ethanol(temperature: ArrayLike) -> Array:
    """Heat of vaporisation of ethanol, J/mol, 273.15 to 383.15 K (Majer and Svoboda 1985).

    >>> round(float(latent_heat_ethanol(351.44)))
    38555
    """
    Tr = _temperature(temperature) / _LATENT[3]
    return np.asarray(_LATENT[0] * np.exp(-_LATENT[1] * Tr) * (1.0 - Tr) ** _LATENT[2])


def vapour_enthalpy_ethanol(temperature: ArrayLike) -> Array:
    """Enthalpy of saturated ethanol vapour, J/mol above the liquid at 273.15 K."""
    return liquid_enthalpy_ethanol(temperature) + latent_heat_ethanol(temperature)


def _pressure_slope(T: Value) -> Value:
    ln_p, slope = ln_pressure_water(T, _SATURATION)
    return np.exp(ln_p) * slope


def _liquid_water(T: Value) -> Value:
    u = T / _ALPHA[6]
    c = _ALPHA
    alpha = c[0] + c[1] * u**-19 + c[2] * u + c[3] * u**4.5 + c[4] * u**5 + c[5] * u**54.5
    return _MW * (alpha + T / density_water(T, _DENSITY) * _pressure_slope(T))


def liquid_enthalpy_water(temperature: ArrayLike) -> Array:
    """Enthalpy of saturated liquid water, J/mol, zero at 273.15 K (IAPWS SR1-86).

    >>> round(float(liquid_enthalpy_water(373.1243)) / 18.01528)  # kJ/kg; the release prints 419.05
    419
    """
    return np.asarray(_liquid_water(_temperature(temperature)) - _liquid_water(REFERENCE))


def liquid_heat_capacity_water(temperature: ArrayLike) -> Array:
    """Slope of saturated liquid water's enthalpy, J/(mol K), by central difference over 0.2 K."""
    T = np.clip(_temperature(temperature), RANGE[0] + 0.1, RANGE[1] - 0.1)
    return np.asarray((_liquid_water(T + 0.1) - _liquid_water(T - 0.1)) / 0.2)


def latent_heat_water(temperature: ArrayLike) -> Array:
    """Heat of vaporisation of water, J/mol, 273.15 to 383.15 K: T (v'' - v') dp/dT of IAPWS SR1-86.

    >>> round(float(latent_heat_water(373.1243)) / 18.01528, 1)  # kJ/kg
    2256.7
    """
    T = _temperature(temperature)
    r = (1.0 - T / _STEAM[6]) ** (1.0 / 6.0)
    c = _STEAM
    ln_ratio = c[0] * r**2 + c[1] * r**4 + c[2] * r**8 + c[3] * r**18 + c[4] * r**37 + c[5] * r**71
    steam = c[7] * np.exp(ln_ratio)
    return np.asarray(_MW * T * (1.0 / steam - 1.0 / density_water(T, _DENSITY)) * _pressure_slope(T))


def vapour_enthalpy_water(temperature: ArrayLike) -> Array:
    """Enthalpy of saturated steam, J/mol above liquid water at 273.15 K."""
    return liquid_enthalpy_water(temperature) + latent_heat_water(temperature)


def liquid_enthalpy(x_ethanol: ArrayLike, temperature: ArrayLike) -> Array:
    """Enthalpy of the liquid mixture, J/mol, without heat of mixing.

    >>> round(float(liquid_enthalpy(0.2, 350.0)))
    6463
    """
    x = _fraction("x_ethanol", x_ethanol)
    return x * liquid_enthalpy_ethanol(temperature) + (1.0 - x) * liquid_enthalpy_water(temperature)


def vapour_enthalpy(y_ethanol: ArrayLike, temperature: ArrayLike) -> Array:
    """Enthalpy of the vapour mixture, J/mol above the pure liquids at 273.15 K.

    >>> round(float(vapour_enthalpy(0.5, 360.0)))
    48080
    """
    y = _fraction("y_ethanol", y_ethanol)
    return y * vapour_enthalpy_ethanol(temperature) + (1.0 - y) * vapour_enthalpy_water(temperature)
