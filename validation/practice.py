"""What practice expects of a small still, against the reference still whose values were frozen before the check.

All ranges are common practice, without a published source. Nothing was fitted to them.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from middlerun.plan import Charge, Plan, Run, Weather, predict
from middlerun.run import Ends, Phase, Procedure
from middlerun.still import library_still

STILL = "bain-marie-100-3-plates"
CHARGE = Charge(volume=0.075, strength=0.14, temperature=288.15, kind="wine")
WEATHER = Weather(pressure=101325.0, room=291.15, water=288.15)
POWERS = (4000.0, 4500.0, 5000.0)  # W, while the head is held
STRENGTHS = (0.80, 0.825, 0.85)  # held
OUTLETS = (313.15, 323.15, 333.15)  # K, at which the condenser's water is held
FIRST = 1e-4  # m3, the first product
DWINDLED = 0.3e-3 / 600.0  # m3/s: with less than 0.3 L in 10 min under the hold, it is time for the tails
SETTLED = 0.005  # volume strength, within which the product is what is held


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One expectation: range and found values (lowest, highest over all ways to run), both in `unit`."""

    what: str
    unit: str
    low: float
    high: float
    found: tuple[float, float]
    middle: tuple[float, float]  # of the run in the middle: 4.5 kW, 82.5 % vol, condenser water held at 50 Cel
    how: str

    @property
    def met_in_the_middle(self) -> bool:
        """Whether the middle run meets it."""
        return all(self.low <= value <= self.high for value in self.middle)

    @property
    def met(self) -> str:
        """Say whether every way to run meets it, some do, or none does."""
        inside = [self.low <= value <= self.high for value in self.found]
        if all(inside):
            return "met"
        return "partly met" if any(inside) or self.found[0] < self.low < self.high < self.found[1] else "missed"


def procedure(power: float, strength: float, outlet: float) -> Procedure:
    """Heat up at full power, vent open at first; half an hour of total reflux; hold the head; tails."""
    return Procedure(
        name="as practised", needs="plates",
        phases=(
            Phase(
                name="heat up", heater=12e3, dephlegmator_water_share=0.0, condenser_water_share=0.4, level="usual",
                agitator=True, vent_open=True, ends=Ends(pot_temperature=355.15),
            ),
            Phase(
                name="to the boil", vent_open=False, dephlegmator_water_share=1.0,
                ends=Ends(head_temperature=343.15, time=1500.0),
            ),
            Phase(name="total reflux", heater=power, ends=Ends(time=1800.0)),
            Phase(
                name="hearts", fraction="hearts", hold_head_strength=strength, hold_condenser_out=outlet,
                ends=Ends(pot_temperature=371.95, time=8.0 * 3600.0),
            ),
            Phase(
                name="tails", fraction="tails", heater=8e3, dephlegmator_water_share=0.0, level="low",
                ends=Ends(product_strength=0.10, time=3600.0),
            ),
        ),
    )  # fmt: skip


@functools.cache
def run(power: float, strength: float, outlet: float = 323.15) -> Run:
    """Predict one way to run."""
    return predict(
        Plan(
            name="common practice", still=library_still(STILL), charge=CHARGE, weather=WEATHER,
            procedure=procedure(power, strength, outlet), report_every=5.0,
        )
    )  # fmt: skip


class _Hearts:
    """What is read off the phase in which the head is held."""

    def __init__(self, run: Run, held: float) -> None:
        s, phase = run.series, run.phases[3]
        inside = (s["time"] >= phase.start) & (s["time"] <= phase.end)
        self.time = s["time"][inside] - phase.start
        self.pot = s["pot_temperature"][inside] - 273.15
        self.rate, self.strength = s["product_rate"][inside], np.nan_to_num(s["product_strength"][inside])
        self.water, self.out = s["condenser_water_flow"][inside], s["condenser_water_out"][inside]
        away = np.flatnonzero(abs(self.strength - held) > SETTLED)
        self.settled = int(away[-1]) + 1
        self.passes_97 = int(np.argmax(self.pot > 97.0))
        running = np.flatnonzero(self.rate > 0.0)
        self.dwindled = int(running[-1])
        for i in range(self.settled, len(self.rate)):
            if self.rate[i] < DWINDLED:
                self.dwindled = i
                break

    def first_product(self) -> float:
        """Mean strength of the first product."""
        volume = np.cumsum(self.rate) * (self.time[1] - self.time[0])
        some = volume <= max(FIRST, volume[np.argmax(volume > 0.0)])
        return float(np.sum((self.rate * self.strength)[some]) / np.sum(self.rate[some]))

    def held_water(self, outlet: float) -> np.ndarray:
        """Condenser water while its outlet is within 1 K of what is held, product settled, pot below 97 Cel."""
        part = slice(self.settled, self.passes_97)
        return self.water[part][abs(self.out[part] - outlet) < 1.0]


