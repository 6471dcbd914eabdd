"""Ideal plates under a partial condenser: a run at nearly constant reflux against a construction at each instant.

Two constructions from pot liquid, distillate flow and heat taken (or reflux ratio), both marching down from the top:
with an enthalpy balance on every stage, and McCabe & Thiele's with constant molar overflow.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from scipy.optimize import brentq

from middlerun.alcoholometry import mole_fraction_from_volume_strength, volume_strength_from_mole_fraction
from middlerun.column import simulate_run
from middlerun.substances import dew_point, liquid_enthalpy, vapour_enthalpy
from validation import ideal

PRESSURE = ideal.ONE_ATMOSPHERE.pressure
POWER = 5e3  # W
PLATES = (1, 3, 6)
WATER = 1e-4  # m3/s through the dephlegmator: plenty, so that the heat it takes hardly changes
CONDUCTANCE = 60.0  # W/K
HOLD_UP = 1e-6  # m3 on every stage: no more than a spoonful, so that the column follows the pot at once
TIGHT = 1e-6  # of the steps, see the page


@dataclass(frozen=True, kw_only=True)
class Instant:
    """An instant of a run. Strengths in % vol, flows mol/s, heat W, time s."""

    plates: int
    time: float
    pot: float
    ratio: float
    simulated: float
    by_enthalpy: float
    by_overflow: float


def percent(x: float) -> float:
    """Return % vol of a mole fraction."""
    return 100.0 * float(volume_strength_from_mole_fraction(x))


def _vapour(y: float) -> tuple[float, float, float]:
    """Return the liquid in equilibrium with a saturated vapour, and both enthalpies in J/mol."""
    t, x = (float(v) for v in dew_point(y, PRESSURE))
    return x, float(liquid_enthalpy(x, t)), float(vapour_enthalpy(y, t))


def pot_under(y_top: float, plates: int, distillate: float, taken: float) -> float:
    """Return the pot's liquid under a distillate of y_top, by balances over the top part of the column.

    Between two stages V = L + D, V y = L x + D y_top, V H = L h + D H_top + Q; y is saturated vapour. Q is what the
    dephlegmator takes, its liquid the equilibrium of y_top.
    """
    x, h, top = _vapour(y_top)
    for _ in range(plates + 1):  # the dephlegmator's reflux, then that of each plate: vapour that rises to meet it
        y = _below(x, h, y_top, top, distillate, taken)
        x, h, _ = _vapour(y)
    return x


def _below(x: float, h: float, y_top: float, top: float, distillate: float, taken: float) -> float:
    def gap(y: float) -> float:
        reflux = distillate * (y_top - y) / (y - x)
        return (reflux + distillate) * _vapour(y)[2] - reflux * h - distillate * top - taken

    width = y_top - x
    return brentq(gap, x + 1e-9 * width + 1e-12, y_top - 1e-12, xtol=1e-13)


def pot_by_overflow(y_top: float, plates: int, ratio: float) -> float:
    """Return the pot's liquid by constant molar overflow: y = (R x + y_top)/(R + 1) between all stages."""
    x, _, _ = _vapour(y_top)
    for _ in range(plates + 1):
        x, _, _ = _vapour((ratio * x + y_top) / (ratio + 1.0))
    return x


def _distillate(pot: Callable[[float], float], x_pot: float) -> float:
    return brentq(lambda y: pot(y) - x_pot, x_pot, 0.885, xtol=1e-11)


@functools.cache
def compare(plates: int, tolerance: float = TIGHT) -> tuple[Instant, ...]:
    """Simulate 100 L of 12 % vol and construct eight instants, twenty minutes apart."""
    still = ideal.still(plates, power=POWER, conductance=CONDUCTANCE, hold_up=HOLD_UP)
    phase = ideal.phase("all", 7.0 * 3600.0, POWER, plates, water=WATER, hold_up=HOLD_UP)
    run = simulate_run(
        still, ideal.charge(0.1, 0.12, 345.0), ideal.ONE_ATMOSPHERE, [phase], every=60.0, tolerance=tolerance
    )
    s = dict(zip(run.names, run.series, strict=True))
    running = np.flatnonzero(s["distillate"] > 1e-3)
    found = []
    for i in np.linspace(running[0] + 20, running[-1], 8).astype(int):
        x_pot = float(mole_fraction_from_volume_strength(s["pot_strength"][i]))
        y, ratio = float(s["distillate_ethanol"][i]), float(s["reflux_ratio"][i])
        flow, taken = float(s["distillate"][i]), float(s["dephlegmator_heat"][i])
        by_enthalpy = partial(pot_under, plates=plates, distillate=flow, taken=taken)
        by_overflow = partial(pot_by_overflow, plates=plates, ratio=ratio)
        found.append(
            Instant(
                plates=plates, time=float(s["time"][i]), pot=100.0 * float(s["pot_strength"][i]), ratio=ratio,
                simulated=percent(y),
                by_enthalpy=percent(_distillate(by_enthalpy, x_pot)),
                by_overflow=percent(_distillate(by_overflow, x_pot)),
            )
        )  # fmt: skip
    return tuple(found)
