"""Head temperature and product strength: two faces of one thing at a given pressure.

The head thermometer shows the dew temperature of the vapour that leaves the dephlegmator; all of that vapour becomes
product, so its dew temperature stands for the product's strength. Temperatures K, pressures Pa, strengths 0 to 1.
"""

from __future__ import annotations

import functools

import numpy as np

from middlerun.alcoholometry import mole_fraction_from_volume_strength, volume_strength_from_mole_fraction
from middlerun.errors import OutOfRangeError
from middlerun.plan.weather import SEA_LEVEL
from middlerun.substances import azeotrope, bubble_point, dew_point
from middlerun.units import format_quantity

_NODES = 65  # of each of five searches in a row: 64^5 is a part in a thousand million


def dew_temperature(mole: float, pressure: float) -> float:
    """Return the dew temperature (K) of vapour with this mole fraction of ethanol."""
    return float(dew_point(mole, pressure)[0])


@functools.lru_cache(maxsize=256)
def _azeotrope(pressure: float) -> tuple[float, float]:
    mole, temperature = azeotrope(pressure)
    return float(mole), float(temperature)


def temperature_for_strength(strength: float, pressure: float) -> float:
    """Return what the head thermometer must show (K) for a product of this strength at this pressure.

    Raises OutOfRangeError above the azeotrope's strength.
    """
    top = float(volume_strength_from_mole_fraction(_azeotrope(pressure)[0]))
    if not 0.0 < strength < top:
        raise OutOfRangeError(
            f"the strength to hold is {_strength(strength)}, outside 0 to {_strength(top)}, the azeotrope at "
            f"{format_quantity(pressure, 'pressure')}. No column passes it; hold less."
        )
    return dew_temperature(float(mole_fraction_from_volume_strength(strength)), pressure)


def strength_for_temperature(temperature: float, pressure: float) -> float:
    """Return the product's strength (0 to 1) when the head shows this temperature (K) at this pressure (Pa).

    Raises OutOfRangeError below the azeotrope and above the boiling point of water.
    """
    top, coldest = _azeotrope(pressure)
    hottest = dew_temperature(0.0, pressure)
    if not coldest < temperature < hottest:
        raise OutOfRangeError(
            f"the head temperature is {_temperature(temperature)}, outside {_temperature(coldest)} (azeotrope: nothing "
            f"comes over below it) to {_temperature(hottest)} (water) at {format_quantity(pressure, 'pressure')}. "
            "Say the product's strength instead."
        )
    # A boiling liquid and the vapour that condenses to it share one temperature: search the liquid, take its vapour.
    low, high = 0.0, top
    for _ in range(5):
        liquid = np.linspace(low, high, _NODES)
        place = int(np.count_nonzero(bubble_point(liquid, pressure)[0] > temperature))
        low, high = float(liquid[max(place - 1, 0)]), float(liquid[min(place, _NODES - 1)])
    return float(volume_strength_from_mole_fraction(bubble_point(0.5 * (low + high), pressure)[1]))


def temperature_of_the_day(sea_level: float, pressure: float) -> float:
    """Return what the head must show (K) today, when `sea_level` (K) is meant at 101.325 kPa."""
    return temperature_for_strength(strength_for_temperature(sea_level, SEA_LEVEL), pressure)


def _temperature(value: float) -> str:
    return format_quantity(value, "temperature")


def _strength(value: float) -> str:
    return format_quantity(value, "volume strength")
