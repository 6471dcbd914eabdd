"""The pictures of a run, described: temperatures, product, heat and water, plates; against time, and against volume."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from middlerun.plan.result import Run
from middlerun.report.marks import marks_of
from middlerun.report.names import plate_count, series_named
from middlerun.report.picture import Curve, Mark, Panel, Picture, Span
from middlerun.report.show import NOTHING, clock, quantity, scaled
from middlerun.report.table import at, at_end

_DROP = 1e-6  # m3: less is no product
_WEEP_HIGH = 4.0  # of the weep point; far above it nothing is to be seen


def pictures(run: Run) -> tuple[Picture, ...]:
    """Return the pictures of a run, described but not drawn. The plates' is left out for a still without plates."""
    made = [_temperatures(run), _product(run), _heat_and_water(run)]
    if plate_count(run.series):
        made.append(_plates(run))
    made.append(_against_volume(run))
    return tuple(made)


def _temperatures(run: Run) -> Picture:
    column = [_curve(run, f"plate_{k}_temperature", k + 2, 0.9) for k in range(1, plate_count(run.series) + 1)]
    head = _curve(run, "head_temperature_shown", 0, 1.9)
    held = _curve(run, "head_setpoint", 2, 1.2)
    low = head_floor(run)
    panels = (
        Panel(
            title="Pot and jacket / °C",
            zero=True,
            curves=(_curve(run, "pot_temperature_shown", 0, 1.9), _curve(run, "jacket_temperature", 1, 1.2)),
        ),
        Panel(
            title=f"Head and plates / °C, from {low:.0f} °C up",
            height=1.9,
            low=low,
            high=low + 31.0,
            curves=(*column, held, head),
        ),
    )
    hearts = max((i for i, phase in enumerate(run.phases) if phase.fraction == "hearts"), default=None)
    boil = clock(run.totals.get("time_to_boil"))
    said = f"The charge boils at {boil}" if boil != NOTHING else "The charge never boils"
    if hearts is not None:
        pot = quantity(at_end(run, hearts, "pot_temperature_shown"), "temperature")
        top_shows = quantity(at_end(run, hearts, "head_temperature_shown"), "temperature")
        said += f"; at the end of the hearts the pot shows {pot}, the head {top_shows}"
    return _against_time(run, "temperatures", "Temperatures", f"{said}.", panels)


def head_floor(run: Run) -> float:
    """Return where a scale of head temperatures may begin (Cel): a little below the coldest head that gives product."""
    steady = _flowing(run)
    if not steady.any():
        return 70.0
    coldest = float(np.min(scaled(run.series["head_temperature_shown"][steady], "temperature")))
    return 5.0 * float(np.floor((coldest - 5.0) / 5.0))


def _flowing(run: Run) -> npt.NDArray[np.bool_]:
    """Where product runs, its first two thousandths left out: there the thermometer is still on its way up."""
    collected = run.series["collected_volume"]
    total = float(collected[-1]) if len(collected) else 0.0
    return np.asarray((run.series["product_rate"] > 0) & (collected > 0.002 * total) & (total > _DROP))


def _product(run: Run) -> Picture:
    panels = (
        Panel(
            title="Strength in the parrot / % vol",
            height=1.6,
            low=0.0,
            high=100.0,
            curves=(_curve(run, "parrot_strength", 0, 1.9), _curve(run, "parrot_reading", 2, 1.2)),
        ),
        Panel(title="Product rate / (L/10 min)", zero=True, curves=(_curve(run, "product_rate", 0, 1.6),)),
        Panel(
            title="Collected, all vessels / L",
            zero=True,
            curves=(
                _curve(run, "collected_volume", 0, 1.6, "product"),
                _curve(run, "collected_pure_alcohol", 1, 1.2, "pure alcohol (LPA)"),
            ),
        ),
    )
    return _against_time(run, "product", "Product", _fractions_said(run), panels)


def _heat_and_water(run: Run) -> Picture:
    def cooling(part: str) -> tuple[Curve, ...]:
        both = [("dephlegmator", 3, 1.4), ("condenser", 1, 1.4)]
        wet = both if run.plan.still.dephlegmator.water_max > 0 else both[1:]
        return tuple(_curve(run, f"{name}_{part}", dash, width, name) for name, dash, width in wet)

    heat = (
        _curve(run, "heater_power", 0, 1.7),
        _curve(run, "heat_to_pot", 4, 1.2),
        _curve(run, "heat_loss", 2, 1.0),
        *cooling("heat"),
    )
    panels = [Panel(title="Heat / kW", zero=True, height=1.2, curves=heat)]
    if np.any(run.series["jacket_gauge"]):
        gauge = _curve(run, "jacket_gauge", 0, 1.4, "jacket")
        panels.append(Panel(title="Jacket, gauge / bar", zero=True, height=0.6, curves=(gauge,), limits=_relief(run)))
    panels += [
        Panel(title="Cooling water / (L/h)", zero=True, curves=cooling("water_flow")),
        Panel(title="Cooling water out / °C", zero=True, curves=cooling("water_out")),
    ]
    t = run.totals
    water = t.get("water_dephlegmator", float("nan")) + t.get("water_condenser", float("nan"))
    said = (
        f"{quantity(t.get('heat_supplied'), 'heat', 1)} of heat and {quantity(water, 'water')} of cooling water in all."
    )
    return _against_time(run, "heat-and-water", "Heat and water", said, tuple(panels))


