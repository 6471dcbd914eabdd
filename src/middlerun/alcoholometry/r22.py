"""Density of ethanol-water mixtures by the general formula of OIML R 22.

Takes: mass fraction 0 to 1 and temperature 253.15 to 313.15 K. Gives: density in kg/m3. The formula is written for the
IPTS-68 temperature scale; taking ITS-90 readings for it costs at most 0.0043 kg/m3, 0.002 % vol at 20 Cel: no
correction is made. Weak spirit would freeze at the cold end of the range; the figures there are those of the formula.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from middlerun.substances.constants import packaged
from middlerun.substances.ranges import checked

__all__ = ["REFERENCE_DENSITY_ETHANOL", "REFERENCE_TEMPERATURE", "TEMPERATURE_RANGE", "density"]

Array = NDArray[np.float64]
Coefficient = Array | float

REFERENCE_TEMPERATURE = 293.15
TEMPERATURE_RANGE = (253.15, 313.15)
CHUNK = 8192
"""Elements worked at a time: small enough that every intermediate array stays in the processor's cache."""

_DATA = packaged("r22.toml", "middlerun.alcoholometry")
_A = _DATA["r22_a"].value
_B = _DATA["r22_b"].value
_C = tuple(_DATA[f"r22_c{i}"].value for i in range(1, 6))
REFERENCE_DENSITY_ETHANOL: float = _DATA["reference_density_ethanol"].value


def coefficients_at(temperature: Coefficient) -> list[Coefficient]:
    """Twelve coefficients of the polynomial in mass fraction that the formula becomes at a temperature (K)."""
    d = temperature - REFERENCE_TEMPERATURE
    first: Coefficient = 0.0 * d
    for b in reversed(_B):
        first = (first + b) * d
    found: list[Coefficient] = [first + _A[0]]
    for k in range(1, 12):
        term: Coefficient = 0.0
        for row in reversed(_C):
            if k <= len(row):
                term = (term + row[k - 1]) * d
        found.append(term + _A[k])
    return found


def horner(coefficients: list[Coefficient], p: Array) -> Array:
    """Value of a polynomial in p, lowest coefficient first."""
    value = np.full_like(p, 0.0) + coefficients[-1]
    for c in reversed(coefficients[:-1]):
        value *= p
        value += c
    return value


def horner_with_slope(coefficients: list[Coefficient], p: Array) -> tuple[Array, Array]:
    """Value and slope of a polynomial in p, lowest coefficient first."""
    value = np.full_like(p, 0.0) + coefficients[-1]
    slope = np.zeros_like(p)
    for c in reversed(coefficients[:-1]):
        slope *= p
        slope += value
        value *= p
        value += c
    return value, slope


def in_chunks(function: Callable[..., Array], *arguments: ArrayLike) -> Array:
    """Apply a function of flat float arrays to broadcast arguments, a chunk at a time; a scalar argument stays one."""
    arrays = [np.asarray(a, dtype=float) for a in arguments]
    shape = np.broadcast_shapes(*(a.shape for a in arrays))
    flat = [a.reshape(()) if a.size == 1 else np.broadcast_to(a, shape).reshape(-1) for a in arrays]
    size = int(np.prod(shape))
    out = np.empty(size)
    for start in range(0, size, CHUNK):
        piece = slice(start, start + CHUNK)
        out[piece] = function(*(a if a.ndim == 0 else a[piece] for a in flat))
    return out.reshape(shape)


def check_temperature(temperature: ArrayLike) -> Array:
    """Temperature as an array of K, or OutOfRangeError outside the formula's range."""
    remedy = "OIML R 22 holds from -20 to 40 Cel (give kelvin): cool or warm the sample, or measure it diluted."
    return checked("temperature", temperature, *TEMPERATURE_RANGE, "K", remedy)


def check_fraction(what: str, value: ArrayLike) -> Array:
    """A fraction as an array, or OutOfRangeError outside 0 to 1."""
    return checked(what, value, 0.0, 1.0, "", "Give a fraction of 1: 0.4, not 40.")


def density(mass_fraction: ArrayLike, temperature: ArrayLike) -> Array:
    """Density (kg/m3) of a mixture of ethanol and water, by OIML R 22 (1973), general formula, all 54 coefficients.

    `mass_fraction` of ethanol 0 to 1, `temperature` K 253.15 to 313.15; they broadcast. Raises OutOfRangeError outside.
    At every temperature of the range density falls as the mass fraction rises, so that it can be read backwards; the
    slope is least, -6 kg/m3 per 1, at -20 Cel and 0.19.

    >>> round(float(density(0.5, 293.15)), 4)
    913.7706
    """
    p = check_fraction("mass_fraction", mass_fraction)
    T = check_temperature(temperature)
    return in_chunks(lambda p, T: horner(coefficients_at(T), np.atleast_1d(p)), p, T)
