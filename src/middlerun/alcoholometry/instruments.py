"""What an alcoholmeter shows, and the true strength behind a reading.

Takes: readings and strengths by volume as fractions, temperatures in K. Gives: fractions. Instruments are graduated at
20 Cel in accordance with OIML R 22 (OIML R 44). Never: corrects for sugar, meniscus or the instrument's own error.
"""

from __future__ import annotations

import difflib
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from middlerun.alcoholometry.r22 import (
    REFERENCE_TEMPERATURE,
    TEMPERATURE_RANGE,
    Array,
    check_fraction,
    check_temperature,
    coefficients_at,
    density,
)
from middlerun.alcoholometry.strength import (
    mass_fraction,
    mass_fraction_from_density,
    strength_from_density,
    volume_strength,
)
from middlerun.errors import UnknownNameError
from middlerun.substances.constants import packaged

__all__ = ["Instrument", "alcoholmeter_reading", "true_strength"]

_GLASS_EXPANSION: float = packaged("r22.toml", "middlerun.alcoholometry")["glass_expansion"].value
_WATER_20, _ETHANOL_20 = (float(density(p, REFERENCE_TEMPERATURE)) for p in (0.0, 1.0))


def _end_slopes() -> tuple[float, float]:
    c = [float(value) for value in coefficients_at(REFERENCE_TEMPERATURE)]
    at_ethanol = sum(k * value for k, value in enumerate(c))
    strength_slope = float(volume_strength(1.0)) + at_ethanol / _ETHANOL_20
    return _WATER_20 / _ETHANOL_20 / c[1], strength_slope / at_ethanol


_SLOPE_WATER, _SLOPE_ETHANOL = _end_slopes()


class Instrument(StrEnum):
    """How a strength was read."""

    GLASS_ALCOHOLMETER = "glass alcoholmeter"
    """Floats in the spirit; its own volume grows by 25e-6 per K (ISO 1768:1975)."""
    DENSITY_METER = "density meter"
    """Shows the strength that a spirit of the measured density would have at 20 Cel; corrects for its own cell."""

    @property
    def expansion(self) -> float:
        """Cubic expansion, 1/K, that a reading away from 20 Cel is corrected for."""
        return _GLASS_EXPANSION if self is Instrument.GLASS_ALCOHOLMETER else 0.0


def _instrument(name: Instrument | str) -> Instrument:
    try:
        return Instrument(name)
    except ValueError as error:
        known = [member.value for member in Instrument]
        near = difflib.get_close_matches(str(name), known, n=1, cutoff=0.0)[0]
        text = f"instrument {name!r} isn't known; the nearest is {near!r}. Known: {', '.join(known)}."
        raise UnknownNameError(text) from error


def true_strength(
    reading: ArrayLike, temperature: ArrayLike, instrument: Instrument | str = Instrument.GLASS_ALCOHOLMETER
) -> Array:
    """Strength by volume at 20 Cel (0 to 1) behind a reading taken in spirit at another temperature.

    `reading` 0 to 1 on a strength scale graduated at 20 Cel; `temperature` K of the spirit, 253.15 to 313.15;
    `instrument` a glass alcoholmeter or a density meter. rho_t = rho(p_reading, 20 Cel)/(1 + beta (t - 20)), then OIML
    R 22 read backwards at t. Raises OutOfRangeError (range, or a reading that no mixture gives at that temperature) and
    UnknownNameError.

    >>> round(float(true_strength(0.40, 278.15)), 4)
    0.4594
    >>> round(float(true_strength(0.40, 278.15, "density meter")), 4)
    0.4615
    """
    kind = _instrument(instrument)
    q = check_fraction("reading", reading)
    T = check_temperature(temperature)
    floating = density(mass_fraction(q), REFERENCE_TEMPERATURE) / (1.0 + kind.expansion * (T - REFERENCE_TEMPERATURE))
    return volume_strength(mass_fraction_from_density(floating, T))


def alcoholmeter_reading(
    volume_strength: ArrayLike,
    temperature: ArrayLike,
    instrument: Instrument | str = Instrument.GLASS_ALCOHOLMETER,
    *,
    outside_as_nan: bool = False,
) -> Array:
    """What an alcoholmeter shows in spirit of a true strength (0 to 1) at a temperature (K, 253.15 to 313.15).

    The way back of `true_strength`. Weak cold spirit and strong warm spirit push the mark off the scale: the result is
    then the scale carried on in a straight line, below 0 or above 1. Outside -20 to 40 Cel OIML R 22 has no figures:
    raises OutOfRangeError, or gives NaN there, and for a strength that is NaN, with `outside_as_nan=True` (a run's
    series: no reading while the parrot is empty or the product too warm).

    >>> round(float(alcoholmeter_reading(0.4594, 278.15)), 4)
    0.4
    """
    kind = _instrument(instrument)
    q = np.asarray(volume_strength, dtype=float)
    T = np.asarray(temperature, dtype=float)
    if outside_as_nan:
        coldest, warmest = TEMPERATURE_RANGE
        unknown = ~((coldest <= T) & (warmest >= T)) | np.isnan(q)
        q, T = np.where(unknown, 0.0, q), np.where(unknown, REFERENCE_TEMPERATURE, T)
    T = check_temperature(T)
    apparent = density(mass_fraction(q), T) * (1.0 + kind.expansion * (T - REFERENCE_TEMPERATURE))
    on_scale = np.clip(apparent, _ETHANOL_20, _WATER_20)
    shown = strength_from_density(on_scale, REFERENCE_TEMPERATURE)
    beyond_water = np.maximum(apparent - _WATER_20, 0.0) * _SLOPE_WATER
    beyond_ethanol = np.minimum(apparent - _ETHANOL_20, 0.0) * _SLOPE_ETHANOL
    reading = shown + beyond_water + beyond_ethanol
    return np.where(unknown, np.nan, reading) if outside_as_nan else np.asarray(reading)
