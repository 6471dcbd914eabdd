"""Checks of heater, jacket and what keeps a jacket from bursting or collapsing."""

from __future__ import annotations

import math
from collections.abc import Iterator

from middlerun.fields import Finding
from middlerun.still.description import Heating, Still
from middlerun.still.limits import BOIL, saturation_temperature, time_to_boil, useful_heater
from middlerun.still.resolve import StillNumbers

PRESSURE_BOUNDARY = 0.5e5  # Pa gauge, Directive 2014/68/EU Art. 1(1)
_USUAL_HEAT_UP = (20 * 60.0, 150 * 60.0)  # s, common practice
_USUAL_FILL = 0.7  # of the pot, cold, common practice
_LICENSED = "Leave its layout and setting to a licensed installer, under local codes."
_ROUNDING = 1.0 + 1e-9  # 400 L/h and the like are not exact in SI


def check_heating(still: Still, numbers: StillNumbers) -> Iterator[Finding]:
    """Yield what is wrong or unlikely about the heating, its jacket and its strength for this pot."""
    heating = still.heating
    if numbers.has_jacket:
        yield from _check_jacket_safety(heating)
        yield from _check_jacket_water(heating)
    else:
        yield from _check_no_jacket(heating)
    if heating.kind == "steam-jacket":
        yield from _check_steam(heating, numbers)
    yield from _check_steps(heating)
    if heating.flue_loss > 0.0 and heating.kind != "fire":
        text = f"Only a fire loses heat up a flue; with {heating.kind} heating the value is not used."
        yield Finding(where="heating: flue_loss", level="note", text=text)
    if still.pot.agitator and heating.cold_share_agitated < heating.cold_share:
        text = "Agitation can't make the heat transfer worse. Exchange it with cold_share, or correct one of them."
        yield Finding(where="heating: cold_share_agitated", level="unlikely", text=text)
    yield from _check_strength(still, numbers)


def _check_jacket_safety(heating: Heating) -> Iterator[Finding]:
    why = {
        "vent": "A jacket shut cold keeps its air in: about 0.7 bar gauge at 80 Cel and 1.3 bar gauge at 100 Cel.",
        "relief_gauge": "A closed jacket that boils has no upper limit of pressure without one.",
        "vacuum_breaker": "A shut jacket that cools goes to vacuum and collapses.",
    }
    name = {"vent": "vent", "relief_gauge": "relief valve", "vacuum_breaker": "vacuum breaker"}
    here = {
        "vent": heating.vent,
        "relief_gauge": heating.relief_gauge is not None,
        "vacuum_breaker": heating.vacuum_breaker,
    }
    absent = [key for key, present in here.items() if not present]
    for key in absent:
        text = f"The {heating.kind} jacket is described without a {name[key]}. {why[key]}"
        # What holds for all of them is said once, after the last.
        yield Finding(
            where=f"heating: {key}", level="refused", text=f"{text} {_LICENSED}" if key == absent[-1] else text
        )
    gauge = heating.relief_gauge
    if gauge is not None and gauge > PRESSURE_BOUNDARY * _ROUNDING:
        text = (
            f"The relief opens at {gauge / 1e5:.2g} bar gauge. In the European Union Directive 2014/68/EU covers "
            "equipment for more than 0.5 bar gauge, with duties for its maker; other countries draw their own line, "
            "and a jacket below it needs protection all the same. " + _LICENSED
        )
        yield Finding(where="heating: relief_gauge", level="unlikely", text=text)
    if gauge is not None and gauge < 0.05e5:
        text = f"A relief that opens at {gauge / 1e5:.2g} bar gauge lets steam go as soon as the jacket boils."
        yield Finding(where="heating: relief_gauge", level="unlikely", text=text)
    if heating.relief_conductance < heating.power:
        text = (
            f"At 0.1 bar above its setting the relief lets {heating.relief_conductance / 1e3:.4g} kW go, less than the "
            f"{heating.power / 1e3:.4g} kW that the heating gives. A relief valve is sized for all of it "
            "(good practice, e.g. EN ISO 4126-1). " + _LICENSED
        )
        yield Finding(where="heating: relief_conductance", level="unlikely", text=text)


