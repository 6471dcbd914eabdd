"""Random plans, the same for the same seed: stills, charges, weather and procedures far from the usual.

`python -m tests.robustness.plans 17` writes the plan of seed 17 as a plan file, to be looked at or run by hand.
"""

from __future__ import annotations

import dataclasses
import random
import sys
from dataclasses import replace
from typing import Any

from middlerun.fields import specs
from middlerun.plan import (
    Charge,
    Plan,
    Weather,
    charge_kind,
    charge_kind_names,
    charge_numbers,
    hot_volume,
    pressure_of,
)
from middlerun.run import Ends, Phase, Procedure, library_procedure, procedure_names
from middlerun.still import Column, Plate, Still, library_names, library_still, plate_type_names
from middlerun.still.write import write_quantity

_L_PER_H = 1e-3 / 3600.0


def random_plan(seed: int) -> Plan:
    """Return the plan of a seed: nothing in it is impossible by itself, but the whole may be refused."""
    rng = random.Random(seed)
    still = _still(rng)
    weather = _weather(rng)
    procedure = _ready(rng, still) if rng.random() < 0.4 else _made_up(rng, still)
    return Plan(
        name=f"random {seed}",
        invented=True,
        still=still,
        procedure=procedure,
        charge=_charge(rng, still, weather),
        weather=weather,
        category=rng.choice(["", "eu-fruit-spirit", "us-brandy"]),
        report_every=rng.choice([1.0, 10.0, 10.0, 60.0]),
    )


def _log(rng: random.Random, low: float, high: float) -> float:
    return float(low * (high / low) ** rng.random())


def _still(rng: random.Random) -> Still:
    still = library_still(rng.choice(library_names()))
    if rng.random() < 0.3:
        return still
    pot, heating, head = still.pot, still.heating, still.dephlegmator
    heating = replace(
        heating,
        power=heating.power * _log(rng, 0.2, 2.0),
        steps=(),
        conductance=heating.conductance * _log(rng, 0.3, 3.0),
        cold_share=rng.uniform(0.05, 1.0),
        heat_loss=rng.choice([0.0, heating.heat_loss, 10.0]),
    )
    pot = replace(pot, heat_loss=rng.choice([0.0, pot.heat_loss, 4.0 * pot.heat_loss]), agitator=rng.random() < 0.5)
    if rng.random() < 0.7:
        still = replace(still, column=_column(rng, still))
    head = replace(
        head,
        stages=rng.choice([1, 1, 2, 3]),
        cells=rng.choice([1, 6, 20]),
        liquid=head.liquid * _log(rng, 0.3, 3.0),
        drain_time=_log(rng, 1.0, 60.0),
        water_content=head.water_content * _log(rng, 0.2, 4.0),
        area=None if head.area is None else head.area * _log(rng, 0.2, 2.0),
        heat_loss=rng.choice([0.0, head.heat_loss]),
    )
    condenser = still.condenser
    condenser = replace(condenser, area=(condenser.area or 0.5) * _log(rng, 0.3, 2.0), cells=rng.choice([1, 8, 30]))
    lag = rng.choice([None, 0.0, 60.0, 600.0])
    instruments = still.instruments if lag is None else tuple(replace(i, lag=lag) for i in still.instruments)
    control = replace(
        still.control,
        gain=rng.choice([None, None, _log(rng, 0.1, 200.0)]),
        integral_time=rng.choice([150.0, _log(rng, 5.0, 3600.0)]),
        valve_lag=rng.choice([8.0, _log(rng, 1.0, 300.0)]),
    )
    parrot = replace(
        still.parrot, volume=rng.choice([still.parrot.volume, 2e-5, 5e-3]), heat_lag=_log(rng, 1.0, 3600.0)
    )
    return replace(
        still, name=f"{still.name}, changed", pot=pot, heating=heating, dephlegmator=head, condenser=condenser,
        instruments=instruments, control=control, parrot=parrot,
    )  # fmt: skip


def _column(rng: random.Random, still: Still) -> Column | None:
    count = rng.randint(0, 8)
    if count == 0:
        return None
    diameter = still.column.diameter if still.column is not None else rng.uniform(0.1, 0.3)
    column = still.column or Column(diameter=diameter, plates=())
    plates = []
    for _ in range(count):
        plate = Plate(type=rng.choice(plate_type_names()), bypass=rng.random() < 0.5)
        if rng.random() < 0.4:
            plate = replace(plate, efficiency=rng.uniform(0.1, 1.0), weir_time=_log(rng, 0.5, 120.0))
        if rng.random() < 0.3:
            plate = replace(plate, leak_time=_log(rng, 5.0, 86400.0), metal_mass=_log(rng, 0.05, 20.0))
        plates.append(plate)
    return replace(
        column,
        diameter=column.diameter * rng.uniform(0.7, 1.5),
        spacing=rng.choice([0.1, 0.18, 0.3]),
        insulated=rng.random() < 0.5,
        plates=tuple(plates),
    )


def _weather(rng: random.Random) -> Weather:
    where: dict[str, Any] = {"pressure": rng.uniform(60e3, 110e3)}
    if rng.random() < 0.5:
        where = {"altitude": rng.uniform(-400.0, 4000.0)}
    return Weather(room=rng.uniform(253.15, 323.15), water=rng.choice([273.65, rng.uniform(276.0, 318.15)]), **where)


