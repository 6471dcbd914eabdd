"""The head: over its limit, held where the column can't follow, held as a bare temperature."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from middlerun.errors import OutOfRangeError
from middlerun.plan.head import strength_for_temperature
from middlerun.plan.result import Warning
from middlerun.plan.warnings.view import ON_DELAY, VAPOUR_RUNS, View
from middlerun.plan.weather import SEA_LEVEL

FULL = 0.97  # share of the valve's range that counts as fully open
SHUT = 0.005  # and as shut
BAND = 0.5  # K from the held temperature: about 1 % vol at 80 to 84 % vol
LONG = 300.0  # s
QUIET = 600.0  # s with hardly any product; total reflux before the heads may last as long by itself
TRICKLE = 0.02  # share of the charge's vapour below which the product counts as a trickle: reflux ratio about 50
NEAR = 0.05  # K


def over_limit(view: View) -> Iterator[Warning]:
    """Head hotter than the plan allows while hearts run."""
    limit = view.plan.limits.head_temperature
    if limit is None:
        return
    shown = view["head_temperature_shown"]
    hot = view.during("hearts") & view.running() & (shown > limit)
    if hot.any():
        yield from view.warn("head-over-limit", hot, ON_DELAY, temperature=float(shown[hot].max()), limit=limit)


def holds(view: View) -> Iterator[Warning]:
    """Held heads that the column can't follow: no product at all, or product weaker or stronger than asked."""
    for index, settings in enumerate(view.settings):
        here = view.in_phase(index) & np.isfinite(view["head_setpoint"])
        if np.isnan(settings.head_setpoint) or np.count_nonzero(here) < 2:
            continue
        yield from _no_product(view, index, settings.head_setpoint)
        yield from _weaker(view, index, settings.head_setpoint)
        yield from _stronger(view, index, settings.head_setpoint)


def _no_product(view: View, index: int, setpoint: float) -> Iterator[Warning]:
    here = view.in_phase(index) & (view["head_temperature"] > setpoint - NEAR)
    dry = here & (view["distillate"] <= np.maximum(VAPOUR_RUNS, TRICKLE * view["pot_vapour"]))
    given_up = index < len(view.run.phases) and view.run.phases[index].ended_by == "no_product"
    spell = view.spell(dry, QUIET) or ((view.run.phases[index].start, view.run.phases[index].end) if given_up else None)
    if spell is None:
        return
    # Almost all vapour runs back, so what the head shows is the strongest that this column gives now.
    where = dry if dry.any() else view.in_phase(index)
    reached = _strength(float(np.min(view["head_temperature"][where])), view.pressure)
    asked = _strength(setpoint, view.pressure)
    yield Warning(
        code="hold-no-product",
        time=spell[0],
        until=spell[1],
        values={
            "phase": view.described(index).name,
            "setpoint": setpoint,
            "asked": asked,
            "reached": min(reached, asked),
            "holdable": max(min(reached, asked) - 0.01, 0.0),
        },
    )


def _weaker(view: View, index: int, setpoint: float) -> Iterator[Warning]:
    here = view.in_phase(index) & view.running()
    full = view["dephlegmator_water_flow"] >= FULL * view.still.dephlegmator_water_max
    off = here & full & (view["head_temperature"] > setpoint + BAND)
    if off.any():
        hottest = float(view["head_temperature"][off].max())
        yield from view.warn(
            "hold-too-weak",
            off,
            LONG,
            phase=view.described(index).name,
            setpoint=setpoint,
            asked=_strength(setpoint, view.pressure),
            got=_strength(hottest, view.pressure),
        )


def _stronger(view: View, index: int, setpoint: float) -> Iterator[Warning]:
    here = view.in_phase(index) & view.running()
    shut = view["dephlegmator_water_flow"] <= SHUT * view.still.dephlegmator_water_max
    off = here & shut & (view["head_temperature"] < setpoint - BAND)
    if off.any():
        coldest = float(view["head_temperature"][off].min())
        yield from view.warn(
            "hold-too-strong",
            off,
            LONG,
            phase=view.described(index).name,
            setpoint=setpoint,
            asked=_strength(setpoint, view.pressure),
            got=_strength(coldest, view.pressure),
        )


def bare_temperature(view: View) -> Iterator[Warning]:
    """A head held as a temperature without its pressure means another strength every day."""
    for phase in view.plan.procedure.phases:
        held = phase.hold_head_temperature
        if held is not None:
            yield Warning(
                code="bare-head-temperature",
                values={
                    "phase": phase.name,
                    "temperature": held,
                    "pressure": view.pressure,
                    "today": _strength(held, view.pressure),
                    "sea_level": _strength(held, SEA_LEVEL),
                },
            )


def _strength(temperature: float, pressure: float) -> float:
    try:
        return strength_for_temperature(temperature, pressure)
    except OutOfRangeError:
        return float("nan")


CHECKS = (over_limit, holds, bare_temperature)
