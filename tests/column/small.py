"""Small fast runs for the laws: a still as numbers, a charge of ethanol and water, phases by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt
from hypothesis import settings

from middlerun.alcoholometry import density, mass_fraction
from middlerun.column import Day, End, Outcome, PhaseSettings, PotCharge, simulate_run
from middlerun.still import StillNumbers, library_still, resolve
from middlerun.substances import MOLAR_MASS_ETHANOL, MOLAR_MASS_WATER

FloatArray = npt.NDArray[np.float64]

few = settings(max_examples=6, deadline=None, derandomize=True)
L_PER_H = 1e-3 / 3600.0
PLATED, POT, STEAM = "bain-marie-100-3-plates", "electric-pot-30", "steam-jacket-300-2-plates"
DAY = Day(pressure=101325.0, room=293.15, water=288.15)
REFERENCE = 293.15  # K
VAPOUR = 5e-3  # mol/s, 200 W of vapour: the charge boils


@dataclass(frozen=True, kw_only=True)
class Seen:
    """A run: its outcome, and its series by name."""

    outcome: Outcome

    def __getitem__(self, name: str) -> FloatArray:
        return np.asarray(self.outcome.series[self.outcome.names.index(name)])

    @property
    def phases(self) -> Any:
        return self.outcome.phases

    def at(self, name: str, time: float) -> float:
        """Return the value of a series at a time (s)."""
        return float(np.interp(time, self["time"], self[name]))

    def boils_at(self) -> float:
        """Return the time (s) of the first vapour from the charge; infinity if none comes."""
        there = np.flatnonzero(self["pot_vapour"] > VAPOUR)
        return float(self["time"][there[0]]) if len(there) else math.inf

    def running(self, index: int = -1) -> npt.NDArray[np.bool_]:
        """Return where product runs (in one phase: its index)."""
        runs = self["distillate"] > VAPOUR
        return runs if index < 0 else runs & (self["phase_index"] == index)


def still(name: str = PLATED, **changes: Any) -> StillNumbers:
    """Return a library still's numbers with some changed."""
    return replace(resolve(library_still(name)), **changes)


def on_plates(numbers: StillNumbers, count: int | None = None, **changes: Any) -> StillNumbers:
    """Return the still with so many plates, all like its first one but for the changes."""
    first = replace(numbers.plates[0], **changes)
    return replace(numbers, plates=(first,) * (len(numbers.plates) if count is None else count))


def charge(volume: float = 0.06, strength: float = 0.10, temperature: float = 288.15, **more: float) -> PotCharge:
    """Return m3 at 20 Cel of ethanol and water with this volume strength, at a temperature in K."""
    p = float(mass_fraction(strength))
    mass = volume * float(density(p, REFERENCE))
    return PotCharge(
        ethanol=mass * p / MOLAR_MASS_ETHANOL,
        water=mass * (1.0 - p) / MOLAR_MASS_WATER,
        temperature=temperature,
        pure_alcohol=volume * strength,
        **more,
    )


def volume_at_20(ethanol: float, water: float) -> float:
    """Return the volume (m3) at 20 Cel of so many moles, by the density of OIML R 22."""
    mass = ethanol * MOLAR_MASS_ETHANOL + water * MOLAR_MASS_WATER
    return mass / float(density(ethanol * MOLAR_MASS_ETHANOL / mass, REFERENCE))


def phase(numbers: StillNumbers, minutes: float, heater: float, **more: Any) -> PhaseSettings:
    """Return a phase of so many minutes: condenser open, plates at their usual level, dephlegmator off."""
    count = len(numbers.plates)
    given: dict[str, Any] = {
        "name": "x",
        "heater": heater,
        "condenser_flow": numbers.condenser_water_max,
        "levels": tuple(plate.level for plate in numbers.plates),
        "bypassed": (False,) * count,
        "ends": (End(channel="time", threshold=60.0 * minutes, rising=True, name="time"),),
    }
    return PhaseSettings(**(given | more))


def end(channel: str, threshold: float, *, rising: bool = True) -> tuple[End, ...]:
    """Return one end condition."""
    return (End(channel=channel, threshold=threshold, rising=rising, name=channel),)


def seen(numbers: StillNumbers, pot: PotCharge, phases: Sequence[PhaseSettings], day: Day = DAY, **more: Any) -> Seen:
    """Run it."""
    return Seen(outcome=simulate_run(numbers, pot, day, phases, **more))


def distilled(
    numbers: StillNumbers, pot: PotCharge, water: float, minutes: float = 60.0, power: float = 0.5, **more: Any
) -> Seen:
    """Heat up at full power to 80 Cel, then distil at a share of it with this dephlegmator water (m3/s)."""
    day = more.pop("day", DAY)
    how = {key: more.pop(key) for key in ("every", "tolerance") if key in more}
    warm = phase(numbers, 0.0, numbers.heater_max, ends=end("pot_temperature", 353.15), **more)
    still_running = phase(numbers, minutes, power * numbers.heater_max, dephlegmator_flow=water, **more)
    return seen(numbers, pot, [warm, still_running], day, **how)


def scaled(numbers: StillNumbers, k: float) -> StillNumbers:
    """Return a still k times as large: volumes, areas, flows, conductances, power, metal; lengths and times stay."""
    extensive = {
        name: k * getattr(numbers, name)
        for name in vars(numbers)
        if isinstance(getattr(numbers, name), float) and name not in _INTENSIVE
    }
    plates = tuple(replace(p, **{name: k * getattr(p, name) for name in _PLATE_EXTENSIVE}) for p in numbers.plates)
    return replace(numbers, plates=plates, **extensive)


_INTENSIVE = (
    "cold_share", "cold_share_agitated", "flue_loss", "relief_gauge", "steam_gauge", "dephlegmator_drain_time",
    "parrot_heat_lag", "pot_lag", "head_lag", "strength_lag", "valve_lag", "integral_time",
)  # fmt: skip
_PLATE_EXTENSIVE = ("level", "level_min", "level_max", "hole_area", "active_area", "heat_capacity", "heat_loss")
