"""Molar volumes and densities of hot liquid and of vapour, and the liquid's surface tension.

Takes: mole fractions of ethanol, temperatures in K, pressures in Pa. Gives: m3/mol, kg/m3, N/m. Never: legal densities
(see the alcoholometry room, OIML R 22, up to 40 Cel); these figures serve hold-ups, fill levels and flooding.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from middlerun.substances import _scalar
from middlerun.substances.constants import values
from middlerun.substances.ranges import checked

__all__ = ["liquid_density", "liquid_molar_volume", "surface_tension", "vapour_density"]

Array = NDArray[np.float64]

_VOLUMES = values("equilibrium.toml", "volume_ethanol", "density_water", "excess_volume", "molar_mass_water")
_R, _ME, _MW = values("equilibrium.toml", "gas_constant", "molar_mass_ethanol", "molar_mass_water")
_SIGMA_W, _SIGMA_E, _SHAPE = values(
    "surface.toml", "surface_tension_water", "surface_tension_ethanol", "surface_tension_shape"
)


def _fraction(what: str, value: ArrayLike) -> Array:
    return checked(what, value, 0.0, 1.0, "mol/mol", "Give a mole fraction, not a strength by volume.")


def _temperature(temperature: ArrayLike) -> Array:
    return checked("temperature", temperature, 273.15, 383.15, "K", "Liquid volumes hold from 0 to 110 Cel.")


def liquid_molar_volume(x_ethanol: ArrayLike, temperature: ArrayLike) -> Array:
    """Molar volume (m3/mol) of liquid ethanol and water, x_ethanol 0 to 1, 273.15 to 383.15 K, else OutOfRangeError.

    Pure water IAPWS SR1-86, pure ethanol from the equation of state of Schroeder et al. (2014), volume change on mixing
    fitted to OIML R 22 at 15 to 40 Cel and carried on in a straight line. Uncertainty 0.05 % up to 40 Cel, 0.5 % at the
    boil, where the last part is an extrapolation.

    >>> round(float(liquid_molar_volume(0.2, 356.0)) * 1e6, 2)  # cm3/mol
    26.76
    """
    return np.asarray(_scalar.liquid_volume(_temperature(temperature), _fraction("x_ethanol", x_ethanol), *_VOLUMES))


def liquid_density(x_ethanol: ArrayLike, temperature: ArrayLike) -> Array:
    """Density (kg/m3) of the liquid; range, errors and uncertainty as for `liquid_molar_volume`."""
    x = _fraction("x_ethanol", x_ethanol)
    return np.asarray((x * _ME + (1.0 - x) * _MW) / liquid_molar_volume(x, temperature))


def vapour_density(y_ethanol: ArrayLike, temperature: ArrayLike, pressure: ArrayLike) -> Array:
    """Density (kg/m3) of the vapour as an ideal gas, 273.15 to 383.15 K, 1e3 to 200e3 Pa, else OutOfRangeError.

    The true vapour is up to 3 % denser at 101.325 kPa (ethanol's second virial coefficient, from memory (medium)).

    >>> round(float(vapour_density(0.75, 352.0, 101325.0)), 3)
    1.352
    """
    y = _fraction("y_ethanol", y_ethanol)
    p = checked("pressure", pressure, 1e3, 200e3, "Pa", "Give the absolute pressure in pascal.")
    return np.asarray(p * (y * _ME + (1.0 - y) * _MW) / (_R * _temperature(temperature)))


def surface_tension(x_ethanol: ArrayLike, temperature: ArrayLike) -> Array:
    """Surface tension (N/m) of the liquid, x_ethanol 0 to 1, 273.15 to 383.15 K, else OutOfRangeError.

    Pure water IAPWS R1-76(2014), pure ethanol Mulero et al. (2012), mixtures in the shape that Vazquez et al. (1995)
    found at 25 Cel. About 5 % at the boil; a flooding velocity takes its fifth root.

    >>> round(float(surface_tension(0.5, 353.0)) * 1e3, 1)  # mN/m
    19.3
    """
    x, T = _fraction("x_ethanol", x_ethanol), _temperature(temperature)
    u = 1.0 - T / _SIGMA_W[3]
    water = _SIGMA_W[0] * u ** _SIGMA_W[1] * (1.0 + _SIGMA_W[2] * u)
    ethanol = _SIGMA_E[0] * (1.0 - T / _SIGMA_E[2]) ** _SIGMA_E[1]
    a, b = _SHAPE
    fall = (1.0 + b * (1.0 - x) / (1.0 - a * (1.0 - x))) * x
    return np.asarray(water - fall * (water - ethanol))
