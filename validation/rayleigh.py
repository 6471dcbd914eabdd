"""A pot without plates, reflux and losses against the Rayleigh integral."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from middlerun.alcoholometry import (
    density,
    mass_fraction_from_mole_fraction,
    volume_strength,
)
from middlerun.column import End, simulate_run
from middlerun.column.kernels import layout as at
from middlerun.substances import MOLAR_MASS_ETHANOL, MOLAR_MASS_WATER, bubble_point
from validation import ideal
from validation.reading import rows

TABLE = Path(__file__).parent / "rayleigh-integral" / "runs.csv"
CHARGE = 0.1  # m3
POWER = 5e3  # W


@dataclass(frozen=True, kw_only=True)
class Moment:
    """A moment of a run, named by the distillate so far (m3 at 20 Cel). Strengths 1, temperature Cel, recovery 1."""

    distillate: float
    mean: float
    momentary: float
    pot_temperature: float
    recovery: float
    pot: float


def _volume(ethanol: float, water: float) -> float:
    mass = ethanol * MOLAR_MASS_ETHANOL + water * MOLAR_MASS_WATER
    return mass / float(density(ethanol * MOLAR_MASS_ETHANOL / mass, ideal.REFERENCE))


def _strength(mole_fraction: float) -> float:
    return float(volume_strength(mass_fraction_from_mole_fraction(mole_fraction)))


def integral(strength: float, distillates: np.ndarray) -> list[Moment]:
    """Integrate dE/dD = y(E/(E + W)) over moles distilled, D, with an explicit high-order method at 1e-11."""
    charge = ideal.charge(CHARGE, strength)
    total = charge.ethanol + charge.water

    def slope(distilled: float, left: np.ndarray) -> list[float]:
        return [-float(bubble_point(left[0] / (total - distilled), ideal.ONE_ATMOSPHERE.pressure)[1])]

    solved = solve_ivp(slope, (0.0, 0.45 * total), [charge.ethanol], "DOP853", rtol=1e-11, atol=1e-9, dense_output=True)

    def over(distilled: float) -> tuple[float, float]:
        ethanol = charge.ethanol - float(solved.sol(distilled)[0])
        return ethanol, distilled - ethanol

    found = []
    for volume in distillates:
        distilled = brentq(lambda d, v=volume: _volume(*over(d)) - v, 1e-6 * total, 0.45 * total, xtol=1e-9)
        ethanol, _ = over(distilled)
        x = (charge.ethanol - ethanol) / (total - distilled)
        boil, y = bubble_point(x, ideal.ONE_ATMOSPHERE.pressure)
        found.append(
            Moment(
                distillate=volume, mean=_strength(ethanol / distilled), momentary=_strength(float(y)),
                pot_temperature=float(boil) - 273.15, recovery=ethanol / charge.ethanol, pot=_strength(x),
            )
        )  # fmt: skip
    return found


def engine(strength: float, distillates: np.ndarray) -> list[Moment]:
    """Simulate until so much has been distilled, read state and last vapour; the parrot's content counts."""
    return [_until(strength, float(volume)) for volume in distillates]


def _until(strength: float, volume: float) -> Moment:
    charge, collected = ideal.charge(CHARGE, strength), volume
    for _ in range(3):  # the parrot holds a few mL: stop that much earlier
        end = End(channel="collected", threshold=collected, rising=True, name="collected")
        phase = replace(ideal.phase("boil", 0.0, POWER), ends=(end,))
        run = simulate_run(ideal.still(0, power=POWER), charge, ideal.ONE_ATMOSPHERE, [phase], keep_nodes=True)
        wet = run.packed.state[len(run.state) - at.N_DOWN + at.D_PARROT_W]
        ethanol = run.phases[-1].ethanol + run.down(at.D_PARROT_E)
        water = run.phases[-1].water + run.down(at.D_PARROT_W) - wet
        collected += volume - _volume(ethanol, water)
    last, (pot_ethanol, pot_water) = run.nodes[-1], run.held()[0]
    return Moment(
        distillate=_volume(ethanol, water), mean=_strength(ethanol / (ethanol + water)),
        momentary=_strength(last[at.R_PRODUCT_E] / (last[at.R_PRODUCT_E] + last[at.R_PRODUCT_W])),
        pot_temperature=float(last[at.N_REPORT + at.Q_T]), recovery=ethanol / charge.ethanol,
        pot=_strength(pot_ethanol / (pot_ethanol + pot_water)),
    )  # fmt: skip


@functools.cache
def compare() -> tuple[tuple[float, Moment, Moment, Moment], ...]:
    """Return charge strength, published row, integral and engine, for every row of the table."""
    found = []
    for strength, table in published().items():
        volumes = np.array([row.distillate for row in table])
        found += [
            (strength, *three)
            for three in zip(table, integral(strength, volumes), engine(strength, volumes), strict=True)
        ]
    return tuple(found)


def published() -> dict[float, list[Moment]]:
    """Rows of the table by charge strength."""
    found: dict[float, list[Moment]] = {}
    for row in rows(TABLE):
        found.setdefault(float(row["charge_vol_pct"]) / 100.0, []).append(
            Moment(
                distillate=1e-3 * float(row["distillate_l"]), mean=float(row["mean_vol_pct"]) / 100.0,
                momentary=float(row["momentary_vol_pct"]) / 100.0, pot_temperature=float(row["pot_cel"]),
                recovery=float(row["recovery_pct"]) / 100.0, pot=float(row["pot_vol_pct"]) / 100.0,
            )
        )  # fmt: skip
    return found