def _check_jacket_water(heating: Heating) -> Iterator[Finding]:
    if heating.kind == "bain-marie" and heating.jacket_water is None:
        text = "A bain-marie needs its water: give the kilograms that the jacket is filled with."
        yield Finding(where="heating: jacket_water", level="refused", text=text)
    water, least = heating.jacket_water, heating.jacket_water_min
    if water is not None and least is not None and least > water * _ROUNDING:
        text = (
            f"The jacket is filled with {water:.4g} kg, but {least:.4g} kg are needed to cover the elements. "
            "Fill more, or correct the lower limit."
        )
        yield Finding(where="heating: jacket_water_min", level="refused", text=text)


def _check_no_jacket(heating: Heating) -> Iterator[Finding]:
    given = {
        "jacket_water": heating.jacket_water,
        "jacket_water_min": heating.jacket_water_min,
        "jacket_gas_volume": heating.jacket_gas_volume,
        "relief_gauge": heating.relief_gauge,
        "steam_gauge": heating.steam_gauge,
        "vent": heating.vent or None,
        "vacuum_breaker": heating.vacuum_breaker or None,
    }
    for key, value in given.items():
        if value is not None:
            text = f"With {heating.kind} heating there is no jacket; the value is not used. Is the kind right?"
            yield Finding(where=f"heating: {key}", level="unlikely", text=text)


def _check_steam(heating: Heating, numbers: StillNumbers) -> Iterator[Finding]:
    gauge = numbers.steam_gauge
    if heating.steam_gauge is None:
        text = f"No steam pressure is given; {gauge / 1e5:.2g} bar gauge is taken, four fifths of the relief's setting."
        yield Finding(where="heating: steam_gauge", level="note", text=text)
    if heating.relief_gauge is not None and gauge > heating.relief_gauge * _ROUNDING:
        text = (
            f"The steam supply holds {gauge / 1e5:.3g} bar gauge, above the relief's {heating.relief_gauge / 1e5:.3g}: "
            "the relief would blow all the time. Correct one of them."
        )
        yield Finding(where="heating: steam_gauge", level="refused", text=text)


def _check_steps(heating: Heating) -> Iterator[Finding]:
    where = "heating: steps"
    over = [step for step in heating.steps if step > heating.power * _ROUNDING]
    if over:
        text = (
            f"Step {max(over) / 1e3:.4g} kW is above the most that the heating gives, {heating.power / 1e3:.4g} kW. "
            "Correct one of them."
        )
        yield Finding(where=where, level="refused", text=text)
    if len(set(heating.steps)) < len(heating.steps):
        yield Finding(where=where, level="unlikely", text="The same step is given twice. Leave one of them out.")
    if heating.steps and not over and max(heating.steps) < 0.999 * heating.power and not heating.fine_control:
        text = f"No step reaches the full {heating.power / 1e3:.4g} kW, and there is no control between the steps."
        yield Finding(where=where, level="unlikely", text=text)
    if not heating.steps and not heating.fine_control:
        text = "Neither steps nor control between them: the heating is either on or off."
        yield Finding(where="heating: fine_control", level="unlikely", text=text)


def _check_strength(still: Still, numbers: StillNumbers) -> Iterator[Finding]:
    """Is the heater too strong or too weak for the pot, and does its heat get through?"""
    charge = min(_USUAL_FILL * still.pot.volume, still.pot.working_max)
    seconds = time_to_boil(numbers, charge)
    low, high = _USUAL_HEAT_UP
    words = f"a charge of {1e3 * charge:.3g} L from 15 Cel"
    if math.isinf(seconds):
        text = f"The heating never brings {words} to the boil within eight hours. Check power and U·A."
        yield Finding(where="heating: power", level="unlikely", text=text)
    elif not low <= seconds <= high:
        text = (
            f"The heating brings {words} to the boil in {seconds / 60:.0f} min; usual are {low / 60:.0f} to "
            f"{high / 60:.0f} min (common practice). Check power, U·A and volume."
        )
        yield Finding(where="heating: power", level="unlikely", text=text)
    if not numbers.has_jacket:
        return
    top = numbers.steam_gauge if still.heating.kind == "steam-jacket" else numbers.relief_gauge
    if math.isinf(top):
        return
    through = numbers.heating_conductance * (saturation_temperature(top) - BOIL)
    if through < 0.5 * useful_heater(numbers):
        held = "steam supply" if still.heating.kind == "steam-jacket" else "relief valve"
        text = (
            f"With the jacket at {top / 1e5:.2g} bar gauge, where its {held} holds it, {through / 1e3:.3g} kW reach "
            f"the boiling charge, less than half of the {numbers.heater_max / 1e3:.4g} kW that can be given. "
            "Check U·A against the power."
        )
        yield Finding(where="heating: conductance", level="unlikely", text=text)
