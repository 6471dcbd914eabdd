"""Head temperature and product strength: two faces of one thing at a given pressure.

The head thermometer shows the dew temperature of the vapour that leaves the dephlegmator; all of that vapour becomes
product, so its dew temperature stands for the product's strength. Temperatures K, pressures Pa, strengths 0 to 1.
"""

from __future__ import annotations

import functools
from collections.abc import Callable

import numpy as np

from middlerun.alcoholometry import mole_fraction_from_volume_strength, volume_strength_from_mole_fraction
from middlerun.errors import OutOfRangeError
from middlerun.plan.weather import SEA_LEVEL
from middlerun.units import format_quantity

_TEMPERATURE, _VAPOUR, _VOLUME = 0, 1, 3  # quantities of the equilibrium table
_CLOSE = 1e-13


class _Curve:
    """Boiling temperature, vapour and hot volume against liquid at one pressure, from the engine's table."""

    def __init__(self, pressure: float) -> None:
        from middlerun.substances.equilibrium_table import TRANSFORM_A, build_table

        self._a = TRANSFORM_A
        self.table = build_table(pressure)
        self.n = len(self.table)
        last = self.table[-1].sum(axis=1)
        self.vapours = np.append(self.table[:, _VAPOUR, 0], last[_VAPOUR])
        self.temperatures = np.append(self.table[:, _TEMPERATURE, 0], last[_TEMPERATURE])
        liquids = np.array([self.liquid(i) for i in range(self.n + 1)])
        below = int(np.flatnonzero(self.vapours[:-1] >= liquids[:-1])[-1])
        place = self._search(below, lambda r: self.read(_VAPOUR, r) - self.liquid(r))
        self.azeotrope = self.liquid(place), self.read(_TEMPERATURE, place)

    def liquid(self, place: float) -> float:
        """Return the mole fraction at a place 0 to n of the table."""
        s = place / self.n
        return self._a * s / (1.0 + self._a - s)

    def place(self, liquid: float) -> float:
        """Return the place of a mole fraction in the table."""
        return liquid * (1.0 + self._a) / (liquid + self._a) * self.n

    def read(self, quantity: int, place: float) -> float:
        """Return a quantity at a place."""
        i = min(max(int(place), 0), self.n - 1)
        c, u = self.table[i, quantity], place - i
        return float(c[0] + u * (c[1] + u * (c[2] + u * c[3])))

    def of_vapour(self, vapour: float) -> float:
        """Return the place whose vapour has this mole fraction."""
        i = min(max(int(np.searchsorted(self.vapours, vapour)) - 1, 0), self.n - 1)
        return self._search(i, lambda r: vapour - self.read(_VAPOUR, r))

    def of_temperature(self, temperature: float) -> float:
        """Return the place on the water side of the azeotrope that boils at this temperature (K)."""
        falling = self.temperatures[: int(np.argmin(self.temperatures)) + 1]
        i = int(np.flatnonzero(falling > temperature)[-1]) if temperature < falling[0] else 0
        return self._search(i, lambda r: self.read(_TEMPERATURE, r) - temperature)

    def _search(self, i: int, falling: Callable[[float], float]) -> float:
        """Return where a function falls through nought within one interval of the table (Illinois' false position)."""
        low, high = float(i), float(min(i + 1, self.n))
        above, below = falling(low), falling(high)
        if above <= 0.0 or below >= 0.0:
            return low if above <= 0.0 else high
        for _ in range(60):
            place = (low * below - high * above) / (below - above)
            value = falling(place)
            if abs(value) < _CLOSE or high - low < _CLOSE:
                return place
            if value > 0.0:
                low, above, below = place, value, 0.5 * below
            else:
                high, below, above = place, value, 0.5 * above
        return place


@functools.lru_cache(maxsize=64)
def _curve(pressure: float) -> _Curve:
    return _Curve(pressure)


@functools.lru_cache(maxsize=4096)
def _mole_fraction(strength: float) -> float:
    return float(mole_fraction_from_volume_strength(strength))


@functools.lru_cache(maxsize=4096)
def _volume_strength(mole: float) -> float:
    return float(volume_strength_from_mole_fraction(mole))


@functools.lru_cache(maxsize=1024)
def dew_temperature(mole: float, pressure: float) -> float:
    """Return the dew temperature (K) of vapour with this mole fraction of ethanol."""
    curve = _curve(pressure)
    return curve.read(_TEMPERATURE, curve.of_vapour(mole))


def boiling_state(mole: float, pressure: float) -> tuple[float, float, float]:
    """Return temperature (K), mole fraction of the vapour and hot molar volume (m3/mol) of a boiling liquid."""
    curve = _curve(pressure)
    place = curve.place(mole)
    return curve.read(_TEMPERATURE, place), curve.read(_VAPOUR, place), curve.read(_VOLUME, place)


def temperature_for_strength(strength: float, pressure: float) -> float:
    """Return what the head thermometer must show (K) for a product of this strength at this pressure.

    Raises OutOfRangeError above the azeotrope's strength.
    """
    top = _volume_strength(_curve(pressure).azeotrope[0])
    if not 0.0 < strength < top:
        raise OutOfRangeError(
            f"the strength to hold is {_strength(strength)}, outside 0 to {_strength(top)}, the azeotrope at "
            f"{format_quantity(pressure, 'pressure')}. No column passes it; hold less."
        )
    return dew_temperature(_mole_fraction(strength), pressure)


def strength_for_temperature(temperature: float, pressure: float) -> float:
    """Return the product's strength (0 to 1) when the head shows this temperature (K) at this pressure (Pa).

    Raises OutOfRangeError below the azeotrope and above the boiling point of water.
    """
    curve = _curve(pressure)
    coldest = curve.azeotrope[1]
    hottest = dew_temperature(0.0, pressure)
    if not coldest < temperature < hottest:
        raise OutOfRangeError(
            f"the head temperature is {_temperature(temperature)}, outside {_temperature(coldest)} (azeotrope: nothing "
            f"comes over below it) to {_temperature(hottest)} (water) at {format_quantity(pressure, 'pressure')}. "
            "Say the product's strength instead."
        )
    # A boiling liquid and the vapour that condenses to it share one temperature: find the liquid, take its vapour.
    return _volume_strength(curve.read(_VAPOUR, curve.of_temperature(temperature)))


def temperature_of_the_day(sea_level: float, pressure: float) -> float:
    """Return what the head must show (K) today, when `sea_level` (K) is meant at 101.325 kPa."""
    return temperature_for_strength(strength_for_temperature(sea_level, SEA_LEVEL), pressure)


def _temperature(value: float) -> str:
    return format_quantity(value, "temperature")


def _strength(value: float) -> str:
    return format_quantity(value, "volume strength")
