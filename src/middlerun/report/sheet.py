"""What stands on the run sheet, as plain data: both the page and the paper are made from it."""

from __future__ import annotations

import dataclasses
from typing import Any

import middlerun
from middlerun.law import category
from middlerun.plan import charge_kind, pressure_of
from middlerun.plan.description import Plan
from middlerun.plan.result import Run
from middlerun.report import phase_words, sheet_tables, table
from middlerun.report.cautions import DEFER, cautions
from middlerun.report.show import NOTHING, clock, lasting, number, quantity, setting, volume_digits

_HANDFUL = 2e-5  # m3: less needs no vessel of its own
_DROP = 1e-6  # m3: less has not begun to run
INVENTED = "Invented example: it belongs to no real still and no real batch."
_HEATING = {"bain-marie": "bain-marie", "steam-jacket": "steam jacket", "electric": "electric", "fire": "direct fire"}


def sheet(run: Run) -> dict[str, Any]:
    """Return everything that the run sheet shows: texts, lists and tables only, ready for JSON."""
    plan = run.plan
    return {
        "title": plan.name,
        "note": plan.note,
        "invented": INVENTED if plan.invented or plan.still.invented else "",
        "made_by": f"Middlerun {middlerun.__version__}",
        "facts": [{"name": name, "lines": lines} for name, lines in _facts(plan)],
        "cautions": [dataclasses.asdict(caution) for caution in cautions(plan)],
        "defer": DEFER,
        "setup": _setup(run),
        "phases": _phases(run),
        "warnings": dataclasses.asdict(table.warnings(run)),
        "time_line": dataclasses.asdict(sheet_tables.time_line(run)),
        "receivers": dataclasses.asdict(sheet_tables.receivers(run)),
        "jars": dataclasses.asdict(sheet_tables.jars(run)),
        "totals": dataclasses.asdict(table.totals(run)),
    }


def _facts(plan: Plan) -> list[tuple[str, list[str]]]:
    still, charge, weather = plan.still, plan.charge, plan.weather
    plates = len(still.column.plates) if still.column else 0
    kinds = sorted({plate.type for plate in still.column.plates}) if still.column else []
    column = f"{plates} plate{'s' if plates != 1 else ''} ({', '.join(kinds)})" if plates else "no plates"
    head = "dephlegmator" if still.dephlegmator.water_max > 0 else "plain head"
    kind = charge_kind(charge.kind).title
    source = [f"from {', '.join(charge.source.fractions)} of {charge.source.plan}"] if charge.source else []
    return [
        (
            "Still",
            [
                still.name,
                f"pot {setting(still.pot.volume, 'volume')}, {_HEATING[still.heating.kind]}, "
                f"{setting(still.heating.power, 'power')}",
                f"{column}, {head}",
            ],
        ),
        (
            "Charge",
            [
                f"{quantity(charge.volume, 'volume', volume_digits(charge.volume) - 1)} {kind[:1].lower()}{kind[1:]}",
                f"{quantity(charge.strength, 'strength')}, filled at {quantity(charge.temperature, 'temperature')}",
                *source,
            ],
        ),
        (
            "Day",
            [
                f"air pressure {quantity(pressure_of(weather), 'ambient')}",
                f"room {quantity(weather.room, 'temperature')}",
                f"cooling water {quantity(weather.water, 'temperature')}",
            ],
        ),
        (
            "Procedure",
            [
                plan.procedure.name,
                *([f"category: {category(plan.category).name}"] if plan.category else []),
                *_span(plan),
            ],
        ),
    ]


def _span(plan: Plan) -> list[str]:
    return [f"day's limit {lasting(plan.limits.day)}"]


def _setup(run: Run) -> list[str]:
    """Lines with a box to tick before the heat goes on."""
    plan = run.plan
    digits = volume_digits(plan.charge.volume)
    lines = [
        f"charge {quantity(plan.charge.volume, 'volume', digits - 1)} of {quantity(plan.charge.strength, 'strength')}"
        f"{'' if plan.charge.degassed else ', still full of gas: it will foam'}"
    ]
    first = phase_words.settings(plan)[0]
    lines += [line for line in first if not line.startswith("heater")]
    lines += [
        f"vessel for {f.name}: at least {quantity(f.volume, 'volume', digits)}"
        for f in run.fractions
        if f.volume >= _HANDFUL
    ]
    lines += ["vapour path open from pot to parrot", "cooling water at hand and running"]
    lines += [f"last of all: {line}" for line in first if line.startswith("heater")]
    return [line[0].upper() + line[1:] for line in lines]


def _phases(run: Run) -> list[dict[str, Any]]:
    """One card a phase: what to set, when to go on, and what the instruments are expected to show then."""
    digits = volume_digits(run.plan.charge.volume)
    hands = phase_words.settings(run.plan)
    cards = []
    for index, result in enumerate(run.phases):
        phase = run.plan.procedure.phases[index]
        rate = table.at_end(run, index, "product_rate")
        collected = table.at_end(run, index, "fraction_volume")
        water = table.at_end(run, index, "dephlegmator_water_flow")
        cards.append(
            {
                "number": str(index + 1),
                "name": result.name,
                "vessel": phase_words.vessel(phase),
                "set": list(hands[index]),
                "ends": list(phase_words.ends(phase, result)),
                "given_up": result.ended_by == "no_product",
                "expected": [
                    clock(result.end),
                    clock(result.end - result.start),
                    number(table.at_end(run, index, "pot_temperature_shown"), "temperature"),
                    number(table.at_end(run, index, "head_temperature_shown"), "temperature"),
                    number(table.at_end(run, index, "parrot_strength") if rate > 0 else None, "strength"),
                    number(rate, "product rate") if rate > 0 else NOTHING,
                    number(collected, "volume", digits) if collected > _DROP else NOTHING,
                    number(water, "water flow") if run.plan.still.dephlegmator.water_max > 0 else NOTHING,
                    number(table.at_end(run, index, "condenser_water_flow"), "water flow"),
                ],
            }
        )
    return cards


PHASE_COLUMNS = (
    ("Ends at", "h:min"),
    ("Lasts", "h:min"),
    ("Pot", "°C"),
    ("Head", "°C"),
    ("Strength", "% vol"),
    ("Rate", "L/10 min"),
    ("Taken", "L"),
    ("Dephl. water", "L/h"),
    ("Cond. water", "L/h"),
)
