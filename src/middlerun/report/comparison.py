"""Runs of one plan under different settings, side by side: one table of numbers and differences, one picture."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from middlerun.plan.compare import Comparison, Row
from middlerun.plan.result import Run
from middlerun.report.chart import DASHES
from middlerun.report.picture import Curve, Panel, Picture
from middlerun.report.run_pictures import head_floor
from middlerun.report.show import NOTHING, SHOWN, clock, number, scaled, volume_digits
from middlerun.report.table import Column, Table, words

# What is compared: name, label, kind of reading; in the order of the columns.
_COMPARED = (
    ("duration", "Lasts", "time of run"),
    ("time_to_boil", "Boils at", "time of run"),
    ("heads_volume", "Heads", "volume"),
    ("hearts_volume", "Hearts", "volume"),
    ("hearts_strength", "Hearts", "strength"),
    ("hearts_pure_alcohol", "Hearts", "pure alcohol"),
    ("late_hearts_volume", "Late hearts", "volume"),
    ("tails_volume", "Tails", "volume"),
    ("collected_pure_alcohol", "All", "pure alcohol"),
    ("heat_supplied", "Heat", "heat"),
    ("water_total", "Cooling water", "water"),
    ("energy_per_pure_alcohol", "Heat", "heat per alcohol"),
    ("cost", "Cost", "money"),
    ("warnings", "Warnings", "count"),
)
_MOST_PICTURED = len(DASHES)  # more lines than dashes can't be told apart

_LABEL = 22  # letters that fit beside a panel


def comparison_table(comparison: Comparison) -> Table:
    """Return one row a setting with its numbers, and in brackets by how much each differs from the first row's.

    Columns in which no row has anything (a still without late hearts) are left out.
    """
    values, differences = comparison.values(), comparison.differences()
    shown = [entry for entry in _COMPARED if any(row.get(entry[0]) for row in values)]
    digits = volume_digits(comparison.plan.charge.volume)
    rows = tuple(
        (
            str(place),
            setting_words(row),
            *(
                _cell(name, kind, values[place - 1], differences[place - 1] if place > 1 else {}, digits)
                for name, _, kind in shown
            ),
            row.error,
        )
        for place, row in enumerate(comparison.rows, 1)
    )
    refused = any(row.error for row in comparison.rows)
    columns = (
        words("place", "No."),
        words("settings", "Settings"),
        *(Column(key=name, label=label, unit=SHOWN[kind].symbol) for name, label, kind in shown),
        words("error", "Refused because"),
    )
    return Table(
        key="comparison",
        title=f"Comparison: {comparison.plan.name}",
        columns=columns if refused else columns[:-1],
        rows=rows if refused else tuple(row[:-1] for row in rows),
        note="In brackets: difference from the first row. Volumes and strengths at 20 °C; costs at the plan's prices.",
    )


def setting_words(row: Row) -> str:
    """Return the settings of a row in one line; the plan as it is has none."""
    return ", ".join(f"{key} {as_people_write(value)}" for key, value in row.settings.items()) or "as planned"


def as_people_write(value: str) -> str:
    """Return a setting with its unit as people write it on paper.

    >>> as_people_write("6.5 %{vol}"), as_people_write("12 Cel"), as_people_write("low")
    ('6.5 % vol', '12 °C', 'low')
    """
    return value.replace("%{vol}", "% vol").replace("Cel", "°C").replace("kW.h", "kWh")


def _cell(name: str, kind: str, values: Mapping[str, float], differences: Mapping[str, float], digits: int) -> str:
    value = values.get(name)
    if value is None or not np.isfinite(value):
        return NOTHING
    places = digits if kind in ("volume", "pure alcohol") else None
    written = clock(value) if kind == "time of run" else number(value, kind, places)
    difference = differences.get(name)
    if difference is None or not np.isfinite(difference):
        return written
    if kind == "time of run":
        amount, nought = clock(abs(difference)), "0:00"
    else:
        amount, nought = number(abs(difference), kind, places), number(0.0, kind, places)
    return f"{written} (=)" if amount == nought else f"{written} ({'+' if difference > 0 else chr(0x2212)}{amount})"


def comparison_picture(comparison: Comparison) -> Picture:
    """Return one picture of the runs, told apart by dash: head, strength, rate and pure alcohol against time.

    The first few runs that have a result are drawn; the title says how many of how many.
    """
    found = [(_label(place, row), row.run) for place, row in enumerate(comparison.rows, 1) if row.run is not None]
    drawn = found[:_MOST_PICTURED]
    hours = max((float(run.series["time"][-1]) / 3600 for _, run in drawn), default=1.0)
    few = "" if len(drawn) == len(found) else f", the first {len(drawn)} of {len(found)}"
    low = min((head_floor(run) for _, run in drawn), default=70.0)
    panels = (
        Panel(
            title=f"Head / °C, from {low:.0f} °C up",
            low=low,
            high=low + 31.0,
            height=1.2,
            curves=_lines(drawn, "head_temperature_shown", "temperature"),
        ),
        Panel(
            title="Strength in the parrot / % vol",
            low=0.0,
            high=100.0,
            height=1.2,
            curves=_lines(drawn, "parrot_strength", "strength"),
        ),
        Panel(title="Product rate / (L/10 min)", zero=True, curves=_lines(drawn, "product_rate", "product rate")),
        Panel(
            title="Pure alcohol collected / LPA",
            zero=True,
            height=1.2,
            curves=_lines(drawn, "collected_pure_alcohol", "pure alcohol"),
        ),
    )
    return Picture(
        name="comparison",
        title=f"Comparison{few}",
        summary=_said(comparison),
        x=np.array([0.0, hours]),
        panels=panels,
        x_label="time since the start of heating / h:min",
    )


def _label(place: int, row: Row) -> str:
    said = f"{place}: {', '.join(map(as_people_write, row.settings.values())) or 'as planned'}"
    return said if len(said) <= _LABEL else f"{said[: _LABEL - 2]} …"


def _lines(runs: list[tuple[str, Run]], name: str, kind: str) -> tuple[Curve, ...]:
    return tuple(
        Curve(
            name=name,
            label=label,
            y=scaled(run.series[name], kind),
            x=run.series["time"] / 3600,
            dash=index,
            width=1.6 if index == 0 else 1.2,
        )
        for index, (label, run) in enumerate(runs)
    )


def _said(comparison: Comparison) -> str:
    hearts = [values["hearts_pure_alcohol"] for values in comparison.values() if "hearts_pure_alcohol" in values]
    if not hearts:
        return "None of the settings gives a run."
    digits = volume_digits(comparison.plan.charge.volume)
    low, high = (number(value, "pure alcohol", digits) for value in (min(hearts), max(hearts)))
    return f"{len(hearts)} runs; the hearts hold {low} to {high} litres of pure alcohol."
