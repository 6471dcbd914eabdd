"""Plans and made-up runs for the tests of this room."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from middlerun.plan import Charge, Fraction, PhaseResult, Plan, Run, Weather
from middlerun.plan.settings import phase_settings
from middlerun.run import Ends, Phase, Procedure
from middlerun.still import library_still, resolve

PLATED = "bain-marie-150-4-plates"
PHASES = (
    Phase(name="heat up", heater=12e3, condenser_water=3e-5, ends=Ends(pot_temperature=360.0)),
    Phase(name="hearts", fraction="hearts", heater=5e3, hold_head_strength=0.83, ends=Ends(lpa_share=0.6)),
    Phase(name="tails", fraction="tails", dephlegmator_water=0.0, ends=Ends(product_strength=0.1)),
    Phase(name="shut down", heater=0.0, ends=Ends(time=600.0)),
)
EACH = 90  # rows a phase, ten seconds apart


def a_plan(**changes: Any) -> Plan:
    """Return a plan that nothing is wrong with; `changes` replace fields of it."""
    plan = Plan(
        name="test",
        still=library_still(PLATED),
        procedure=Procedure(name="test", phases=PHASES),
        charge=Charge(volume=0.1, strength=0.055, kind="plum-mash"),
        weather=Weather(altitude=420.0),
        category="eu-fruit-spirit",
    )
    return replace(plan, **changes)


def a_run(plan: Plan | None = None, series: dict[str, Any] | None = None, **changes: Any) -> Run:
    """Return a made-up run that draws no warning; `series` and `changes` replace parts of it.

    The numbers hang together only as far as the checks look: this is no prediction.
    """
    plan = plan or a_plan()
    still = resolve(plan.still)
    settings = phase_settings(plan, still)
    n = EACH * len(settings)
    phase = np.repeat(np.arange(len(settings)), EACH)
    product = np.array([plan.procedure.phases[i].fraction != "none" for i in phase])
    hold = np.array([settings[i].head_setpoint for i in phase])
    level = np.array([settings[i].levels for i in phase]).reshape(n, -1)
    made: dict[str, Any] = {
        "time": 10.0 * np.arange(n),
        "phase_index": phase.astype(float),
        "pot_temperature": np.linspace(288.0, 370.0, n),
        "pot_volume_hot": 0.1,
        "pot_gauge": 500.0,
        "pot_vapour": 0.1,
        "jacket_temperature": np.linspace(288.0, 378.0, n),
        "jacket_gauge": 1e3,
        "heater_power": np.array([settings[i].heater for i in phase]),
        "heat_to_pot": 4e3,
        "relief_heat": 0.0,
        "head_temperature": np.where(np.isnan(hold), 354.0, hold),
        "head_temperature_shown": np.where(np.isnan(hold), 354.0, hold),
        "head_setpoint": hold,
        "distillate": np.where(product, 0.02, 0.0),
        "product_strength": np.where(product, 0.83, 0.0),
        "product_rate": np.where(product, 1e-6, 0.0),
        "product_temperature": 290.0,
        "dephlegmator_water_flow": 0.3 * still.dephlegmator_water_max,
        "dephlegmator_water_out": 320.0,
        "condenser_water_flow": 3e-5,
        "condenser_water_out": 310.0,
        "condenser_margin": 3.0,
        "uncondensed": 0.0,
    }
    for k in range(1, len(still.plates) + 1):
        made |= {
            f"plate_{k}_level": level[:, k - 1],
            f"plate_{k}_liquid": 0.9 * level[:, k - 1],
            f"plate_{k}_strength": 0.1,
            f"plate_{k}_efficiency": 0.65,
            f"plate_{k}_flood": 0.3,
            f"plate_{k}_weep": 3.0,
            f"plate_{k}_downcomer": 0.3,
        }
    made |= series or {}
    totals = {
        "duration": 10.0 * n,
        "time_to_boil": 600.0,
        "time_to_product": 700.0,
        "heat_supplied": 5e7,
        "heat_relief": 0.0,
        "uncondensed": 0.0,
        "collected_pure_alcohol": 4.5e-3,
        "energy_cost": 4.0,
        "water_cost": 1.0,
        "water_dephlegmator": 0.2,
        "water_condenser": 0.3,
    }
    volume = 4e-3 / 0.83
    hearts = Fraction(
        name="hearts",
        volume=volume,
        strength=0.83,
        pure_alcohol=4e-3,
        mass=volume * 850.0,
        start=600.0,
        end=1200.0,
        strength_start=0.83,
        strength_end=0.83,
    )
    run = Run(
        plan=plan,
        series={name: np.broadcast_to(np.asarray(value, dtype=float), (n,)) for name, value in made.items()},
        phases=tuple(
            PhaseResult(
                name=one.name,
                fraction=plan.procedure.phases[i].fraction,
                start=10.0 * EACH * i,
                end=10.0 * EACH * (i + 1),
                ended_by=one.ends[0].name,
            )
            for i, one in enumerate(settings)
        ),
        fractions=(hearts,),
        totals=totals | changes.pop("totals", {}),
        warnings=(),
        balance={"ethanol": 0.0, "water": 0.0, "energy": 0.0},
    )
    return replace(run, **changes)
