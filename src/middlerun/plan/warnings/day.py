"""The day and the plan as a whole: time, cost, strength of the charge, gas in the mash, meaning of the pressure."""

from __future__ import annotations

import math
from collections.abc import Iterator

from middlerun.plan.charge_kind import charge_kind
from middlerun.plan.result import Warning
from middlerun.plan.warnings.view import View
from middlerun.plan.weather import standard_pressure

FIRE_STRENGTH = 0.40  # common practice: charges above it are diluted
DEAR = 8.0 * 3.6e9  # J per m3, that is 8 kWh per litre of pure alcohol: about what a 2 % vol mash needs (computed)
PRESSURE_SWING = 4e3  # Pa; the weather moves pressure by up to about 3 kPa from the standard atmosphere's


def too_long(view: View) -> Iterator[Warning]:
    """A run longer than the day."""
    duration, limit = view.run.totals["duration"], view.plan.limits.day
    if duration > limit:
        yield Warning(code="longer-than-day", time=limit, until=duration, values={"duration": duration, "limit": limit})


def never_boils(view: View) -> Iterator[Warning]:
    """Heat that does not bring the charge to the boil."""
    if math.isnan(view.run.totals["time_to_boil"]):
        reached = float(view["pot_temperature"].max())
        yield Warning(code="never-boils", values={"temperature": reached, "power": float(view["heater_power"].max())})


def no_product(view: View) -> Iterator[Warning]:
    """A run in which nothing comes over although fractions are asked for."""
    boils = not math.isnan(view.run.totals["time_to_boil"])
    if boils and math.isnan(view.run.totals["time_to_product"]) and view.phases():
        yield Warning(code="no-product")


def dear(view: View) -> Iterator[Warning]:
    """Energy per litre of pure alcohol so high that the charge is hardly worth its heat."""
    alcohol = view.run.totals["collected_pure_alcohol"]
    heat = view.run.totals["heat_supplied"] * (1.0 - view.still.flue_loss)
    if alcohol > 0.0 and heat / alcohol > DEAR:
        cost = view.run.totals["energy_cost"] + view.run.totals["water_cost"]
        yield Warning(
            code="charge-weak",
            values={
                "energy": heat / alcohol / 3.6e9,
                "limit": DEAR / 3.6e9,
                "strength": view.charge.strength,
                "cost": cost / (1e3 * alcohol),
            },
        )


def strong_charge(view: View) -> Iterator[Warning]:
    """A charge that burns cold."""
    if view.charge.strength > FIRE_STRENGTH:
        values = {"strength": view.charge.strength, "limit": FIRE_STRENGTH}
        yield Warning(code="charge-strong", values=values)


def gassy(view: View) -> Iterator[Warning]:
    """Fresh mash full of carbon dioxide."""
    if not view.plan.charge.degassed and charge_kind(view.plan.charge.kind).group != "low wines":
        yield Warning(code="mash-not-degassed")


def scorches(view: View) -> Iterator[Warning]:
    """Thick mash over a hot base without an agitator."""
    kind = charge_kind(view.plan.charge.kind)
    if kind.scorches and view.still.heating_kind in ("fire", "electric"):
        stirred = all(settings.agitated or settings.heater == 0.0 for settings in view.settings)
        if not stirred:
            yield Warning(code="mash-scorches", values={"kind": kind.title, "heating": view.still.heating_kind})


def pressure_assumed(view: View) -> Iterator[Warning]:
    """Neither barometer nor altitude given."""
    if view.plan.weather.pressure is None and view.plan.weather.altitude is None:
        yield Warning(code="pressure-assumed", values={"pressure": view.pressure})


def pressure_reduced(view: View) -> Iterator[Warning]:
    """A barometer reading that does not fit the altitude: forecasts state pressure as if at sea level."""
    weather = view.plan.weather
    if weather.pressure is not None and weather.altitude is not None:
        usual = standard_pressure(weather.altitude)
        if abs(weather.pressure - usual) > PRESSURE_SWING:
            values = {"pressure": weather.pressure, "usual": usual, "altitude": weather.altitude}
            yield Warning(code="pressure-doubtful", values=values)


CHECKS = (
    too_long,
    never_boils,
    no_product,
    dear,
    strong_charge,
    gassy,
    scorches,
    pressure_assumed,
    pressure_reduced,
)
