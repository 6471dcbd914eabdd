"""Tables as plain data, made once for terminal, page and paper: phases, fractions, totals, warnings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from middlerun.plan import catalogue_entry, warning_text
from middlerun.plan.result import Fraction, PhaseResult, Run, Warning
from middlerun.report.names import TOTALS
from middlerun.report.phase_words import ENDED_BY, vessel
from middlerun.report.show import NOTHING, SHOWN, clock, lasting, number, quantity, volume_digits


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column: its key, its label, the symbol of its unit, whether it holds numbers, whether it is for the pen."""

    key: str
    label: str
    unit: str = ""
    numeric: bool = True
    blank: bool = False

    @property
    def heading(self) -> str:
        """Label and unit in one line."""
        return f"{self.label} / {self.unit}" if self.unit else self.label


@dataclass(frozen=True, kw_only=True)
class Table:
    """A titled table of ready-made texts; every row has one text a column.

    `headings` are the indices of rows that are headings inside the table: one text, then nothing.
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    headings: tuple[int, ...] = ()


def words(key: str, label: str) -> Column:
    """Return a column of words."""
    return Column(key=key, label=label, numeric=False)


def figures(key: str, label: str, kind: str) -> Column:
    """Return a column of numbers of one kind, with its unit."""
    return Column(key=key, label=label, unit=SHOWN[kind].symbol)


def pen(key: str, label: str, unit: str = "") -> Column:
    """Return an empty column to write in."""
    return Column(key=key, label=label, unit=unit, blank=True)


def at(run: Run, name: str, time: float) -> float:
    """Return the SI value of a series at a time (s), linear between samples; NaN beside a gap or without the series."""
    values = run.series.get(name)
    if values is None or len(values) == 0:
        return float("nan")
    return float(np.interp(time, run.series["time"], values))


def at_end(run: Run, index: int, name: str) -> float:
    """Return the SI value of a series at the last sample of a phase; NaN if it has none."""
    values = run.series.get(name)
    if values is None or len(values) == 0:
        return float("nan")
    inside = np.flatnonzero(run.series["phase_index"] == index)
    return float(values[inside[-1]]) if len(inside) else float("nan")


def phases(run: Run) -> Table:
    """Return when each phase begins and ends, what ends it, and what the instruments then show."""
    rows = [_phase_row(run, index, phase) for index, phase in enumerate(run.phases)]
    return Table(
        key="phases",
        title="Phases",
        columns=(
            words("phase", "Phase"),
            words("vessel", "Vessel"),
            figures("start", "Starts", "time of run"),
            figures("lasts", "Lasts", "time of run"),
            words("ended_by", "Ends by"),
            figures("pot", "Pot", "temperature"),
            figures("head", "Head", "temperature"),
            figures("strength", "Strength", "strength"),
            figures("rate", "Rate", "product rate"),
        ),
        rows=tuple(rows),
        note="Pot, head, strength and rate at the end of the phase. Strength is % vol at 20 °C.",
    )


def _phase_row(run: Run, index: int, phase: PhaseResult) -> tuple[str, ...]:
    return (
        phase.name,
        vessel(run.plan.procedure.phases[index]),
        clock(phase.start),
        clock(phase.end - phase.start),
        ENDED_BY.get(phase.ended_by, phase.ended_by),
        number(at_end(run, index, "pot_temperature_shown"), "temperature"),
        number(at_end(run, index, "head_temperature_shown"), "temperature"),
        number(at_end(run, index, "parrot_strength"), "strength"),
        number(at_end(run, index, "product_rate"), "product rate"),
    )


def fractions(run: Run) -> Table:
    """Return what each vessel holds at the end, with the sum of all."""
    digits = volume_digits(run.plan.charge.volume)
    charge = run.totals.get("charge_pure_alcohol", float("nan"))
    rows = [_fraction_row(fraction, digits, charge) for fraction in run.fractions]
    if len(rows) > 1:
        volume, pure = run.totals["collected_volume"], run.totals["collected_pure_alcohol"]
        rows.append(
            (
                "all, mixed",
                number(volume, "volume", digits),
                number(pure / volume if volume else None, "strength"),
                number(pure, "pure alcohol", digits),
                _share(pure, charge),
                NOTHING,
                NOTHING,
                NOTHING,
                NOTHING,
            )
        )
    return Table(
        key="fractions",
        title="Fractions",
        columns=(
            words("fraction", "Fraction"),
            figures("volume", "Volume", "volume"),
            figures("strength", "Strength", "strength"),
            figures("pure_alcohol", "Pure alcohol", "pure alcohol"),
            Column(key="share", label="Of the charge", unit="% of LPA"),
            figures("start", "From", "time of run"),
            figures("end", "To", "time of run"),
            figures("strength_start", "First", "strength"),
            figures("strength_end", "Last", "strength"),
        ),
        rows=tuple(rows),
        note="Volumes and strengths at 20 °C; mixed they take less room than their sum. LPA: litres of pure alcohol.",
    )


def _fraction_row(fraction: Fraction, digits: int, charge: float) -> tuple[str, ...]:
    return (
        fraction.name,
        number(fraction.volume, "volume", digits),
        number(fraction.strength, "strength"),
        number(fraction.pure_alcohol, "pure alcohol", digits),
        _share(fraction.pure_alcohol, charge),
        clock(fraction.start),
        clock(fraction.end),
        number(fraction.strength_start, "strength"),
        number(fraction.strength_end, "strength"),
    )


def _share(part: float, whole: float) -> str:
    return f"{100 * part / whole:.1f}" if np.isfinite(whole) and whole > 0 else NOTHING


def totals(run: Run) -> Table:
    """Return time, heat, water, alcohol and cost of the whole run, one a row."""
    digits = volume_digits(run.plan.charge.volume)
    known = [name for name in TOTALS if name in run.totals]
    return Table(
        key="totals",
        title="Totals",
        columns=(words("name", "Total"), Column(key="value", label="Amount")),
        rows=tuple((TOTALS[name].label, _total(name, run.totals[name], digits)) for name in known),
        note="Volumes at 20 °C; cooling water as it flows. Costs at the plan's prices, in your currency.",
    )


def _total(name: str, value: float, digits: int) -> str:
    kind = TOTALS[name].kind
    if kind == "time":
        return lasting(value)
    return quantity(value, kind, digits if kind in ("volume", "pure alcohol") else None)


def warnings(run: Run) -> Table:
    """Return the warnings in the run's order (the gravest first): when, how grave, what it is and what to do."""
    rows = []
    for warning in run.warnings:
        title, text, remedy = warning_text(warning)
        rows.append((catalogue_entry(warning.code).priority, _when(warning), f"{title}. {text}", remedy))
    return Table(
        key="warnings",
        title="Warnings",
        columns=(
            words("priority", "Priority"),
            words("when", "When"),
            words("text", "Warning"),
            words("remedy", "What to do"),
        ),
        rows=tuple(rows),
        note="" if rows else "None: the forecast stays inside every limit that is watched.",
    )


def _when(warning: Warning) -> str:
    if warning.time is None:
        return "whole plan"
    if warning.until is None or clock(warning.until) == clock(warning.time):
        return clock(warning.time)
    return f"{clock(warning.time)} to {clock(warning.until)}"


def summary(run: Run) -> Sequence[Table]:
    """Return the summary of a run: phases, fractions, totals, warnings."""
    return phases(run), fractions(run), totals(run), warnings(run)
