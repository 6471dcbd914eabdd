"""Vapour pressures of pure ethanol and water.

Takes: temperatures in K, arrays welcome. Gives: Pa. Never: goes beyond 0 to 110 Cel, where a still's liquids are.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from middlerun.substances._scalar import ln_pressure_ethanol, ln_pressure_water
from middlerun.substances.constants import values
from middlerun.substances.ranges import checked

__all__ = ["TEMPERATURE_RANGE", "vapour_pressure_ethanol", "vapour_pressure_water"]

TEMPERATURE_RANGE = (273.16, 383.15)
_WAGNER, _SATURATION = values("equilibrium.toml", "wagner_ethanol", "saturation_water")


def _temperature(temperature: ArrayLike) -> NDArray[np.float64]:
    return checked("temperature", temperature, *TEMPERATURE_RANGE, "K", "Vapour pressures hold from 0.01 to 110 Cel.")


def vapour_pressure_ethanol(temperature: ArrayLike) -> NDArray[np.float64]:
    """Vapour pressure of ethanol, Pa, at 273.16 to 383.15 K, else OutOfRangeError.

    Wagner equation in the form of Poling, Prausnitz and O'Connell (5th ed., appendix A); boils at 78.287 Cel.

    >>> round(float(vapour_pressure_ethanol(351.437)))
    101325
    """
    return np.asarray(np.exp(ln_pressure_ethanol(_temperature(temperature), _WAGNER)[0]))


def vapour_pressure_water(temperature: ArrayLike) -> NDArray[np.float64]:
    """Vapour pressure of water, Pa, at 273.16 to 383.15 K, else OutOfRangeError (IAPWS SR1-86(1992), equation 1).

    >>> round(float(vapour_pressure_water(373.1243)))
    101325
    """
    return np.asarray(np.exp(ln_pressure_water(_temperature(temperature), _SATURATION)[0]))