def _ends(values: np.ndarray) -> tuple[float, float]:
    return float(values.min()), float(values.max())


def _span(values: list[float], middle: slice = slice(4, 5)) -> dict[str, tuple[float, float]]:
    """Return lowest and highest over all ways, and over the middle one."""
    return {"found": (min(values), max(values)), "middle": (min(values[middle]), max(values[middle]))}


@functools.cache
def findings() -> tuple[Finding, ...]:
    """Run every way and find what practice looks at."""
    ways = [(p, s) for p in POWERS for s in STRENGTHS]
    runs = [run(*way) for way in ways]
    hearts = [_Hearts(r, s) for r, (_, s) in zip(runs, ways, strict=True)]
    boils = [r.totals["time_to_boil"] for r in runs]
    boil_at = [
        float(np.interp(t + 30.0, r.series["time"], r.series["pot_temperature"]))
        for t, r in zip(boils, runs, strict=True)
    ]
    ten = 6e5  # m3/s to L in 10 min
    outlets = [_Hearts(run(4500.0, 0.825, outlet), 0.825) for outlet in OUTLETS]
    waters = [3.6e6 * h.held_water(outlet) for h, outlet in zip(outlets, OUTLETS, strict=True)]
    return (
        Finding(
            what="time to the boil at full power", unit="min", low=40, high=65, **_span([t / 60.0 for t in boils]),
            how="first vapour leaves the charge",
        ),
        Finding(
            what="the charge boils at", unit="°C", low=90, high=91.5, **_span([t - 273.15 for t in boil_at]),
            how="pot half a minute after the first vapour",
        ),
        Finding(
            what="strength of the first product after half an hour of total reflux", unit="% vol", low=90, high=96.5,
            **_span([100.0 * h.first_product() for h in hearts]), how="mean of the first 0.1 L",
        ),
        Finding(
            what="product in 10 min, early", unit="L", low=0.7, high=1.2,
            **_span([ten * float(h.rate[h.settled]) for h in hearts]),
            how="as soon as the product stays within 0.5 % vol of what is held",
        ),
        Finding(
            what="product in 10 min, mean of the first hour", unit="L", low=0.7, high=1.2,
            **_span([ten * float(h.rate[h.time <= 3600.0].mean()) for h in hearts]),
            how="from the moment the head is held, its first swing included",
        ),
        Finding(
            what="product in 10 min when the pot passes 97 °C", unit="L", low=0, high=0.6,
            **_span([ten * float(h.rate[h.passes_97]) for h in hearts]), how="",
        ),
        Finding(
            what="pot when the tails come", unit="°C", low=98, high=99,
            **_span([float(h.pot[h.dwindled]) for h in hearts]),
            how="under the hold less than 0.3 L comes in 10 min",
        ),
        Finding(
            what="jacket gauge, whole run", unit="bar", low=0, high=0.5,
            **_span(
                [round(1e-5 * float(v), 2) for r in runs for v in _ends(r.series["jacket_gauge"])], slice(8, 10)
            ),
            how="read to 0.01 bar",
        ),
        Finding(
            what="condenser water held at 40 to 60 °C", unit="L/h", low=15, high=60,
            **_span([float(v) for w in waters for v in (w.min(), w.max())], slice(2, 4)),
            how="4.5 kW, 82.5 % vol; while the outlet keeps to 40, 50, 60 °C within 1 K and the pot is below 97 °C",
        ),
    )  # fmt: skip
