"""The heating of a new still: jacket, U·A and flue from kind, size and one timed heat-up."""

from __future__ import annotations

import dataclasses
import math

from middlerun.errors import PlanError
from middlerun.still.derive import (
    Band,
    Book,
    charge_to_boil,
    loss_of_surface,
    pot_surface,
    rounded,
    wetted_surface,
)
from middlerun.still.description import Heating, Pot
from middlerun.still.heat_up import HeatUp, conductance_from_heat_up, contradiction, useful_power_from_heat_up
from middlerun.still.limits import saturation_temperature
from middlerun.still.measurements import Measurements
from middlerun.still.resolve import (
    LEAST_JACKET_HEAT_CAPACITY,
    METAL_HEAT_CAPACITY,
    STEAM_GAS_SHARE,
    WATER_HEAT_CAPACITY,
)

JACKETED = ("bain-marie", "steam-jacket")
_USUAL = "usual for its size, common practice"
_FLUE = (0.35, 0.5, 0.7)  # share of a burner's heat up the flue, common practice
_SEARCH = 3.0  # a timed U·A is looked for this far outside the usual band


def new_heating(measured: Measurements, book: Book, pot: Pot) -> Heating:
    """Return the heating; what was not measured is noted in `book`."""
    kind, power = measured.heating_kind, measured.power
    water = _jacket_water(measured, book)
    least = gas = None
    if kind == "bain-marie" and water is not None:
        how = _USUAL + "; must cover the elements: look"
        least = book.put("heating.jacket_water_min", _times(water, 0.5, 0.7, 0.9), how)
        gas = book.put("heating.jacket_gas_volume", _times(1e-3 * water, 0.1, 0.3, 0.6), _USUAL)
    elif kind == "steam-jacket":
        gas = book.put("heating.jacket_gas_volume", _times(pot.volume, 0.05, STEAM_GAS_SHARE, 0.3), _USUAL)
    loss = 0.0
    if kind in JACKETED:
        band, how = loss_of_surface(0.8 * pot_surface(pot.volume), measured.insulated)
        loss = book.put("heating.heat_loss", band, how)
    heating = Heating(
        kind=kind,
        power=power,
        conductance=_usual_conductance(measured)[0][1],
        jacket_water=water,
        jacket_water_min=least,
        jacket_gas_volume=gas,
        metal_mass=_metal(measured, book),
        heat_loss=loss,
        relief_gauge=measured.relief_gauge,
        relief_conductance=rounded(min(max(30e3, 1.5 * power), 1000e3), "power"),
        steam_gauge=measured.steam_gauge,
        vent=measured.vent,
        vacuum_breaker=measured.vacuum_breaker,
    )
    return _with_heat_transfer(measured, book, pot, heating)


def _times(value: float, low: float, middle: float, high: float) -> Band:
    return low * value, middle * value, high * value


def _jacket_water(measured: Measurements, book: Book) -> float | None:
    if measured.heating_kind not in JACKETED:
        return None
    if measured.jacket_water is not None:
        return measured.jacket_water
    per_litre = (0.15, 0.3, 0.5) if measured.heating_kind == "bain-marie" else (0.01, 0.02, 0.05)
    how = _USUAL + "; weigh or meter it when filling"
    return book.put("heating.jacket_water", _times(1e3 * measured.pot_volume, *per_litre), how)


def _metal(measured: Measurements, book: Book) -> float:
    volume, power = measured.pot_volume, measured.power
    if measured.heating_kind in JACKETED:
        band, part = _times(volume, 150.0, 300.0, 600.0), "the jacket's sheet"
    elif measured.heating_kind == "electric":
        band, part = _times(power, 2e-4, 5e-4, 1e-3), "the elements"
    else:
        band, part = _times(volume, 50.0, 130.0, 300.0), "base and grate"
    return book.put("heating.metal_mass", band, f"{part}, {_USUAL}")


def _with_heat_transfer(measured: Measurements, book: Book, pot: Pot, heating: Heating) -> Heating:
    """Fill in U·A, and for a fire the flue's loss, from the timed heat-up when there is one."""
    band, how = _usual_conductance(measured)
    heat_up = _heat_up(measured, pot, heating)
    flue = 0.0
    if measured.heating_kind == "fire":
        flue = _flue_loss(measured, book, heat_up, band[1])
    elif measured.heating_kind == "electric" and heat_up is not None:
        _compare_power(book, heat_up, band[1])
    elif heat_up is not None:
        band, how = _timed_conductance(measured, heating, heat_up, band, how)
    conductance = book.put("heating.conductance", band, how)
    return dataclasses.replace(heating, conductance=conductance, flue_loss=flue)


