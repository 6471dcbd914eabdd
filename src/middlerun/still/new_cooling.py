"""Head, dephlegmator and condenser of a new still, from one water flow with its temperatures."""

from __future__ import annotations

import math

from middlerun.still.derive import Band, Book, loss_of_surface, rounded
from middlerun.still.description import Heating
from middlerun.still.exchangers import Condenser, Dephlegmator
from middlerun.still.limits import SUBCOOLING_SHARE, conductance_from_water
from middlerun.still.measurements import Measurements
from middlerun.still.resolve import WATER_HEAT_CAPACITY

_STRONG_HEAD = 352.7  # K, when the head was not read: product of about 80 to 90 % vol
_SIZED = "in proportion to the cooling surface, common practice"
_COEFFICIENT = 600.0  # W/(m2.K), small copper dephlegmators 400 to 900, from memory (medium)


def has_dephlegmator(measured: Measurements) -> bool:
    """Tell whether these measurements are of a still with a dephlegmator."""
    if measured.head is not None:
        return measured.head == "dephlegmator"
    return measured.plates > 0 or measured.dephlegmator_flow is not None


def new_head(measured: Measurements, book: Book, heating: Heating) -> Dephlegmator:
    """Return the plain head or the dephlegmator; what was not measured is noted in `book`."""
    if not has_dephlegmator(measured):
        area = 1.6 * measured.pot_volume ** (2.0 / 3.0)
        mass = 18.0 * area  # kg: sheet of 2 mm
        metal = book.put(
            "dephlegmator.metal_mass", (0.6 * mass, mass, 1.8 * mass), "head and vapour pipe in 2 mm sheet"
        )
        band, how = loss_of_surface(area, measured.insulated)
        return Dephlegmator(metal_mass=metal, heat_loss=book.put("dephlegmator.heat_loss", band, how))
    cells = Dephlegmator().cells
    book.put("dephlegmator.cells", (3, cells, 12), "tubes in counter-flow; fit it to your still (common practice)")
    book.put("dephlegmator.stages", (1, 1, 2), "one until your own runs say otherwise (common practice)")
    conductance = _dephlegmator_conductance(measured, book, heating, cells)
    area = conductance / _COEFFICIENT
    flow = measured.dephlegmator_water_max
    if flow is None:
        usual = max(_heat(heating) / (1e3 * WATER_HEAT_CAPACITY * 25.0), 1.5 * (measured.dephlegmator_flow or 0.0))
        how = "takes full power while it warms by 25 K; measure it with the valve open"
        flow = book.put("dephlegmator.water_max", (0.5 * usual, usual, 2.0 * usual), how)
    band, how = loss_of_surface(0.3 * area + 0.03, measured.insulated)
    return Dephlegmator(
        conductance=conductance,
        water_max=flow,
        water_content=book.put("dephlegmator.water_content", (1.5e-3 * area, 4e-3 * area, 8e-3 * area), _SIZED),
        liquid=book.put("dephlegmator.liquid", (1e-4 * area, 2.5e-4 * area, 6e-4 * area), _SIZED),
        metal_mass=book.put("dephlegmator.metal_mass", (10.0 * area, 25.0 * area, 50.0 * area), _SIZED),
        heat_loss=book.put("dephlegmator.heat_loss", band, how),
    )


def new_condenser(measured: Measurements, book: Book, heating: Heating) -> Condenser:
    """Return the product condenser, sized for full power without reflux unless its area is known."""
    heat = _heat(heating) * (1.0 + SUBCOOLING_SHARE)
    flow = measured.condenser_water_max
    if flow is None:
        usual = heat / (1e3 * WATER_HEAT_CAPACITY * 30.0)
        how = "takes full power while it warms by 30 K; measure it with the valve open"
        flow = book.put("condenser.water_max", (0.6 * usual, usual, 1.5 * usual), how)
    area, conductance = measured.condenser_area, None
    if area is None:
        how = "25 to 75 W/K per kilowatt that it must take, common practice"
        conductance = book.put("condenser.conductance", _per_kilowatt(heat, 25.0, 45.0, 75.0), how)
    size = area if area is not None else (conductance or 0.0) / Condenser.coefficient
    content = min(max(rounded(2.5e-3 * size, "volume"), 0.05e-3), 0.2)
    return Condenser(conductance=conductance, area=area, water_max=flow, water_content=content)


def _heat(heating: Heating) -> float:
    return heating.power * (1.0 - heating.flue_loss)


def _per_kilowatt(heat: float, low: float, middle: float, high: float) -> Band:
    return low * heat / 1e3, middle * heat / 1e3, high * heat / 1e3


def _dephlegmator_conductance(measured: Measurements, book: Book, heating: Heating, cells: int) -> float:
    key = "dephlegmator.conductance"
    flow, water_in, water_out = (
        measured.dephlegmator_flow,
        measured.dephlegmator_water_in,
        measured.dephlegmator_water_out,
    )
    if flow is None or water_in is None or water_out is None:
        how = "5 to 30 W/K per kilowatt of full power, common practice; measure one water flow with its temperatures"
        return book.put(key, _per_kilowatt(_heat(heating), 5.0, 10.0, 30.0), how)
    hot = _STRONG_HEAD if measured.head_temperature is None else measured.head_temperature
    middle = conductance_from_water(flow, water_in, water_out, hot, cells)
    steps = [math.log(1.05)]  # a bucket and a watch: a twentieth
    # Each thermometer off by 1 K; the vapour that enters is up to 2 K hotter than the head.
    moved = (
        (min(water_in + 1.0, water_out - 0.5), water_out, hot),
        (water_in, max(water_out - 1.0, water_in + 0.5), hot),
        (water_in, water_out, hot + 2.0),
    )
    steps += [math.log(conductance_from_water(flow, a, b, c, cells) / middle) for a, b, c in moved if a < b]
    band = math.exp(math.hypot(*steps))
    how = (
        f"{3.6e6 * flow:.3g} L/h from {water_in - 273.15:.3g} to {water_out - 273.15:.3g} Cel with the head at "
        f"{hot - 273.15:.3g} Cel, {cells} cells in counter-flow; computed; it holds if product ran at that moment"
    )
    return book.put(key, (middle / band, middle, middle * band), how)
