"""The tables of the run sheet that the summary does not have: set-up, time line, jars, receivers."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from middlerun.plan.result import Run
from middlerun.report.phase_words import vessel
from middlerun.report.show import NOTHING, clock, number, setting, volume_digits
from middlerun.report.table import Column, Table, at, figures, pen, words

_STEPS = (600.0, 900.0, 1200.0, 1800.0, 3600.0)  # s between lines
_MOST_LINES = 36  # a page and a bit at a height that a pen can use
_JARS = (0.05e-3, 0.1e-3, 0.2e-3, 0.25e-3, 0.5e-3, 1e-3, 2e-3, 5e-3, 10e-3, 20e-3)  # m3, jars and jugs on hand
_DROP = 1e-6  # m3: less has not begun to run
_CUT_BEFORE, _CUT_AFTER = 3, 2  # jars around the cut from hearts


def line_times(run: Run) -> npt.NDArray[np.float64]:
    """Return the times (s) of the time line: every 10 min in a short run, wider apart in a long one; 0 is left out."""
    duration = float(run.series["time"][-1]) if len(run.series["time"]) else 0.0
    step = next((step for step in _STEPS if duration / step <= _MOST_LINES), 7200.0)
    return np.arange(1.0, math.floor(duration / step + 1e-9) + 1.0, dtype=np.float64) * step


def time_line(run: Run) -> Table:
    """Return what the instruments will show, line by line, each with room to write what they do show.

    A row that opens a phase has its name in the first column and nothing else: it is a heading inside the table.
    """
    digits = volume_digits(run.plan.charge.volume)
    rows: list[tuple[float, tuple[str, ...]]] = [
        (phase.start, (f"{clock(phase.start)}  {phase.name}{_into(run, index)}", *[""] * 11))
        for index, phase in enumerate(run.phases)
    ]
    for time in line_times(run):
        rows.append(
            (
                float(time),
                (
                    clock(time),
                    "",
                    number(at(run, "pot_temperature_shown", time), "temperature"),
                    "",
                    number(at(run, "head_temperature_shown", time), "temperature"),
                    "",
                    number(at(run, "parrot_reading", time), "strength"),
                    "",
                    number(at(run, "parrot_strength", time), "strength"),
                    _rate(at(run, "product_rate", time)),
                    _amount(at(run, "collected_volume", time), digits),
                    "",
                ),
            )
        )
    rows.sort(key=lambda row: row[0])  # stable: a phase's heading stays above the line of the same time
    headings = tuple(i for i, (_, row) in enumerate(rows) if not any(row[1:]))
    return Table(
        key="time-line",
        title="Time line",
        columns=(
            words("time", "Time"),
            pen("clock", "by the clock"),
            figures("pot", "Pot", "temperature"),
            pen("pot_seen", "read"),
            figures("head", "Head", "temperature"),
            pen("head_seen", "read"),
            figures("glass", "Glass", "strength"),
            pen("glass_seen", "read, at °C"),
            figures("strength", "At 20 °C", "strength"),
            figures("rate", "Rate", "product rate"),
            figures("collected", "Collected", "volume"),
            pen("collected_seen", "read"),
        ),
        rows=tuple(row for _, row in rows),
        headings=headings,
        note=(
            "Time from the start of heating. Glass: what the alcoholmeter shows in the parrot at the spirit's "
            "temperature; at 20 °C: the strength that this stands for. Collected: all vessels together, at 20 °C."
        ),
    )


def _into(run: Run, index: int) -> str:
    name = vessel(run.plan.procedure.phases[index])
    return "" if name == NOTHING else f"  →  vessel: {name}"


def _rate(value: float) -> str:
    return NOTHING if not value > 0 else number(value, "product rate")


def _amount(value: float, digits: int) -> str:
    return NOTHING if not value > _DROP else number(value, "volume", digits)


def receivers(run: Run) -> Table:
    """Return the fractions as expected, each with room for what was measured."""
    digits = volume_digits(run.plan.charge.volume)
    return Table(
        key="receivers",
        title="Fractions",
        columns=(
            words("fraction", "Vessel"),
            figures("from", "From", "time of run"),
            figures("to", "To", "time of run"),
            figures("volume", "Volume", "volume"),
            figures("strength", "Strength", "strength"),
            Column(key="pure_alcohol", label="Pure alcohol", unit="LPA"),
            pen("volume_seen", "measured", "L"),
            pen("temperature_seen", "at", "°C"),
            pen("strength_seen", "strength", "% vol"),
            pen("lpa_seen", "pure alcohol", "LPA"),
        ),
        rows=tuple(
            (
                f.name,
                clock(f.start),
                clock(f.end),
                number(f.volume, "volume", digits),
                number(f.strength, "strength"),
                number(f.pure_alcohol, "pure alcohol", digits),
                "",
                "",
                "",
                "",
            )
            for f in run.fractions
        ),
        note=(
            "Volumes and strengths at 20 °C. Measured volume times strength at 20 °C gives litres of pure alcohol "
            "(LPA)."
        ),
    )


def jars(run: Run) -> Table:
    """Return the jars to judge by nose: all heads, the first of the hearts, and those around the end of the hearts."""
    volume = _jar_volume(run)
    rows: list[tuple[str, ...]] = []
    ranges = _jar_ranges(run, volume)
    digits = max(2, volume_digits(run.plan.charge.volume))
    for first, last in ranges:
        mid = time_at_volume(run, 0.5 * (first + last))
        rows.append(
            (
                str(len(rows) + 1),
                clock(time_at_volume(run, max(first, _DROP))),
                number(first, "volume", digits),
                number(last, "volume", digits),
                number(at(run, "parrot_strength", mid), "strength"),
                "",
                "",
                "",
                "",
            )
        )
    sizes = sorted({setting(last - first, "volume") for first, last in ranges}, key=lambda size: float(size.split()[0]))
    return Table(
        key="jars",
        title="Jars around the cuts",
        columns=(
            words("jar", "Jar"),
            figures("time", "From", "time of run"),
            figures("first", "Collected", "volume"),
            figures("last", "to", "volume"),
            figures("strength", "Strength", "strength"),
            pen("clock", "by the clock"),
            pen("strength_seen", "strength", "% vol"),
            pen("nose", "Nose (diluted)"),
            pen("goes", "goes to"),
        ),
        rows=tuple(rows),
        note=(
            f"Jars of {' and '.join(sizes)}. The forecast knows volumes and strengths, not smell: your nose decides "
            "the cut."
        )
        if rows
        else "",
    )


def _jar_volume(run: Run) -> float:
    """A jar is about a quarter of the heads, or a hundredth of the collected volume when there are none."""
    heads = sum(f.volume for f in run.fractions if f.name == "heads")
    wanted = heads / 4 if heads > 0 else run.totals.get("collected_volume", 0.0) / 100
    return min(_JARS, key=lambda jar: abs(math.log(jar / wanted))) if wanted > 0 else _JARS[0]


def _jar_ranges(run: Run, volume: float) -> list[tuple[float, float]]:
    """Ranges of collected volume (m3): from the first drop to a jar past the heads, then around the hearts' end."""
    ranges: list[tuple[float, float]] = []
    total = run.totals.get("collected_volume", 0.0)
    edges: dict[str, tuple[float, float]] = {}
    # A fraction may be taken in several phases: from the start of its first to the end of its last.
    for phase in run.phases:
        start = edges.get(phase.fraction, (at(run, "collected_volume", phase.start), 0.0))[0]
        edges[phase.fraction] = (start, at(run, "collected_volume", phase.end))
    if "heads" in edges and edges["heads"][1] > 0:
        count = math.ceil(edges["heads"][1] / volume) + 1
        ranges += [(i * volume, (i + 1) * volume) for i in range(min(count, 8))]
    if "hearts" in edges and edges["hearts"][1] < total:
        step = _step_near(edges["hearts"][1] - edges["hearts"][0], volume)
        ranges += [
            (edges["hearts"][1] + i * step, edges["hearts"][1] + (i + 1) * step)
            for i in range(-_CUT_BEFORE, _CUT_AFTER)
        ]
    floor = 0.0
    kept = []
    for first, last in ranges:
        if first >= floor - 1e-9 and last <= total:
            kept.append((first, last))
            floor = last
    return kept


def _step_near(hearts: float, volume: float) -> float:
    """Jars around the end of the hearts are wider: about a twentieth of them, never narrower than the first."""
    return max(volume, min(_JARS, key=lambda jar: abs(math.log(jar / max(hearts / 20, 1e-6)))))


def time_at_volume(run: Run, volume: float) -> float:
    """Return when so much (m3 at 20 Cel) has been collected, in s; NaN if it never is."""
    collected = run.series["collected_volume"]
    if len(collected) == 0 or volume > collected[-1]:
        return float("nan")
    index = int(np.searchsorted(collected, volume, side="right"))  # the first sample beyond it
    if index in (0, len(collected)):
        return float(run.series["time"][min(index, int(np.searchsorted(collected, volume)))])
    low, high = collected[index - 1], collected[index]
    before, after = run.series["time"][index - 1], run.series["time"][index]
    return float(before + (volume - low) / (high - low) * (after - before))
