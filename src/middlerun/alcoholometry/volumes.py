"""Volumes brought to 20 Cel, and pure alcohol.

Takes: volumes in m3, masses in kg, temperatures in K, strengths by volume at 20 Cel as fractions. Gives: m3. Never:
mixes a volume at one temperature with a strength at another.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from middlerun.alcoholometry.r22 import REFERENCE_DENSITY_ETHANOL, REFERENCE_TEMPERATURE, Array, check_fraction, density
from middlerun.alcoholometry.strength import mass_fraction
from middlerun.errors import OutOfRangeError

__all__ = ["pure_alcohol_from_mass", "pure_alcohol_volume", "volume_at_20c"]


def _amount(what: str, value: ArrayLike, unit: str) -> Array:
    array = np.asarray(value, dtype=float)
    inside = np.isfinite(array) & (array >= 0.0)
    if not np.all(inside):
        bad = float(array[~inside].flat[0]) if array.ndim else float(array)
        remedy = "Give what is there, never less than 0."
        raise OutOfRangeError.of(what, f"{bad:g}", 0, "any finite amount", unit, remedy)
    return array


def volume_at_20c(volume: ArrayLike, temperature: ArrayLike, volume_strength: ArrayLike) -> Array:
    """Volume (m3) that a spirit takes at 20 Cel: V rho(p, t)/rho(p, 20 Cel), OIML R 22.

    `volume` m3 at `temperature` (K, 253.15 to 313.15), `volume_strength` 0 to 1 at 20 Cel. The vessel's own expansion
    is not counted. Raises OutOfRangeError outside.

    >>> round(float(volume_at_20c(0.100, 303.15, 0.60)) * 1e3, 3)  # litres
    99.105
    """
    v = _amount("volume", volume, "m3")
    p = mass_fraction(volume_strength)
    return np.asarray(v * density(p, temperature) / density(p, REFERENCE_TEMPERATURE))


def pure_alcohol_volume(
    volume: ArrayLike, volume_strength: ArrayLike, temperature: ArrayLike = REFERENCE_TEMPERATURE
) -> Array:
    """Pure alcohol (m3 at 20 Cel; LPA is a thousand times this) in a volume (m3) measured at `temperature` (K).

    `volume_strength` 0 to 1 at 20 Cel. Raises OutOfRangeError as `volume_at_20c`.

    >>> round(float(pure_alcohol_volume(0.050, 0.70)) * 1e3, 2)  # LPA
    35.0
    """
    q = check_fraction("volume_strength", volume_strength)
    return volume_at_20c(volume, temperature, q) * q


def pure_alcohol_from_mass(mass: ArrayLike, volume_strength: ArrayLike) -> Array:
    """Pure alcohol (m3 at 20 Cel) in a weighed spirit: m p/789.24 kg/m3. `mass` kg; no temperature is needed.

    >>> round(float(pure_alcohol_from_mass(100.0, 0.40)) * 1e3, 2)  # LPA
    42.19
    """
    return _amount("mass", mass, "kg") * mass_fraction(volume_strength) / REFERENCE_DENSITY_ETHANOL
