"""Checks of dephlegmator and product condenser against the heat that can come over."""

from __future__ import annotations

from collections.abc import Iterator

from middlerun.fields import Finding
from middlerun.still.description import Still
from middlerun.still.exchangers import Condenser, Dephlegmator
from middlerun.still.limits import SUBCOOLING_SHARE, exchanger_duty, useful_heater
from middlerun.still.resolve import StillNumbers

_ROUNDING = 1.0 + 1e-9
_LEAST_REFLUX = 0.3  # of full power: heaters are sized for heating up and run at a third of it (common practice)


def check_cooling(still: Still, numbers: StillNumbers) -> Iterator[Finding]:
    """Yield what is wrong or unlikely about the two coolers. Duties are for cooling water at 15 Cel."""
    yield from _check_given("dephlegmator", still.dephlegmator)
    yield from _check_given("condenser", still.condenser)
    heat = useful_heater(numbers)
    if numbers.condenser_conductance <= 0.0:
        text = "Neither U·A nor an area is given: nothing would condense. Give one of them."
        yield Finding(where="condenser", level="refused", text=text)
    else:
        yield from _check_condenser(numbers, heat)
    yield from _check_dephlegmator(still, numbers, heat)


def _check_given(where: str, part: Dephlegmator | Condenser) -> Iterator[Finding]:
    if part.conductance is not None and part.area is not None:
        text = "Both U·A (conductance) and area are given. Give the one that is known and leave the other out."
        yield Finding(where=f"{where}: conductance", level="refused", text=text)
    if part.water_min > part.water_max * _ROUNDING:
        text = (
            f"The least flow ({3.6e6 * part.water_min:.3g} L/h) is above the most ({3.6e6 * part.water_max:.3g} L/h). "
            "Correct one of them."
        )
        yield Finding(where=f"{where}: water_min", level="refused", text=text)


def _check_condenser(numbers: StillNumbers, heat: float) -> Iterator[Finding]:
    duty = exchanger_duty(numbers.condenser_conductance, numbers.condenser_water_max, cells=numbers.condenser_cells)
    needed, enough = heat * (1.0 + SUBCOOLING_SHARE), duty / (1.0 + SUBCOOLING_SHARE)
    if duty < needed:
        text = (
            f"With all its water at 15 Cel it takes {duty / 1e3:.3g} kW; full power without reflux needs "
            f"{needed / 1e3:.3g} kW to condense and cool (computed). "
            f"Above {enough / 1e3:.3g} kW vapour would leave uncondensed, which is a fire hazard."
        )
        yield Finding(where="condenser", level="unlikely", text=text)


def _check_dephlegmator(still: Still, numbers: StillNumbers, heat: float) -> Iterator[Finding]:
    conductance, water = numbers.dephlegmator_conductance, numbers.dephlegmator_water_max
    if conductance > 0.0 and water <= 0.0:
        text = "It has cooling surface but no water: give water_max, or leave the surface out for a plain head."
        yield Finding(where="dephlegmator: water_max", level="refused", text=text)
        return
    if conductance <= 0.0 and water > 0.0:
        text = "It has water but no cooling surface: give its area or its U·A (conductance)."
        yield Finding(where="dephlegmator: conductance", level="refused", text=text)
        return
    if conductance <= 0.0:
        if numbers.plates:
            text = "The column has plates but no dephlegmator: only what condenses on its walls runs back over them."
            yield Finding(where="dephlegmator", level="unlikely", text=text)
        return
    duty = exchanger_duty(conductance, water, cells=numbers.dephlegmator_cells)
    if duty < _LEAST_REFLUX * heat and still.column is not None:
        text = (
            f"With all its water at 15 Cel it takes {duty / 1e3:.3g} kW, so that total reflux is reached only below "
            f"that heat; full power is {heat / 1e3:.3g} kW (computed). Check area and water."
        )
        yield Finding(where="dephlegmator", level="unlikely", text=text)
    elif duty < heat:
        text = (
            f"With all its water at 15 Cel it takes {duty / 1e3:.3g} kW: total reflux needs the heat turned down from "
            f"{heat / 1e3:.3g} kW to that (computed)."
        )
        yield Finding(where="dephlegmator", level="note", text=text)
