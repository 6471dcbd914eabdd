"""The pot: too full, foaming over, run too low, its vapour path choked."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from middlerun.plan.result import FloatArray, Warning
from middlerun.plan.warnings.view import View

GAS_CONSTANT = 8.314462618  # J/(mol K), exact since 2019
# Boiling mash, for the gas that it holds: 0.95 g/cm3 and 57 mN/m (water at 97 Cel: 0.960 and 59.4, IAPWS).
_LIQUID = (0.95 * 57.0 / 72.0) ** (1.0 / 3.0)


def swelling(vapour_velocity: FloatArray) -> FloatArray:
    """Return by how much a boiling liquid swells (share of its volume) at a superficial vapour velocity in m/s.

    Local gas hold-up e(u) = 1/(2 + 0.35/u (rho sigma/72)^(1/3)), Hughmark 1967, 0.004 to 0.45 m/s (from memory, high),
    averaged over the depth: vapour forms evenly through it, so that u rises from 0 to its value at the surface.
    """
    velocity = np.maximum(vapour_velocity, 1e-9)
    a = 0.35 * _LIQUID
    # Below 1 mm/s the closed integral loses digits; the average is then half the hold-up at the surface.
    held = np.where(velocity < 1e-3, 0.5 * velocity / a, 0.5 - a / (4.0 * velocity) * np.log1p(2.0 * velocity / a))
    return np.asarray(held / (1.0 - held))


def pot_area(volume: float) -> float:
    """Return the surface (m2) of a pot as wide as high: the description gives its volume only.

    >>> round(pot_area(0.15), 3)
    0.26
    """
    width = math.cbrt(4.0 * volume / math.pi)
    return math.pi / 4.0 * width**2


def overfull(view: View) -> Iterator[Warning]:
    """Hot charge and froth allowance above the pot's working maximum."""
    needed = view["pot_volume_hot"] * (1.0 + view.charge.froth)
    limit = view.still.working_max
    yield from view.warn("pot-overfull", needed > limit * 1.001, volume=float(needed.max()), limit=limit)


def foams_over(view: View) -> Iterator[Warning]:
    """Swelling at the boil, by this charge's foam factor, beyond the room above the hot charge."""
    hot = np.maximum(view["pot_volume_hot"], 1e-6)
    flow = view["pot_vapour"] * GAS_CONSTANT * view["pot_temperature"] / (view.pressure + view["pot_gauge"])
    velocity = flow / pot_area(view.still.pot_volume)
    swells = view.charge.foam_factor * swelling(velocity)
    room = view.still.working_max / hot - 1.0
    over = (swells > room) & (view["pot_vapour"] > 1e-3)
    if over.any():
        worst = int(np.argmax(np.where(over, swells - room, -np.inf)))
        yield from view.warn(
            "foam-over",
            over,
            swelling=float(swells[worst]),
            room=max(float(room[worst]), 0.0),
            power=float(view["heat_to_pot"][worst]),
        )


def run_low(view: View) -> Iterator[Warning]:
    """The charge boils down to less than covers the heating surface while it is heated."""
    volume, limit = view["pot_volume_hot"], view.still.working_min
    low = (volume < limit) & (view["heater_power"] > 1.0)
    yield from view.warn("pot-low", low, volume=float(volume.min()), limit=limit)


def choked(view: View) -> Iterator[Warning]:
    """Pressure in the pot: column, dephlegmator or condenser let the vapour through too slowly."""
    gauge, limit = view["pot_gauge"], view.plan.limits.pot_gauge
    yield from view.warn("vapour-path-choked", gauge > limit, 5.0, gauge=float(gauge.max()), limit=limit)


CHECKS = (overfull, foams_over, run_low, choked)
