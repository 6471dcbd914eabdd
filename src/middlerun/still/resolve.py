"""From a described still to plain numbers: everything that may be left out is derived here, by stated rules."""

from __future__ import annotations

import math
from dataclasses import dataclass

from middlerun.still.description import Column, Plate, Still
from middlerun.still.exchangers import Condenser, Dephlegmator
from middlerun.still.plate_type import PlateType, plate_type

# Metals: heat capacity J/(kg.K) and density kg/m3 near 80 Cel, handbook values from memory (high).
METAL_HEAT_CAPACITY = {"copper": 390.0, "stainless": 500.0}
METAL_DENSITY = {"copper": 8930.0, "stainless": 7900.0}
WATER_HEAT_CAPACITY = 4190.0  # J/(kg.K), liquid water, 15 to 110 Cel within 1 percent (from memory, high)

# Loss to still air, W/(m2.K): bare metal at 80 to 85 Cel 8 to 11, insulated 1 to 2 (both computed); the middles.
BARE_LOSS = 9.5
INSULATED_LOSS = 1.5

SHELL_WALL = 0.002  # m, sheet of column shells, common practice (1.5 to 3 mm)
WEEP_VAPOUR_DENSITY = 1.0  # kg/m3, at which `weep_velocity` is stated
LEAST_JACKET_HEAT_CAPACITY = 500.0  # J/K: an element or a fired base is never without heat capacity
JACKET_GAS_SHARE = 0.2  # of the jacket's water, when a closed water jacket says nothing; common practice
STEAM_GAS_SHARE = 0.1  # of the pot's volume, when a steam jacket says nothing; common practice
DEFAULT_LAG = 10.0  # s, thermometer in a pocket, common practice
DEFAULT_STRENGTH_LAG = 5.0  # s, alcoholmeter or density meter in the parrot, common practice
_PER_BAR_TENTH = 1e4  # Pa in 0.1 bar
_L_PER_H = 1e-3 / 3600.0  # m3/s


@dataclass(frozen=True, kw_only=True)
class PlateNumbers:
    """One plate, SI. Levels are hot liquid; `weep_velocity` is 0 for a kind that leaks at a constant rate."""

    level: float  # m3
    level_min: float  # m3
    level_max: float  # m3
    efficiency: float  # 1, Murphree vapour
    hole_area: float  # m2
    active_area: float  # m2
    spacing: float  # m
    weir_time: float  # s
    leak_time: float  # s
    weep_velocity: float  # m/s in the holes, with vapour of 1 kg/m3
    discharge: float  # 1, C0 of the dry pressure drop
    heat_capacity: float  # J/K
    heat_loss: float  # W/K
    bypass: bool


@dataclass(frozen=True, kw_only=True)
class StillNumbers:
    """A still as SI floats with nothing left open. Infinity and NaN only where a comment says so."""

    pot_volume: float  # m3
    working_max: float  # m3
    working_min: float  # m3
    pot_heat_capacity: float  # J/K, metal
    pot_heat_loss: float  # W/K
    pot_vapour_conductance: float  # W/K
    heating_kind: str
    heater_max: float  # W
    heating_conductance: float  # W/K
    cold_share: float
    cold_share_agitated: float
    flue_loss: float
    jacket_heat_capacity: float  # J/K, water and metal, or element or base
    jacket_heat_loss: float  # W/K
    relief_gauge: float  # Pa; infinity without relief
    relief_conductance: float  # W per Pa above the setting
    jacket_gas_volume: float  # m3; 0 without a closed jacket
    steam_gauge: float  # Pa; NaN unless a steam jacket
    has_jacket: bool
    jacket_water: float  # kg
    jacket_water_min: float  # kg
    plates: tuple[PlateNumbers, ...]
    dephlegmator_conductance: float  # W/K; 0 for a plain head
    dephlegmator_water_max: float  # m3/s
    dephlegmator_water_min: float  # m3/s
    dephlegmator_water_content: float  # m3
    dephlegmator_cells: int
    dephlegmator_stages: int
    dephlegmator_liquid: float  # m3 per stage
    dephlegmator_drain_time: float  # s
    dephlegmator_heat_capacity: float  # J/K
    head_heat_loss: float  # W/K
    condenser_conductance: float  # W/K
    condenser_water_max: float  # m3/s
    condenser_water_min: float  # m3/s
    condenser_water_content: float  # m3
    condenser_cells: int
    parrot_volume: float  # m3
    parrot_heat_lag: float  # s
    pot_lag: float  # s
    head_lag: float  # s
    strength_lag: float  # s
    valve_lag: float  # s
    control_gain: float  # m3/s per K; NaN: to be derived
    integral_time: float  # s


