"""Ideal stages at total reflux against the stage-by-stage construction."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from pathlib import Path

from middlerun.alcoholometry import mole_fraction_from_volume_strength, volume_strength_from_mole_fraction
from middlerun.column import simulate_run
from middlerun.substances import bubble_point
from validation import ideal
from validation.reading import rows

TABLE = Path(__file__).parent / "total-reflux" / "stages.csv"
POWER = 5e3  # W
EFFICIENCIES = (0.35, 0.65, 0.8)  # as good as plates of small stills are
POT = 1.0  # m3: what ten plates hold would not be missed


@dataclass(frozen=True, kw_only=True)
class Row:
    """Strength of the vapour at the top, in % vol: published (None where it is not), constructed, simulated."""

    pot: float  # % vol, nominal
    stages: int  # counted with the pot
    published: float | None
    constructed: float
    simulated: float


def constructed(x_pot: float, stages: int) -> float:
    """Return the vapour's mole fraction over so many stages: vapour of one stage is the liquid of the next."""
    y = x_pot
    for _ in range(stages):
        y = float(bubble_point(y, ideal.ONE_ATMOSPHERE.pressure)[1])
    return y


def simulated(strength: float, stages: int, dephlegmator_stages: int = 1) -> tuple[float, float]:
    """Simulate to the steady state; return the mole fractions of the pot's liquid and of the dephlegmator's condensate.

    The dephlegmator condenses everything, so that its condensate has the composition of the vapour that reached it.
    """
    plates = stages - 1
    still = ideal.still(plates, power=POWER, conductance=2000.0, stages=dephlegmator_stages)
    phases = [
        ideal.phase("heat up", 7200.0, POWER, plates, water=2e-4),
        ideal.phase("total reflux", 3600.0 * 10.0, POWER, plates, water=2e-4),
    ]
    run = simulate_run(still, ideal.charge(POT, strength, 353.15), ideal.ONE_ATMOSPHERE, phases, every=600.0)
    held = run.held()
    assert sum(phase.ethanol for phase in run.phases) < 1e-3  # mol: nothing comes over
    return float(held[0, 0] / held[0].sum()), float(held[plates + 1, 0] / held[plates + 1].sum())


@functools.cache
def with_efficiency(strength: float, plates: int, efficiency: float) -> tuple[float, float]:
    """Simulate plates of this Murphree efficiency; return the top's % vol simulated and constructed.

    At total reflux the liquid on a plate has the composition of the vapour that reaches it, so that
    y_n = y_(n-1) + E (y*(y_(n-1)) - y_(n-1)). E is what the run reports: it follows the liquid that a plate holds. It
    is meant for vapour that passes; what a plate evaporates on top (vapour leaving over vapour arriving: ethanol takes
    less heat) leaves in equilibrium.
    """
    still = ideal.still(plates, power=POWER, conductance=2000.0, hold_up=1e-4)
    still = replace(still, plates=tuple(replace(p, efficiency=efficiency) for p in still.plates))
    water = {"water": 2e-4, "hold_up": 1e-4}
    phases = [
        ideal.phase("heat up", 7200.0, POWER, plates, **water),
        ideal.phase("total reflux", 36000.0, POWER, plates, **water),
    ]
    run = simulate_run(still, ideal.charge(POT, strength, 353.15), ideal.ONE_ATMOSPHERE, phases, every=600.0)
    series, held = dict(zip(run.names, run.series, strict=True)), run.held()
    y = float(bubble_point(held[0, 0] / held[0].sum(), ideal.ONE_ATMOSPHERE.pressure)[1])
    for k in range(1, plates + 1):
        arriving, leaving = (float(series[name][-1]) for name in (_below(k), f"plate_{k}_vapour"))
        passed = min(arriving / leaving, 1.0)
        e = passed * float(series[f"plate_{k}_efficiency"][-1]) + 1.0 - passed
        y += e * (float(bubble_point(y, ideal.ONE_ATMOSPHERE.pressure)[1]) - y)
    return percent(float(held[-1, 0] / held[-1].sum())), percent(y)


def _below(k: int) -> str:
    return "pot_vapour" if k == 1 else f"plate_{k - 1}_vapour"


def cases() -> list[tuple[float, int, float | None]]:
    """Return pot % vol, stages and published % vol of the table's rows, and of 8 plates over each of its pots."""
    table = [(float(r["pot_vol_pct"]), int(r["stages"]), float(r["top_vol_pct"])) for r in rows(TABLE)]
    return [*table, *((pot, 9, None) for pot in sorted({pot for pot, *_ in table}))]


@functools.cache
def compare() -> tuple[Row, ...]:
    """Run every case."""
    found = []
    for pot, stages, published in cases():
        _, top = simulated(pot / 100.0, stages)
        x = float(mole_fraction_from_volume_strength(pot / 100.0))
        found.append(
            Row(
                pot=pot, stages=stages, published=published, constructed=percent(constructed(x, stages)),
                simulated=percent(top),
            )
        )  # fmt: skip
    return tuple(found)


def percent(mole_fraction: float) -> float:
    """Return % vol of a mole fraction."""
    return 100.0 * float(volume_strength_from_mole_fraction(mole_fraction))
