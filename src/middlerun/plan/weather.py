"""The pressure of the day: by barometer, or from the altitude."""

from __future__ import annotations

import math

from middlerun.plan.description import Weather

SEA_LEVEL = 101_325.0  # Pa, ISO 2533
_TEMPERATURE = 288.15  # K, ISO 2533, at sea level
_LAPSE = 0.0065  # K/m, ISO 2533, up to 11 km
_GRAVITY = 9.80665  # m/s2, ISO 2533
_GAS = 287.05287  # J/(kg K), ISO 2533
_EARTH = 6_356_766.0  # m, ISO 2533: nominal radius for the geopotential altitude


def standard_pressure(altitude: float) -> float:
    """Return the pressure (Pa) of the standard atmosphere at an altitude (m), ISO 2533:1975, below 11 km.

    A real day differs by up to 3 kPa, which moves every boiling temperature by about 0.8 K; a barometer is better.

    >>> round(standard_pressure(420.0))
    96380
    """
    geopotential = _EARTH * altitude / (_EARTH + altitude)
    return SEA_LEVEL * math.pow(1.0 - _LAPSE * geopotential / _TEMPERATURE, _GRAVITY / (_GAS * _LAPSE))


def pressure_of(weather: Weather) -> float:
    """Return the absolute air pressure (Pa) of a day: the barometer's, else the altitude's, else that of sea level."""
    if weather.pressure is not None:
        return weather.pressure
    return standard_pressure(weather.altitude or 0.0)
