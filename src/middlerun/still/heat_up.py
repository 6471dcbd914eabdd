"""What a timed heat-up tells: the U·A of a jacket, or the heat that reached the pot."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from middlerun.errors import PlanError
from middlerun.still.limits import warm_up


@dataclass(frozen=True, kw_only=True)
class HeatUp:
    """One timed heat-up: everything in SI that its balance needs."""

    time: float
    power: float
    capacity: float  # J/K of charge and pot metal
    jacket_capacity: float  # J/K
    start: float
    boil: float
    pot_loss: float
    jacket_loss: float
    hottest: float

    def lasts(self, conductance: float, **changed: float) -> float:
        """Return the seconds that this heat-up takes with a U·A in W/K, with some of its values changed."""
        now = {**self.__dict__, **changed}
        return warm_up(
            heat_capacity=now["capacity"],
            jacket_heat_capacity=now["jacket_capacity"],
            conductance=conductance,
            power=now["power"],
            start=now["start"],
            boil=now["boil"],
            pot_heat_loss=now["pot_loss"],
            jacket_heat_loss=now["jacket_loss"],
            hottest=now["hottest"],
            step=30.0,
        )

    def energy_needed(self) -> float:
        """Return the heat in J that charge and pot take up to the boil, without jacket and losses."""
        return self.capacity * (self.boil - self.start)


# How well each is usually known, as a share of itself or in K; common practice.
_SPREADS: Mapping[str, float] = {
    "time": 0.05,
    "power": 0.05,
    "capacity": 0.03,
    "jacket_capacity": 0.15,
    "pot_loss": 0.3,
    "jacket_loss": 0.3,
}
_LEAST_TIME_SPREAD = 120.0  # s: nobody notes the boil to the second


def spread_of(heat_up: HeatUp, key: str) -> float:
    """Return by how much a value of a heat-up may be off, in its own unit."""
    spread = _SPREADS[key] * float(getattr(heat_up, key))
    return max(spread, _LEAST_TIME_SPREAD) if key == "time" else spread


def conductance_from_heat_up(heat_up: HeatUp, low: float, high: float) -> tuple[float | None, float, float]:
    """Return the U·A (W/K) that explains a timed heat-up, and its band, within `low` to `high`.

    The band comes from one reading after the other being off by its usual error, added as squares of the logarithm.
    The value is None when the time lies at the edge of what any U·A gives. PlanError when no U·A and no reading error
    of the usual size explains it: the message names the two energies.
    """
    middle = _solve(heat_up.lasts, heat_up.time, low, high)
    ups, downs = [0.0], [0.0]
    for key in _SPREADS:
        for sign in (1.0, -1.0):
            moved = {key: getattr(heat_up, key) + sign * spread_of(heat_up, key)}
            time = moved.pop("time", heat_up.time)
            step = math.log(_solve(functools.partial(heat_up.lasts, **moved), time, low, high) / middle)
            (ups if step > 0.0 else downs).append(step)
    below, above = middle * math.exp(-math.hypot(*downs)), middle * math.exp(math.hypot(*ups))
    if low < middle < high:
        return middle, max(low, below), min(high, above)
    _refuse_contradiction(heat_up, middle, too_fast=middle == high)
    return None, max(low, below), min(high, above)


def _refuse_contradiction(heat_up: HeatUp, conductance: float, too_fast: bool) -> None:
    """Raise PlanError when even readings that are off the helpful way do not explain the heat-up."""
    sign = 1.0 if too_fast else -1.0
    changed = {key: getattr(heat_up, key) - sign * spread_of(heat_up, key) for key in _SPREADS if key != "time"}
    changed["power"] = heat_up.power + sign * spread_of(heat_up, "power")
    best = heat_up.lasts(conductance, **changed)
    time = heat_up.time + sign * spread_of(heat_up, "time")
    if sign * best > sign * time:
        raise PlanError(contradiction(heat_up))


def contradiction(heat_up: HeatUp) -> str:
    """Say that time, power and charge of a heat-up do not fit together, in kilowatt hours."""
    given, needed = heat_up.power * heat_up.time / 3.6e6, heat_up.energy_needed() / 3.6e6
    return (
        f"Power, charge and minutes to the boil contradict each other: {heat_up.power / 1e3:.3g} kW for "
        f"{heat_up.time / 60:.0f} min are {given:.3g} kW.h, but charge and pot alone take {needed:.3g} kW.h to "
        f"{heat_up.boil - 273.15:.1f} Cel, to which jacket and losses are added. Check whether the heating ran at full "
        "power all the time, and the volume, its strength and its first temperature."
    )


def _solve(lasts: Callable[[float], float], time: float, low: float, high: float) -> float:
    """Find the U·A at which a heat-up lasts `time`, by halving in the logarithm; clipped to low and high."""
    if lasts(high) >= time:
        return high
    if lasts(low) <= time:
        return low
    a, b = math.log(low), math.log(high)
    for _ in range(24):
        middle = 0.5 * (a + b)
        if lasts(math.exp(middle)) > time:
            a = middle
        else:
            b = middle
    return math.exp(0.5 * (a + b))


def useful_power_from_heat_up(heat_up: HeatUp, conductance: float) -> tuple[float, float, float]:
    """Return low, value and high of the heat (W) that reached base and charge in a heat-up; U·A (W/K) is given.

    Searched between a twentieth and the double of the power on the plate.
    """
    low, high = 0.05 * heat_up.power, 2.0 * heat_up.power

    def solved(time: float, moved: Mapping[str, float]) -> float:
        def lasts(power: float) -> float:
            return heat_up.lasts(conductance, **{**moved, "power": power})

        return _solve(lasts, time, low, high)

    middle = solved(heat_up.time, {})
    steps = []
    for key in _SPREADS:
        if key != "power":
            moved = {key: getattr(heat_up, key) + spread_of(heat_up, key)}
            steps.append(math.log(solved(moved.pop("time", heat_up.time), moved) / middle))
    band = math.exp(math.hypot(*steps))
    return middle / band, middle, middle * band