def resolve(still: Still) -> StillNumbers:
    """Return the numbers of a still: what its file gives, and the rest derived.

    Derived: plates from their type, the column's diameter, spacing, metal and insulation; exchangers from area times
    coefficient; heat capacities from mass and metal; lags from the instruments. UnknownNameError for a plate type that
    is not in the library.

    >>> from middlerun.still import library_still
    >>> numbers = resolve(library_still("bain-marie-100-3-plates"))
    >>> len(numbers.plates), numbers.heating_conductance, numbers.heater_max
    (3, 600.0, 12000.0)
    """
    pot, heating, head, condenser = still.pot, still.heating, still.dephlegmator, still.condenser
    has_jacket = heating.kind in ("bain-marie", "steam-jacket")
    water = (heating.jacket_water or 0.0) if has_jacket else 0.0
    head_metal = still.column.metal if still.column is not None else pot.metal
    return StillNumbers(
        pot_volume=pot.volume,
        working_max=pot.working_max,
        working_min=pot.working_min,
        pot_heat_capacity=pot.metal_mass * METAL_HEAT_CAPACITY[pot.metal],
        pot_heat_loss=pot.heat_loss,
        pot_vapour_conductance=pot.vapour_conductance,
        heating_kind=heating.kind,
        heater_max=heating.power,
        heating_conductance=heating.conductance,
        cold_share=heating.cold_share,
        cold_share_agitated=heating.cold_share_agitated if pot.agitator else heating.cold_share,
        flue_loss=heating.flue_loss if heating.kind == "fire" else 0.0,
        jacket_heat_capacity=max(
            water * WATER_HEAT_CAPACITY + heating.metal_mass * METAL_HEAT_CAPACITY["stainless"],
            LEAST_JACKET_HEAT_CAPACITY,
        ),
        jacket_heat_loss=heating.heat_loss,
        relief_gauge=math.inf if heating.relief_gauge is None else heating.relief_gauge,
        relief_conductance=heating.relief_conductance / _PER_BAR_TENTH,
        jacket_gas_volume=_jacket_gas_volume(still, water),
        steam_gauge=_steam_gauge(still),
        has_jacket=has_jacket,
        jacket_water=water,
        jacket_water_min=(heating.jacket_water_min or 0.0) if has_jacket else 0.0,
        plates=() if still.column is None else tuple(_plate(still.column, plate) for plate in still.column.plates),
        dephlegmator_conductance=exchanger_conductance(head),
        dephlegmator_water_max=head.water_max,
        dephlegmator_water_min=min(head.water_min, head.water_max),
        dephlegmator_water_content=head.water_content,
        dephlegmator_cells=head.cells,
        dephlegmator_stages=head.stages,
        dephlegmator_liquid=head.liquid,
        dephlegmator_drain_time=head.drain_time,
        dephlegmator_heat_capacity=head.metal_mass * METAL_HEAT_CAPACITY[head_metal],
        head_heat_loss=head.heat_loss,
        condenser_conductance=exchanger_conductance(condenser),
        condenser_water_max=condenser.water_max,
        condenser_water_min=min(condenser.water_min, condenser.water_max),
        condenser_water_content=condenser.water_content,
        condenser_cells=condenser.cells,
        parrot_volume=still.parrot.volume,
        parrot_heat_lag=still.parrot.heat_lag,
        pot_lag=_lag(still, "pot temperature", DEFAULT_LAG),
        head_lag=_lag(still, "head temperature", still.control.head_lag),
        strength_lag=_lag(still, "product strength", DEFAULT_STRENGTH_LAG),
        valve_lag=still.control.valve_lag,
        control_gain=math.nan if still.control.gain is None else still.control.gain * _L_PER_H,
        integral_time=still.control.integral_time,
    )


def exchanger_conductance(exchanger: Dephlegmator | Condenser) -> float:
    """Return U·A in W/K: as given, else area times coefficient, else 0 (a plain head).

    >>> exchanger_conductance(Condenser(area=0.5, water_max=1e-4))
    350.0
    """
    if exchanger.conductance is not None:
        return exchanger.conductance
    return 0.0 if exchanger.area is None else exchanger.area * exchanger.coefficient


