"""The head: over its limit, held where the column can't follow, held as a bare temperature."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from middlerun.alcoholometry import mole_fraction_from_volume_strength, volume_strength_from_mole_fraction
from middlerun.errors import OutOfRangeError
from middlerun.plan.head import boiling_state, strength_for_temperature
from middlerun.plan.result import Warning
from middlerun.plan.warnings.view import ON_DELAY, VAPOUR_RUNS, Mask, View
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
    reached = _strongest(view, dry if dry.any() else view.in_phase(index))
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


def _strongest(view: View, where: Mask) -> float:
    """Return the strength (0 to 1) of the first vapour that would leave the head, by the liquid that the column holds.

    The head thermometer does not tell it: without product it stands in cooled reflux. At total reflux the vapour that
    reaches a plate is as strong as the liquid on it; the plate adds its Murphree share of the way to equilibrium, each
    stage of the dephlegmator all of it.
    """
    n = len(view.still.plates)
    strengths = view[f"plate_{n}_strength" if n else "pot_strength"][where]
    best = int(np.argmax(strengths))
    liquid = float(mole_fraction_from_volume_strength(float(strengths[best])))
    share = float(view[f"plate_{n}_efficiency"][where][best]) if n else 1.0
    vapour = liquid + share * (boiling_state(liquid, view.pressure)[1] - liquid)
    for _ in range(view.still.dephlegmator_stages):
        vapour = boiling_state(vapour, view.pressure)[1]
    return float(volume_strength_from_mole_fraction(vapour))


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
