"""The jacket: vacuum, over its limit, blowing off, steaming through its vent, short of water."""

from __future__ import annotations

import functools
from collections.abc import Iterator

import numpy as np

from middlerun.plan.head import dew_temperature
from middlerun.plan.result import FloatArray, Warning
from middlerun.plan.warnings.view import View
from middlerun.substances import MOLAR_MASS_WATER, packaged, vapour_pressure_water

VACUUM = -3e3  # Pa: 30 mbar below ambient; thin jackets dent from a few tens of mbar on (common practice)
OVERPRESSURE = 1.1  # a relief valve may open fully at 10 % above its setting (EN ISO 4126-1, from memory, high)
BOUNDARY = 0.5e5  # Pa, Directive 2014/68/EU, Article 1(1)
BLOWS = 50.0  # W through the relief valve: less counts as tight
EVAPORATION = 2.23e6  # J/kg, water at 111 Cel (steam tables)
_COLD, _HOT, _HOTTEST = 273.16, 383.15, 423.15  # K; above _HOT, where vapour pressures end, Clausius and Clapeyron
_GAS_CONSTANT = packaged("equilibrium.toml")["gas_constant"].value
_LATENT = EVAPORATION * MOLAR_MASS_WATER  # J/mol


def gauge_without_breaker(view: View) -> FloatArray:
    """Return the gauge pressure (Pa) that a closed water jacket would have if its vacuum breaker let no air in.

    Shut-in air as an ideal gas at constant volume, and saturated steam. An open vent leaves as much air as the day's
    pressure allows, the relief valve no more than its setting does.
    """
    kelvin = np.maximum(view["jacket_temperature"], _COLD)
    steam = _steam(kelvin)
    vented = np.maximum(view.pressure - steam, 0.0) / kelvin  # Pa/K of air
    relieved = np.maximum(view.pressure + view.still.relief_gauge - steam, 0.0) / kelvin
    air, last = np.empty_like(kelvin), float(vented[0])
    bounds = np.searchsorted(view.phase, np.arange(len(view.settings) + 1)).tolist()
    for settings, start, stop in zip(view.settings, bounds, bounds[1:], strict=False):
        here = slice(start, stop)
        if stop > start:
            shut = np.minimum(np.minimum.accumulate(relieved[here]), last)
            air[here] = vented[here] if settings.vent_open else shut
            last = float(air[here][-1])
    return np.asarray(steam + air * kelvin - view.pressure)


@functools.cache
def _steam_line() -> tuple[FloatArray, FloatArray]:
    """Return -1/T and ln p of saturated steam, on which a straight line between two nodes is good to 0.1 %."""
    below, above = np.linspace(_COLD, _HOT, 24), np.linspace(_HOT, _HOTTEST, 5)[1:]
    last = float(vapour_pressure_water(_HOT))
    extended = last * np.exp(_LATENT / _GAS_CONSTANT * (1.0 / _HOT - 1.0 / above))
    pressures = np.concatenate((vapour_pressure_water(below), extended))
    return -1.0 / np.concatenate((below, above)), np.log(pressures)


def _steam(kelvin: FloatArray) -> FloatArray:
    return np.asarray(np.exp(np.interp(-1.0 / kelvin, *_steam_line())))


def vacuum(view: View) -> Iterator[Warning]:
    """A closed water jacket that cools would go below the pressure of the room, but for its vacuum breaker."""
    if view.still.heating_kind == "bain-marie":
        gauge = gauge_without_breaker(view)
        yield from view.warn("jacket-vacuum", gauge < VACUUM, gauge=float(gauge.min()))


def over_limit(view: View) -> Iterator[Warning]:
    """Gauge above what the relief valve should hold, or above 0.5 bar where none is described."""
    if view.still.has_jacket:
        gauge = view["jacket_gauge"]
        limit = OVERPRESSURE * view.still.relief_gauge if np.isfinite(view.still.relief_gauge) else BOUNDARY
        yield from view.warn("jacket-over-limit", gauge > limit, 5.0, gauge=float(gauge.max()), limit=limit)


def relief_blows(view: View) -> Iterator[Warning]:
    """Heat wasted through the relief valve."""
    heat = view["relief_heat"]
    wasted, supplied = view.run.totals["heat_relief"], view.run.totals["heat_supplied"]
    yield from view.warn(
        "relief-blows",
        heat > BLOWS,
        heat=wasted,
        share=wasted / supplied if supplied > 0.0 else 0.0,
        most=float(heat.max()),
    )


def vent_steams(view: View) -> Iterator[Warning]:
    """The vent stands open while the jacket's water boils."""
    if not view.still.has_jacket:
        return
    open_in = [i for i, settings in enumerate(view.settings) if settings.vent_open]
    boils = dew_temperature(0.0, view.pressure)
    steams = np.isin(view.phase, open_in) & (view["jacket_temperature"] >= boils - 0.1)
    hottest = float(view["jacket_temperature"].max())
    yield from view.warn("vent-steams", steams, temperature=hottest, boils=boils)


def short_of_water(view: View) -> Iterator[Warning]:
    """Jacket water below what covers the heating elements, as filled or after the relief valve has blown."""
    still = view.still
    if not still.has_jacket or still.jacket_water_min <= 0.0:
        return
    left = still.jacket_water - view.run.totals["heat_relief"] / EVAPORATION
    if still.heating_kind == "steam-jacket":  # the supply makes up for what blows off
        left = still.jacket_water
    if left < still.jacket_water_min:
        yield Warning(code="jacket-water-low", values={"water": left, "limit": still.jacket_water_min})


CHECKS = (vacuum, over_limit, relief_blows, vent_steams, short_of_water)