def _charge(rng: random.Random, still: Still, weather: Weather) -> Charge:
    name = rng.choice(charge_kind_names())
    kind = charge_kind(name)
    charge = Charge(
        volume=still.pot.working_min,
        strength=rng.uniform(kind.strength.low, kind.strength.high),
        temperature=rng.uniform(268.15, 318.15),
        kind=name,
        degassed=rng.random() < 0.8,
    )
    numbers = charge_numbers(charge)
    needed = hot_volume(numbers, pressure_of(weather)) * (1.0 + numbers.froth)
    most = numbers.volume * still.pot.working_max / needed
    return replace(charge, volume=still.pot.working_min + rng.random() * max(0.99 * most - still.pot.working_min, 0.0))


def _ready(rng: random.Random, still: Still) -> Procedure:
    plates = still.column is not None
    all_of_them = [library_procedure(name) for name in procedure_names()]
    return rng.choice([p for p in all_of_them if p.needs in ("any", "plates" if plates else "no plates")])


def _made_up(rng: random.Random, still: Still) -> Procedure:
    phases = [
        Phase(
            name="heat up",
            heater_share=rng.uniform(0.3, 1.0),
            agitator=rng.random() < 0.5,
            vent_open=rng.random() < 0.5,
            ends=Ends(pot_temperature=rng.uniform(330.0, 350.0), time=rng.uniform(1800.0, 7200.0)),
        )
    ]
    cooled = still.dephlegmator.water_max > 0.0
    bypassable = [k for k, p in enumerate(still.column.plates, 1) if p.bypass] if still.column is not None else []
    for number in range(rng.randint(1, 6)):
        settings: dict[str, Any] = {}
        if rng.random() < 0.6:
            settings["heater_share"] = rng.choice([0.0, 0.1, 0.25, 0.4, 0.6, 1.0])
        if cooled and rng.random() < 0.7:
            hold = rng.random()
            if hold < 0.5:
                settings["hold_head_strength"] = rng.uniform(0.3, 0.94)
            elif hold < 0.6:
                settings["hold_head_temperature_sea_level"] = rng.uniform(351.5, 370.0)
            else:
                settings["dephlegmator_water_share"] = rng.choice([0.0, 0.02, 0.1, 0.4, 1.0])
        if rng.random() < 0.5:
            settings["condenser_water_share"] = rng.choice([0.0, 0.05, 0.3, 1.0])
        elif rng.random() < 0.3:
            settings["hold_condenser_out"] = rng.uniform(320.0, 350.0)
        if rng.random() < 0.4:
            settings["level"] = rng.choice(["drained", "low", "usual", "high"])
        if bypassable and rng.random() < 0.3:
            settings["bypass"] = tuple(sorted(rng.sample(bypassable, rng.randint(0, len(bypassable)))))
        ends: dict[str, float] = {"time": _log(rng, 60.0, 4 * 3600.0)}
        fraction = rng.choice(["none", "heads", "hearts", "tails"])
        if fraction != "none" and rng.random() < 0.6:
            key, low, high = rng.choice(
                [("product_strength", 0.02, 0.9), ("collected", 1e-4, 5e-3), ("lpa_share", 0.005, 0.6)]
            )
            ends[key] = rng.uniform(low, high)
        name = fraction if fraction != "none" else "wait"
        phases.append(Phase(name=f"{name} {number}", fraction=fraction, ends=Ends(**ends), **settings))
    return Procedure(name="made up", phases=tuple(phases))


def plan_toml(plan: Plan) -> str:
    """Return the text of a plan file that holds everything, still and procedure included."""
    head = [f'format = "middlerun-plan/1"\nname = "{plan.name}"\ninvented = true\ncategory = "{plan.category}"']
    head.append(f'report_every = "{plan.report_every:g} s"')
    parts = {"charge": plan.charge, "weather": plan.weather, "still": plan.still, "procedure": plan.procedure}
    lines = head + [line for key, thing in parts.items() for line in ("", f"[{key}]", *_lines(thing, key))]
    return "\n".join(lines) + "\n"


def _lines(thing: Any, path: str) -> list[str]:
    own: list[str] = []
    below: list[str] = []
    for key, spec in specs(type(thing)).items():
        value = getattr(thing, key)
        if value is None:
            continue
        if spec.form == "record":
            below += ["", f"[{path}.{key}]", *_lines(value, f"{path}.{key}")]
        elif spec.form == "records":
            for item in value:
                below += ["", f"[[{path}.{key}]]", *_lines(item, f"{path}.{key}")]
        elif spec.form == "quantity":
            own.append(f'{key} = "{write_quantity(value, spec.kind)}"')
        elif spec.form == "quantities":
            own.append(f"{key} = [" + ", ".join(f'"{write_quantity(v, spec.kind)}"' for v in value) + "]")
        elif spec.form == "flag":
            own.append(f"{key} = {str(value).lower()}")
        elif spec.form in ("text", "choice"):
            own.append(f'{key} = "{value}"')
        elif spec.form == "wholes":
            own.append(f"{key} = {list(value)}")
        else:
            own.append(f"{key} = {value!r}")
    return own + below


def fields_of(plan: Plan) -> dict[str, Any]:
    """Return the parts of a plan that a file holds, for comparing."""
    return {field.name: getattr(plan, field.name) for field in dataclasses.fields(plan)}


if __name__ == "__main__":
    print(plan_toml(random_plan(int(sys.argv[1]))))
