"""Strength by volume at 20 Cel, by mass and by mole, and strength from density.

Takes: fractions 0 to 1, densities in kg/m3, temperatures in K. Gives: the others. One bridge joins strength by volume q
and mass fraction p: q = p rho(p, 20 Cel)/789.24 kg/m3 (OIML R 22). Inverses are
safeguarded Newton iterations on whole arrays.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from middlerun.alcoholometry.r22 import (
    REFERENCE_DENSITY_ETHANOL,
    REFERENCE_TEMPERATURE,
    Array,
    Coefficient,
    check_fraction,
    check_temperature,
    coefficients_at,
    horner,
    horner_with_slope,
    in_chunks,
)
from middlerun.errors import OutOfRangeError
from middlerun.substances.constants import values

__all__ = [
    "DENSITY_SLACK",
    "mass_fraction",
    "mass_fraction_from_density",
    "mass_fraction_from_mole_fraction",
    "mole_fraction_from_mass_fraction",
    "mole_fraction_from_volume_strength",
    "strength_from_density",
    "volume_strength",
    "volume_strength_from_mole_fraction",
]

DENSITY_SLACK = 0.005
"""kg/m3: half the last printed digit of R 22; a density this far beyond water's or ethanol's counts as theirs."""

_AT_20 = [float(c) for c in coefficients_at(REFERENCE_TEMPERATURE)]
_STRENGTH = [0.0, *(c / REFERENCE_DENSITY_ETHANOL for c in _AT_20)]
_M_ETHANOL, _M_WATER = values("equilibrium.toml", "molar_mass_ethanol", "molar_mass_water")


@cache
def _guesses() -> tuple[Array, Array, Array]:
    p = np.linspace(0.0, 1.0, 257)
    rho = horner(list(_AT_20), p)
    return p, (rho[0] - rho) / (rho[0] - rho[-1]), p * rho / REFERENCE_DENSITY_ETHANOL


def _solve(coefficients: list[Coefficient], target: Array, guess: Array, rising: bool) -> Array:
    """Argument in 0 to 1 at which a monotone polynomial meets `target`, by Newton's method kept within brackets."""
    low = np.zeros_like(target)
    high = np.ones_like(target)
    p = guess
    for _ in range(60):
        value, slope = horner_with_slope(coefficients, p)
        excess = value - target
        too_far = (excess > 0.0) == rising
        high = np.where(too_far, p, high)
        low = np.where(too_far, low, p)
        step = p - excess / slope
        better = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
        moved = float(np.max(np.abs(better - p), initial=0.0))
        p = better
        if moved < 2e-12:
            break
    return p


def volume_strength(mass_fraction: ArrayLike) -> Array:
    """Strength by volume at 20 Cel, 0 to 1, of a mass fraction 0 to 1: p rho(p, 20 Cel)/789.24 (OIML R 22).

    Raises OutOfRangeError outside. The mass fraction 1 gives 0.9999989, because the errata's 789.24 is rounded.

    >>> round(float(volume_strength(0.33300)), 5)
    0.4
    """
    p = check_fraction("mass_fraction", mass_fraction)
    return in_chunks(lambda p: horner(list(_STRENGTH), np.atleast_1d(p)), p)


def mass_fraction(volume_strength: ArrayLike) -> Array:
    """Mass fraction, 0 to 1, of a strength by volume at 20 Cel, 0 to 1. Strengths above 0.9999989 give 1.

    Raises OutOfRangeError outside 0 to 1.

    >>> round(float(mass_fraction(0.40)), 5)
    0.333
    """
    q = check_fraction("volume_strength", volume_strength)
    p, _, strength = _guesses()

    def solve(q: Array) -> Array:
        q = np.atleast_1d(q)
        return _solve(list(_STRENGTH), np.minimum(q, strength[-1]), np.interp(q, strength, p), rising=True)

    return in_chunks(solve, q)


def mass_fraction_from_density(density: ArrayLike, temperature: ArrayLike) -> Array:
    """Mass fraction of ethanol from density (kg/m3) at a temperature (K, 253.15 to 313.15), OIML R 22 read backwards.

    Raises OutOfRangeError for a density more than 0.005 kg/m3 outside those of ethanol and water at that temperature.

    >>> round(float(mass_fraction_from_density(913.770595, 293.15)), 6)
    0.5
    """
    rho = np.asarray(density, dtype=float)
    T = check_temperature(temperature)
    grid, fall, _ = _guesses()

    def solve(rho: Array, T: Array) -> Array:
        coefficients = coefficients_at(T)
        rho = np.atleast_1d(rho)
        water = np.broadcast_to(np.asarray(coefficients[0], dtype=float), np.broadcast_shapes(rho.shape, np.shape(T)))
        rho = np.broadcast_to(rho, water.shape)
        ethanol = np.broadcast_to(sum(coefficients), water.shape)
        inside = (rho <= water + DENSITY_SLACK) & (rho >= ethanol - DENSITY_SLACK)
        if not np.all(inside):
            bad = int(np.argmin(inside))
            raise OutOfRangeError.of(
                "density",
                f"{rho[bad]:.3f}",
                f"{ethanol[bad]:.3f} (ethanol)",
                f"{water[bad]:.3f} (water)",
                "kg/m3",
                f"That is the range at {np.broadcast_to(T, water.shape)[bad]:.2f} K. Sugar or a wrong temperature "
                "raise a density: distil the sample first, or check the thermometer.",
            )
        guess = np.interp((water - rho) / (water - ethanol), fall, grid)
        return _solve(coefficients, np.clip(rho, ethanol, water), guess, rising=False)

    return in_chunks(solve, rho, T)


def strength_from_density(density: ArrayLike, temperature: ArrayLike) -> Array:
    """Strength by volume at 20 Cel from density (kg/m3) at a temperature (K); range and errors as for mass fraction.

    >>> round(float(strength_from_density(948.045, 293.15)), 4)
    0.4
    """
    return volume_strength(mass_fraction_from_density(density, temperature))


def mole_fraction_from_mass_fraction(mass_fraction: ArrayLike) -> Array:
    """Mole fraction of ethanol, 0 to 1, of a mass fraction 0 to 1."""
    p = check_fraction("mass_fraction", mass_fraction)
    return np.asarray(p / _M_ETHANOL / (p / _M_ETHANOL + (1.0 - p) / _M_WATER))


def mass_fraction_from_mole_fraction(mole_fraction: ArrayLike) -> Array:
    """Mass fraction of ethanol, 0 to 1, of a mole fraction 0 to 1."""
    x = check_fraction("mole_fraction", mole_fraction)
    return np.asarray(x * _M_ETHANOL / (x * _M_ETHANOL + (1.0 - x) * _M_WATER))


def mole_fraction_from_volume_strength(volume_strength: ArrayLike) -> Array:
    """Mole fraction of ethanol of a strength by volume at 20 Cel.

    >>> round(float(mole_fraction_from_volume_strength(0.40)), 5)
    0.16334
    """
    return mole_fraction_from_mass_fraction(mass_fraction(volume_strength))


def volume_strength_from_mole_fraction(mole_fraction: ArrayLike) -> Array:
    """Strength by volume at 20 Cel of a mole fraction of ethanol.

    >>> round(float(volume_strength_from_mole_fraction(0.8943)), 4)
    0.9719
    """
    return volume_strength(mass_fraction_from_mole_fraction(mole_fraction))
