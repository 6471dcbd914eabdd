"""Balances of every library still under every ready procedure for it, with every sensible charge."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import numpy as np
import pytest

from middlerun.errors import NeverEndsError
from middlerun.plan import (
    Charge,
    Plan,
    Run,
    Weather,
    charge_kind,
    charge_numbers,
    hot_volume,
    load_plan,
    predict,
    pressure_of,
)
from middlerun.run import library_procedure, procedure_names
from middlerun.still import library_names, library_still

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
WEATHER = Weather(altitude=420.0)
KINDS = ("plum-mash", "wine", "grain-wash", "low-wines")
FILLS = (0.0, 1.0)  # from the working minimum to the working maximum


def _pairs() -> list[tuple[str, str]]:
    needs = {name: library_procedure(name).needs for name in procedure_names()}
    plated = {name: library_still(name).column is not None for name in library_names()}
    fits = {"any": (True, False), "plates": (True,), "no plates": (False,)}
    return [(s, p) for s, p in product(library_names(), procedure_names()) if plated[s] in fits[needs[p]]]


def _charge(still: str, kind: str, fill: float) -> Charge:
    """Return a charge of the kind's usual strength between the pot's limits; both are counted hot and with froth."""
    pot = library_still(still).pot
    found = Charge(volume=pot.working_min, strength=charge_kind(kind).strength.value, kind=kind)
    numbers = charge_numbers(found)
    most = 0.99 * numbers.volume * pot.working_max / (hot_volume(numbers, pressure_of(WEATHER)) * (1.0 + numbers.froth))
    return Charge(volume=pot.working_min + fill * (most - pot.working_min), strength=found.strength, kind=kind)


def _check(run: Run) -> None:
    assert abs(run.balance["ethanol"]) <= 1e-9
    assert abs(run.balance["water"]) <= 1e-9
    assert abs(run.balance["energy"]) <= 1e-6
    for name, row in run.series.items():
        known = row[~np.isnan(row)]
        if name.endswith(("_strength", "_ethanol")):
            assert known.min(initial=0.0) >= 0.0, name
            assert known.max(initial=0.0) <= 1.0, name
        if name.endswith(("_liquid", "_vapour", "_volume", "reflux", "distillate", "uncondensed", "_alcohol")):
            assert known.min(initial=0.0) >= 0.0, name
    # Alcohol by the run's own totals, which are counted apart from the balance.
    charged = run.totals["charge_pure_alcohol"]
    left = run.totals["pot_volume_end"] * run.totals["pot_strength_end"] + run.totals["plates_pure_alcohol_end"]
    lost = 5.84e-5 * run.totals["uncondensed"]  # m3, were all of it ethanol
    out = run.totals["collected_pure_alcohol"]
    assert charged - lost - 1e-4 * charged <= out + left <= charged * (1.0 + 1e-4)


@pytest.mark.parametrize(("still", "procedure"), _pairs())
def test_balances_close_for_every_still_and_procedure(still: str, procedure: str) -> None:
    """Ethanol and water to 1e-9, energy to 1e-6, nothing negative: all kinds of charge, least and most fill.

    A phase that never ends with a charge it is not meant for is said so; it must not be the rule.
    """
    closed = 0
    for kind, fill in product(KINDS, FILLS):
        plan = Plan(
            name="balance",
            still=library_still(still),
            procedure=library_procedure(procedure),
            charge=_charge(still, kind, fill),
            weather=WEATHER,
            report_every=30.0,
        )
        try:
            run = predict(plan)
        except NeverEndsError:
            continue
        _check(run)
        closed += 1
    assert closed >= 6


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_balances_close_for_every_example(path: Path) -> None:
    _check(predict(load_plan(path)))
