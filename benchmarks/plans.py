"""The plans that are measured: the demo plan, the same with other numbers of plates, longer ones, a thousand others."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np

from middlerun.plan import Charge, Plan, Weather, load_plan
from middlerun.run import Ends, Phase, Procedure, library_procedure
from middlerun.still import library_still

ROOT = Path(__file__).parent.parent
DEMO = ROOT / "examples" / "demo-plan.toml"


def demo() -> Plan:
    """Return the demo plan as it is."""
    return load_plan(DEMO)


def with_plates(plan: Plan, count: int) -> Plan:
    """Return the plan with another number of like plates; weir settings go on in the same order."""
    old = plan.still.column.plates
    plates = tuple(old[i * len(old) // count] for i in range(count))
    still = dataclasses.replace(plan.still, column=dataclasses.replace(plan.still.column, plates=plates))
    phases = tuple(
        phase if phase.levels is None
        else dataclasses.replace(phase, levels=tuple(phase.levels[i * len(old) // count] for i in range(count)))
        for phase in plan.procedure.phases
    )  # fmt: skip
    procedure = dataclasses.replace(plan.procedure, phases=phases)
    return dataclasses.replace(plan, still=still, procedure=procedure, name=f"{plan.name}, {count} plates")


def at_pressure(plan: Plan, pressure: float) -> Plan:
    """Return the plan on a day of another pressure, Pa."""
    weather = dataclasses.replace(plan.weather, pressure=pressure, altitude=None)
    return dataclasses.replace(plan, weather=weather)


def lasting(plan: Plan, cycles: int) -> Plan:
    """Return the demo's heating up, then `cycles` of ten minutes at 6 kW and ten at 4 kW under total reflux."""
    phases = list(plan.procedure.phases[:4])
    for i in range(cycles):
        for power in (6e3, 4e3):
            phases.append(Phase(name=f"cycle {i + 1} at {power:.0f} W", heater=power, ends=Ends(time=600.0)))
    procedure = Procedure(name=f"{cycles} cycles", phases=tuple(phases))
    limits = dataclasses.replace(plan.limits, day=48 * 3600.0)
    return dataclasses.replace(plan, procedure=procedure, limits=limits)


def different(count: int, every: float) -> list[Plan]:
    """Return `count` different runs of the library's 3-plate still: charge, heaters, holds, waters, pressures all vary.

    Drawn evenly and repeatably: charge 60 to 78 L of 5 to 14 % vol at 8 to 22 °C, heaters 0.85 to 1.15 times the
    procedure's, holds 79 to 83 % vol, water 6 to 18 °C, room 10 to 25 °C, 92 to 104 kPa.
    """
    rng = np.random.default_rng(1973)
    still, base = library_still("bain-marie-100-3-plates"), library_procedure("single-pass-with-plates")
    plans = []
    for i in range(count):
        power, hold = rng.uniform(0.85, 1.15), rng.uniform(0.79, 0.83)
        phases = []
        for phase in base.phases:
            changes = {}
            for key in ("heater", "heater_share"):
                if getattr(phase, key) is not None:
                    changes[key] = min(getattr(phase, key) * power, 1.0 if key == "heater_share" else 12e3)
            if phase.hold_head_strength is not None and phase.fraction == "hearts":
                changes["hold_head_strength"] = hold
            phases.append(dataclasses.replace(phase, **changes))
        charge = Charge(
            volume=rng.uniform(0.060, 0.078), strength=rng.uniform(0.05, 0.14), temperature=rng.uniform(281.0, 295.0)
        )
        weather = Weather(
            pressure=rng.uniform(92e3, 104e3), room=rng.uniform(283.0, 298.0), water=rng.uniform(279.0, 291.0)
        )
        plans.append(
            Plan(
                name=f"run {i + 1}", invented=True, still=still, charge=charge, weather=weather, report_every=every,
                procedure=dataclasses.replace(base, phases=tuple(phases)),
            )
        )  # fmt: skip
    return plans
