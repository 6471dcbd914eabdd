"""The same plan under different settings, side by side: what changes, and by how much."""

from __future__ import annotations

import itertools
import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from middlerun.errors import InputFileError, MiddlerunError, OutOfRangeError, ProcedureError
from middlerun.plan.check import check_plan
from middlerun.plan.description import Plan
from middlerun.plan.result import Run
from middlerun.plan.vary import vary

MOST_RUNS = 10_000
Progress = Callable[[int, int], object]

# What is compared: name, kind of quantity (empty: a pure number, or a text).
COLUMNS = (
    ("duration", "time"),
    ("time_to_boil", "time"),
    ("heads_volume", "volume"),
    ("hearts_volume", "volume"),
    ("hearts_strength", "volume strength"),
    ("hearts_pure_alcohol", "volume"),
    ("late_hearts_volume", "volume"),
    ("tails_volume", "volume"),
    ("collected_pure_alcohol", "volume"),
    ("heat_supplied", "energy"),
    ("water_total", "volume"),
    ("energy_per_pure_alcohol", ""),
    ("cost", ""),
    ("warnings", ""),
)


@dataclass(frozen=True, kw_only=True)
class Row:
    """One setting: what was changed, and the run, or why there is none."""

    settings: Mapping[str, str]
    run: Run | None
    error: str = ""


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Runs of one plan under different settings, in the order asked for; the others differ from the first row."""

    plan: Plan
    rows: tuple[Row, ...]

    def values(self) -> tuple[dict[str, float], ...]:
        """Return the compared numbers of every row, SI, by the names in `COLUMNS`; empty where there is no run."""
        return tuple({} if row.run is None else compared(row.run) for row in self.rows)

    def differences(self) -> tuple[dict[str, float], ...]:
        """Return every row's numbers less those of the first row; empty where either has no run."""
        values = self.values()
        first = values[0] if values else {}
        return tuple({name: row[name] - first[name] for name in row if name in first} for row in values)


def compared(run: Run) -> dict[str, float]:
    """Return the numbers by which runs are compared (`COLUMNS`), SI; `energy_per_pure_alcohol` is J per m3."""
    totals = run.totals
    found = {name: totals[name] for name in ("duration", "time_to_boil", "collected_pure_alcohol", "heat_supplied")}
    for name in ("heads", "hearts", "late hearts", "tails"):
        parts = [f for f in run.fractions if _fraction_of(run, f.name) == name]
        volume, alcohol = sum(f.volume for f in parts), sum(f.pure_alcohol for f in parts)
        key = name.replace(" ", "_")
        found[f"{key}_volume"] = volume
        if name == "hearts":
            found["hearts_strength"] = alcohol / volume if volume > 0.0 else float("nan")
            found["hearts_pure_alcohol"] = alcohol
    found["water_total"] = totals["water_dephlegmator"] + totals["water_condenser"]
    alcohol = found["hearts_pure_alcohol"] or totals["collected_pure_alcohol"]
    found["energy_per_pure_alcohol"] = totals["heat_supplied"] / alcohol if alcohol > 0.0 else float("nan")
    found["cost"] = totals["energy_cost"] + totals["water_cost"]
    found["warnings"] = float(len(run.warnings))
    return found


def _fraction_of(run: Run, vessel: str) -> str:
    """Return what a vessel's content counts as: the fraction of the phase that fills it."""
    for phase in run.plan.procedure.phases:
        if phase.fraction != "none" and (phase.into or phase.fraction) == vessel:
            return phase.fraction
    return vessel


def grid(text: str) -> list[dict[str, str]]:
    """Return every combination of settings written as `key=value,value; key=value,value`, the last key fastest.

    A decimal comma would be taken for a separator: write decimal points here. Raises InputFileError with an example.

    >>> grid("heater=3 kW,4 kW; weather.water=8 Cel")
    [{'heater': '3 kW', 'weather.water': '8 Cel'}, {'heater': '4 kW', 'weather.water': '8 Cel'}]
    """
    example = 'Write it like "heater=3 kW,4 kW; weather.water=8 Cel,15 Cel".'
    axes: dict[str, list[str]] = {}
    for part in filter(str.strip, text.split(";")):
        key, equals, written = part.partition("=")
        values = [value.strip() for value in written.split(",")]
        if not equals or not key.strip() or not all(values):
            raise InputFileError(f'"{part.strip()}" is not a setting with values. {example}')
        if key.strip() in axes:
            raise InputFileError(
                f'"{key.strip()}" is given twice. Put all its values behind one equals sign. {example}'
            )
        axes[key.strip()] = values
    if not axes:
        raise InputFileError(f"No settings to compare are given. {example}")
    return [dict(zip(axes, values, strict=True)) for values in itertools.product(*axes.values())]


def compare(
    plan: Plan,
    table: Sequence[Mapping[str, str]],
    progress: Progress | None = None,
    *,
    folder: str | Path = "",
    predict: Callable[[Plan], Run] | None = None,
) -> Comparison:
    """Predict the plan under every setting of the table, on all cores; `{}` stands for the plan as it is.

    A setting that is refused becomes a row with its error; the others still run. `progress` is called with the number
    done and the number of all, from the calling thread. An unknown key or an unreadable value raises at once, before
    anything is computed. OutOfRangeError for more than 10,000 settings.
    """
    if len(table) > MOST_RUNS:
        raise OutOfRangeError.of("number of settings", len(table), 1, MOST_RUNS, "", "Compare fewer at a time.")
    if predict is None:
        from middlerun.plan import predict as own_predict

        predict = own_predict
    runs = predict
    plans = [_varied(plan, settings, folder) for settings in table]

    def one(varied: Plan | str) -> tuple[Run | None, str]:
        if isinstance(varied, str):
            return None, varied
        try:
            check_plan(varied)
            return runs(varied), ""
        except MiddlerunError as error:
            return None, str(error)

    rows = []
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        for done, (settings, (run, error)) in enumerate(zip(table, pool.map(one, plans), strict=True), 1):
            rows.append(Row(settings=dict(settings), run=run, error=error))
            if progress is not None:
                progress(done, len(table))
    return Comparison(plan=plan, rows=tuple(rows))


def _varied(plan: Plan, settings: Mapping[str, str], folder: str | Path) -> Plan | str:
    try:
        return vary(plan, settings, folder)
    except ProcedureError as error:
        return str(error)