def _relief(run: Run) -> tuple[tuple[float, str], ...]:
    gauge = run.plan.still.heating.relief_gauge
    return () if gauge is None else ((float(scaled(gauge, "gauge")), "relief valve opens"),)


def _plates(run: Run) -> Picture:
    count = plate_count(run.series)

    def of_all(part: str) -> tuple[Curve, ...]:
        return tuple(_curve(run, f"plate_{k}_{part}", k - 1, 1.2, f"plate {k}") for k in range(1, count + 1))

    flood, weep = of_all("flood"), of_all("weep")
    panels = [
        Panel(title="Hot liquid on the plates / L", zero=True, height=1.2, curves=of_all("liquid")),
        Panel(
            title="Vapour over flooding: above 1 the plate floods", zero=True, curves=flood, limits=((1.0, "flooding"),)
        ),
    ]
    plates = "1 plate" if count == 1 else f"{count} plates, counted from the bottom"
    said = f"{plates}; the vapour reaches at most {max(_largest(curve.y) for curve in flood):.2f} of flooding"
    if any(np.isfinite(curve.y).any() for curve in weep):
        title = "Vapour over weep point: below 1 the plate weeps"
        panels.append(Panel(title=title, low=0.0, high=_WEEP_HIGH, curves=weep, limits=((1.0, "weep point"),)))
    else:
        said += "; plates of this kind do not weep"
    return _against_time(run, "plates", "Plates", f"{said}.", tuple(panels))


def _largest(values: npt.NDArray[np.float64]) -> float:
    seen = values[np.isfinite(values)]
    return float(seen.max()) if len(seen) else 0.0


def _against_volume(run: Run) -> Picture:
    """Strength and head against the collected volume: the cut is read here."""
    collected, shown = scaled(run.series["collected_volume"], "volume"), _flowing(run)
    x = collected[shown]
    panels = (
        Panel(
            title="Strength in the parrot / % vol",
            low=0.0,
            high=100.0,
            height=1.5,
            curves=(
                _picked(run, "parrot_strength", shown, 0, 1.9),
                _picked(run, "fraction_strength", shown, 2, 1.2, "mean in this phase"),
            ),
        ),
        Panel(
            title="Head / °C",
            height=1.2,
            curves=(
                _picked(run, "head_setpoint", shown, 2, 1.2),
                _picked(run, "head_temperature_shown", shown, 0, 1.7),
            ),
        ),
        Panel(title="Pot / °C", height=0.8, curves=(_picked(run, "pot_temperature_shown", shown, 0, 1.5),)),
    )
    spans = []
    for span in _phase_spans(run):
        start, end = (at(run, "collected_volume", hours * 3600) * 1e3 for hours in (span.start, span.end))
        if end - start > 1e-9:
            spans.append(Span(name=span.name, start=start, end=end, cut=span.cut))
    first = float(run.series["time"][shown][0]) if len(x) else float("inf")
    marks = [
        Mark(x=at(run, "collected_volume", mark.x * 3600) * 1e3, label=mark.label, curve=mark.curve)
        for mark in marks_of(run)
        if mark.x * 3600 >= first
    ]
    return Picture(
        name="cuts",
        title="Strength and temperatures against collected volume",
        summary=_fractions_said(run),
        x=x,
        x_label="collected / L at 20 °C",
        clock=False,
        panels=panels,
        spans=tuple(spans),
        marks=_on(panels, marks),
    )


def _fractions_said(run: Run) -> str:
    if not run.fractions:
        return "No product comes over."
    parts = [f"{f.name} {quantity(f.volume, 'volume')} at {quantity(f.strength, 'strength')}" for f in run.fractions]
    return f"First product at {clock(run.totals.get('time_to_product'))}; {', '.join(parts)}."


def _curve(run: Run, name: str, dash: int, width: float, label: str = "") -> Curve:
    values = run.series.get(name)
    y = np.full(len(run.series["time"]), np.nan) if values is None else scaled(values, series_named(name).kind)
    return Curve(name=name, label=label or series_named(name).label, y=y, dash=dash, width=width)


def _picked(run: Run, name: str, shown: npt.NDArray[np.bool_], dash: int, width: float, label: str = "") -> Curve:
    curve = _curve(run, name, dash, width, label)
    return Curve(name=curve.name, label=curve.label, y=curve.y[shown], dash=dash, width=width)


def _against_time(run: Run, name: str, title: str, summary: str, panels: tuple[Panel, ...]) -> Picture:
    return Picture(
        name=name,
        title=title,
        summary=summary,
        x=run.series["time"] / 3600,
        x_label="time since the start of heating / h:min",
        panels=panels,
        spans=_phase_spans(run),
        marks=_on(panels, marks_of(run)),
    )


def _phase_spans(run: Run) -> tuple[Span, ...]:
    """The phases, in h; a cut is where the fraction changes and product runs into a vessel."""
    spans = []
    before = "none"
    for phase in run.phases:
        cut = phase.fraction not in ("none", before)
        spans.append(Span(name=phase.name, start=phase.start / 3600, end=phase.end / 3600, cut=cut))
        before = phase.fraction
    return tuple(spans)


def _on(panels: Iterable[Panel], marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """The marks that belong on one of these panels' curves."""
    names = {curve.name for panel in panels for curve in panel.curves}
    return tuple(mark for mark in marks if mark.curve in names)