def section_heat_loss(diameter: float, spacing: float, insulated: bool) -> float:
    """Return the loss of one column section in W/K: its outer surface times the loss coefficient.

    >>> round(section_heat_loss(0.2, 0.18, insulated=False), 2)
    1.1
    """
    outer = diameter + 2.0 * SHELL_WALL
    return math.pi * outer * spacing * (INSULATED_LOSS if insulated else BARE_LOSS)


def section_metal_mass(diameter: float, spacing: float, plate_thickness: float, metal: str) -> float:
    """Return the metal of one column section in kg: shell of 2 mm and the plate as a full sheet.

    >>> round(section_metal_mass(0.2, 0.18, 0.004, "copper"), 2)
    3.16
    """
    shell = math.pi * (diameter + SHELL_WALL) * SHELL_WALL * spacing
    sheet = math.pi / 4.0 * diameter**2 * plate_thickness
    return (shell + sheet) * METAL_DENSITY[metal]


def weep_velocity(kind: PlateType, hole_diameter: float) -> float:
    """Return the vapour velocity in the holes (m/s) at the weep point, with vapour of 1 kg/m3; 0 for caps.

    u = (K2 - 0.9 (25.4 - d))/sqrt(rho), d in mm: Sinnott, Coulson & Richardson vol. 6, from memory (high).

    >>> round(weep_velocity(plate_type("sieve"), 0.004), 2)
    10.24
    """
    if kind.weep_constant.value == 0.0:
        return 0.0
    reduced = kind.weep_constant.value - 0.9 * (25.4 - 1e3 * hole_diameter)
    return max(reduced, 0.0) / math.sqrt(WEEP_VAPOUR_DENSITY)


def _plate(column: Column, plate: Plate) -> PlateNumbers:
    kind = plate_type(plate.type)
    active = math.pi / 4.0 * column.diameter**2 * kind.active_share.value
    litre_per_height = active * kind.clear_share.value  # m3 of clear liquid per m of weir
    level_min = _given(plate.level_min, kind.level_min.value * litre_per_height)
    level_max = _given(plate.level_max, kind.level_max.value * litre_per_height)
    # A level or limit that the file gives moves the derived ones along, so that their order stays right.
    if plate.level is not None:
        level_min = level_min if plate.level_min is not None else min(level_min, plate.level)
        level_max = level_max if plate.level_max is not None else max(level_max, plate.level)
    hole_diameter = _given(plate.hole_diameter, kind.hole_diameter.value)
    metal_mass = _given(
        plate.metal_mass, section_metal_mass(column.diameter, column.spacing, kind.thickness.value, column.metal)
    )
    return PlateNumbers(
        level=_given(plate.level, min(max(kind.level.value * litre_per_height, level_min), level_max)),
        level_min=level_min,
        level_max=level_max,
        efficiency=_given(plate.efficiency, kind.efficiency.value),
        hole_area=_given(plate.hole_area, active * kind.open_share.value),
        active_area=active,
        spacing=column.spacing,
        weir_time=_given(plate.weir_time, kind.weir_time.value),
        leak_time=_given(plate.leak_time, kind.leak_time.value),
        weep_velocity=weep_velocity(kind, hole_diameter),
        discharge=kind.discharge.value,
        heat_capacity=metal_mass * METAL_HEAT_CAPACITY[column.metal],
        heat_loss=_given(plate.heat_loss, section_heat_loss(column.diameter, column.spacing, column.insulated)),
        bypass=plate.bypass,
    )


def _jacket_gas_volume(still: Still, water: float) -> float:
    heating = still.heating
    if heating.kind == "bain-marie":
        return _given(heating.jacket_gas_volume, JACKET_GAS_SHARE * water * 1e-3)
    if heating.kind == "steam-jacket":
        return _given(heating.jacket_gas_volume, STEAM_GAS_SHARE * still.pot.volume)
    return 0.0


def _steam_gauge(still: Still) -> float:
    """A steam jacket that gives no supply pressure is taken at its relief's setting, less a fifth."""
    heating = still.heating
    if heating.kind != "steam-jacket":
        return math.nan
    if heating.steam_gauge is not None:
        return heating.steam_gauge
    return 0.8 * _given(heating.relief_gauge, 0.5e5)


def _lag(still: Still, reads: str, default: float) -> float:
    for instrument in still.instruments:
        if instrument.reads == reads:
            return instrument.lag
    return default


def _given(value: float | None, derived: float) -> float:
    return derived if value is None else value
