"""Runs for the tests of this room: a still's numbers, a charge, a day and phases, ready for `simulate_run`."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from middlerun.column import Day, End, Outcome, PhaseSettings, PotCharge, simulate_run
from middlerun.plan import Plan, charge_numbers, load_plan, phase_settings, pressure_of
from middlerun.plan.engine import pot_charge
from middlerun.still import StillNumbers, library_still, resolve

DEMO = Path(__file__).parents[2] / "examples" / "demo-plan.toml"


@dataclass(frozen=True, kw_only=True)
class Case:
    """What `simulate_run` takes."""

    numbers: StillNumbers
    charge: PotCharge
    day: Day
    settings: tuple[PhaseSettings, ...]

    def run(self, **options) -> Outcome:
        """Simulate it."""
        return simulate_run(self.numbers, self.charge, self.day, self.settings, **options)

    def cut(self, phases: int, at_most: float) -> Case:
        """Return the first `phases` phases, the last of them ended after `at_most` s and by nothing else."""
        last = replace(self.settings[phases - 1], ends=(), at_most=at_most)
        return replace(self, settings=(*self.settings[: phases - 1], last))


def case_of(plan: Plan) -> Case:
    """Return a plan as numbers."""
    numbers = resolve(plan.still)
    return Case(
        numbers=numbers,
        charge=pot_charge(charge_numbers(plan.charge)),
        day=Day(pressure=pressure_of(plan.weather), room=plan.weather.room, water=plan.weather.water),
        settings=phase_settings(plan, numbers),
    )


def demo() -> Case:
    """Return the demo plan."""
    return case_of(load_plan(DEMO))


def column_of(n_plates: int, dephlegmator_stages: int = 1, still: str = "bain-marie-150-4-plates") -> Case:
    """Return a made-up run on a library still given other plates, with phases of every kind, ended by time alone.

    None of them can fail on any number of plates.
    """
    numbers = replace(resolve(library_still(still)), dephlegmator_stages=dephlegmator_stages)
    plates = (numbers.plates * 8)[:n_plates]
    numbers = replace(numbers, plates=plates)
    usual, low = tuple(p.level for p in plates), tuple(p.level_min for p in plates)
    full, tap = numbers.dephlegmator_water_max, numbers.condenser_water_max
    go_on = {"dephlegmator_flow": math.nan, "condenser_flow": 0.3 * tap, "agitated": True}

    def phase(name: str, minutes: float, kilowatts: float, **settings: Any) -> PhaseSettings:
        settings = {"condenser_flow": tap, "levels": usual, "bypassed": (False,) * n_plates, **settings}
        end = End(channel="time", threshold=60.0 * minutes, rising=True, name="time")
        return PhaseSettings(name=name, heater=1e3 * kilowatts, ends=(end,), **settings)

    settings = (
        phase("heat up", 35, 18, agitated=True, vent_open=True),
        phase("thermostat", 5, 18, jacket_setpoint=371.0),
        phase("boil up", 23, 12, dephlegmator_flow=full),
        phase("total reflux", 20, 6, dephlegmator_flow=full),
        phase("held", 20, 5, head_setpoint=354.0, **go_on),
        phase("weirs down", 15, 5, head_setpoint=355.0, levels=low, **go_on),
        phase("bypass", 15, 6, head_setpoint=357.0, bypassed=tuple(k == 0 for k in range(n_plates)), **go_on),
        phase("warm water", 10, 6, dephlegmator_flow=0.1 * full, condenser_setpoint=325.0),
        phase("drained", 15, 9, levels=(0.0,) * n_plates),
        phase("shut down", 10, 0, levels=(0.0,) * n_plates),
    )
    charge = PotCharge(
        ethanol=130.0, water=5060.0, temperature=290.0, pure_alcohol=7.6e-3, solids_heat_capacity=4e3,
        solids_volume=1e-3, solutes=10.0, heat_transfer=0.9,
    )  # fmt: skip
    return Case(numbers=numbers, charge=charge, day=Day(pressure=97e3, room=291.0, water=286.0), settings=settings)