def _usual_conductance(measured: Measurements) -> tuple[Band, str]:
    """Usual U·A (W/K) by kind of heating, and why."""
    if measured.heating_kind in JACKETED:
        area = wetted_surface(measured.pot_volume)
        how = f"{area:.2g} m2 of wetted wall at 285 to 1400 W/(m2.K); Perry's Handbook, Table 11-7, and common practice"
        return _times(area, 285.0, 800.0, 1400.0), how
    if measured.heating_kind == "electric":
        how = "elements 5 to 40 K hotter than the boiling charge, common practice"
        return _times(measured.power, 1 / 40, 1 / 15, 1 / 5), how
    how = "fired base 15 to 120 K hotter than the boiling charge, common practice"
    return _times((1.0 - _FLUE[1]) * measured.power, 1 / 120, 1 / 45, 1 / 15), how


def _timed_conductance(
    measured: Measurements, heating: Heating, heat_up: HeatUp, usual: Band, usual_how: str
) -> tuple[Band, str]:
    """U·A at the boil from the timed heat-up; where that says little, the usual band bounds it."""
    share = heating.cold_share_agitated if measured.agitator else heating.cold_share
    found, low, high = conductance_from_heat_up(heat_up, share * usual[0] / _SEARCH, share * usual[2] * _SEARCH)
    # What was timed is the U·A before the boil; how much it gains at the boil is itself a guess.
    low, high = low / min(1.0, 1.25 * share), high / (0.75 * share)
    if low < usual[2] and usual[0] < high:
        low, high = max(low, usual[0]), min(high, usual[2])
    minutes = f"{heat_up.time / 60:.0f} min"
    if found is None:
        return (low, min(max(usual[1], low), high), high), f"{usual_how}; {minutes} to the boil only bound it"
    how = f"timed heat-up, {minutes}, over the share of U·A before the boil, {share:g}; computed"
    value = found / share
    return (min(low, value), value, max(high, value)), how


def _heat_up(measured: Measurements, pot: Pot, heating: Heating) -> HeatUp | None:
    if measured.time_to_boil is None or measured.boil_volume is None:
        return None
    capacity, boil = charge_to_boil(measured.boil_volume, measured.boil_strength, measured.boil_start)
    gauge = measured.relief_gauge
    if measured.heating_kind == "steam-jacket":
        supposed = 0.8 * (0.5e5 if gauge is None else gauge)
        gauge = supposed if measured.steam_gauge is None else measured.steam_gauge
    hottest = math.inf
    if measured.heating_kind in JACKETED and gauge is not None:
        hottest = saturation_temperature(gauge)
    jacket = (heating.jacket_water or 0.0) * WATER_HEAT_CAPACITY + heating.metal_mass * METAL_HEAT_CAPACITY["stainless"]
    return HeatUp(
        time=measured.time_to_boil,
        power=measured.power,
        capacity=capacity + pot.metal_mass * METAL_HEAT_CAPACITY[pot.metal],
        jacket_capacity=max(jacket, LEAST_JACKET_HEAT_CAPACITY),
        start=measured.boil_start,
        boil=boil,
        pot_loss=pot.heat_loss,
        jacket_loss=heating.heat_loss,
        hottest=hottest,
    )


def _flue_loss(measured: Measurements, book: Book, heat_up: HeatUp | None, conductance: float) -> float:
    if heat_up is None:
        return book.put("heating.flue_loss", _FLUE, "burner under a pot, common practice")
    low, useful, high = useful_power_from_heat_up(heat_up, conductance)
    if low > measured.power:
        raise PlanError(contradiction(heat_up))
    shares = tuple(max(1.0 - heat / measured.power, 0.0) for heat in (high, useful, low))
    how = f"timed heat-up, {heat_up.time / 60:.0f} min, against the burner's power; computed"
    return book.put("heating.flue_loss", (shares[0], shares[1], shares[2]), how)


def _compare_power(book: Book, heat_up: HeatUp, conductance: float) -> None:
    """An immersed heater gives all its heat: the heat-up tests its power, not its U·A."""
    low, useful, high = useful_power_from_heat_up(heat_up, conductance)
    if low > 1.05 * heat_up.power or high < 0.6 * heat_up.power:
        raise PlanError(contradiction(heat_up))
    how = f"the timed heat-up, {heat_up.time / 60:.0f} min, gives {useful / 1e3:.3g} kW; the value on the plate is kept"
    book.put("heating.power", (min(low, heat_up.power), heat_up.power, max(high, heat_up.power)), how)
