"""What the parts of a still can do, by short formulas: flooding, weeping, exchangers, warming up.

Estimates to judge a description by, with round properties of hot spirit vapour; a prediction uses the engine instead.
"""

from __future__ import annotations

import math

from middlerun.errors import OutOfRangeError
from middlerun.still.resolve import WATER_HEAT_CAPACITY, PlateNumbers, StillNumbers

# Vapour and liquid of 80 % vol spirit at its boil near 1 atm; computed from ideal gas, density tables and handbook
# surface tensions (from memory, medium). Molar latent heats of ethanol and water are 38.6 and 40.7 kJ/mol.
VAPOUR_MOLAR_MASS = 0.0326  # kg/mol
VAPOUR_DENSITY = 1.14  # kg/m3
LIQUID_DENSITY = 787.0  # kg/m3
SURFACE_TENSION = 0.020  # N/m
LATENT_HEAT = 40.0e3  # J/mol
SUBCOOLING_SHARE = 0.15  # heat to cool the condensate to hand warmth, over its latent heat
STRONG_VAPOUR = 352.0  # K, head at strong product; the coolest, and so the hardest, vapour to condense
WATER_IN = 288.15  # K, cooling water at 15 Cel
BOIL = 365.7  # K, a 10 % vol charge at 101.325 kPa

# Fair's flooding chart of 1961 as a published closed form; average error 2.2 to 2.9 percent.
_FAIR = (
    (1.10748e-6, 4.5284e-4),
    (4.04865e-6, 7.99395e-4),
    (-3.09381e-5, -6.25024e-3),
    (3.00232e-5, 1.40453e-2),
)
_ANTOINE_A, _ANTOINE_B, _ANTOINE_C, _MERCURY = 8.14019, 1810.94, 244.485, 133.322  # mmHg, Cel; Pa per mmHg
FAIR_SPACING = 0.152  # m; below this the chart is extrapolated


def capacity_factor(flow_parameter: float, spacing: float) -> float:
    """Return Fair's capacity factor in m/s for a flow parameter (0.01 to 1) and a plate spacing in m (0.05 to 0.9).

    Closed form of the chart of Fair 1961; below 152 mm of spacing an extrapolation. OutOfRangeError outside.

    >>> round(capacity_factor(0.1, 0.305), 4)
    0.0605
    """
    if not 0.01 <= flow_parameter <= 1.0:
        raise OutOfRangeError.of("flow parameter", flow_parameter, 0.01, 1.0)
    if not 0.05 <= spacing <= 0.9:
        raise OutOfRangeError.of("plate spacing", spacing, 0.05, 0.9, "m")
    log: float = math.log(flow_parameter)
    mm: float = 1e3 * spacing
    factor: float = 0.0
    for slope, constant in _FAIR:
        factor = factor * log + (slope * mm + constant)
    return factor


def flooding_velocity(
    spacing: float,
    flow_parameter: float = math.sqrt(VAPOUR_DENSITY / LIQUID_DENSITY),
    liquid_density: float = LIQUID_DENSITY,
    vapour_density: float = VAPOUR_DENSITY,
    surface_tension: float = SURFACE_TENSION,
) -> float:
    """Return the vapour velocity (m/s over the net area) at which a plate floods, by Fair; defaults: total reflux.

    u = C (sigma/20)^0.2 sqrt((rho_L - rho_V)/rho_V), sigma in mN/m.

    >>> round(flooding_velocity(0.229), 2)
    1.53
    """
    tension = math.pow(1e3 * surface_tension / 20.0, 0.2)
    root = math.sqrt((liquid_density - vapour_density) / vapour_density)
    return capacity_factor(flow_parameter, spacing) * tension * root


def flood_power(plate: PlateNumbers) -> float:
    """Return the heat in W whose vapour floods a plate at total reflux. The bubbling area counts as net area."""
    flow = flooding_velocity(plate.spacing) * plate.active_area * VAPOUR_DENSITY / VAPOUR_MOLAR_MASS
    return flow * LATENT_HEAT


def weep_power(plate: PlateNumbers) -> float:
    """Return the heat in W below which a plate weeps; 0 for caps."""
    velocity = plate.weep_velocity / math.sqrt(VAPOUR_DENSITY)
    return velocity * plate.hole_area * VAPOUR_DENSITY / VAPOUR_MOLAR_MASS * LATENT_HEAT


def exchanger_duty(
    conductance: float, flow: float, hot: float = STRONG_VAPOUR, water_in: float = WATER_IN, cells: int | None = None
) -> float:
    """Return the most heat (W) that vapour condensing at `hot` (K) gives to `flow` (m3/s) of water from `water_in` (K).

    Counter-flow, or so many mixed cells in series.

    >>> round(exchanger_duty(390.0, 400 / 3.6e6))
    16863
    """
    capacity = flow * 1e3 * WATER_HEAT_CAPACITY
    if capacity <= 0.0 or conductance <= 0.0:
        return 0.0
    units = conductance / capacity
    left: float = math.exp(-units) if cells is None else (1.0 + units / cells) ** -cells
    return capacity * (hot - water_in) * (1.0 - left)


def conductance_from_water(flow: float, water_in: float, water_out: float, hot: float, cells: int) -> float:
    """Return the U·A (W/K) of an exchanger of so many mixed cells that warms this water (m3/s, K) with vapour at `hot`.

    The reverse of `exchanger_duty`. OutOfRangeError unless water_in < water_out < hot.

    >>> duty = exchanger_duty(390.0, 1e-4, cells=6)
    >>> round(conductance_from_water(1e-4, WATER_IN, WATER_IN + duty / (1e-4 * 1e3 * 4190.0), STRONG_VAPOUR, 6), 6)
    390.0
    """
    if not water_in < water_out < hot:
        raise OutOfRangeError.of(
            "temperature of the water that leaves",
            round(water_out, 2),
            round(water_in, 2),
            round(hot, 2),
            "K",
            "It must lie between that of the water that enters and the head's.",
        )
    capacity = flow * 1e3 * WATER_HEAT_CAPACITY
    per_cell: float = ((hot - water_in) / (hot - water_out)) ** (1.0 / cells) - 1.0
    return cells * capacity * per_cell


def saturation_gauge(temperature: float, ambient: float = 101325.0) -> float:
    """Return the gauge pressure (Pa) of a jacket that holds only water and steam at `temperature` (K).

    Antoine equation for water, constants for 99 to 374 Cel (handbook, from memory, high); within 1 percent of the
    steam tables from 90 to 130 Cel.

    >>> round(saturation_gauge(393.15) / 1e5, 2)
    0.97
    """
    exponent = _ANTOINE_A - _ANTOINE_B / (_ANTOINE_C + temperature - 273.15)
    return _MERCURY * math.pow(10.0, exponent) - ambient


def saturation_temperature(gauge: float, ambient: float = 101325.0) -> float:
    """Return the temperature (K) of saturated steam at a gauge pressure in Pa; the reverse of `saturation_gauge`.

    >>> round(saturation_temperature(50e3) - 273.15, 1)
    111.6
    """
    return 273.15 + _ANTOINE_B / (_ANTOINE_A - math.log10((gauge + ambient) / _MERCURY)) - _ANTOINE_C


def useful_heater(numbers: StillNumbers) -> float:
    """Return the most heat (W) that reaches base or jacket: what does not leave with the flue gas."""
    return numbers.heater_max * (1.0 - numbers.flue_loss)


def warm_up(
    *,
    heat_capacity: float,
    jacket_heat_capacity: float,
    conductance: float,
    power: float,
    start: float,
    boil: float,
    room: float = 293.15,
    pot_heat_loss: float = 0.0,
    jacket_heat_loss: float = 0.0,
    hottest: float = math.inf,
    step: float = 15.0,
    longest: float = 8 * 3600.0,
) -> float:
    """Return the seconds until a pot (J/K, with its charge) warms from `start` to `boil` (K); infinity if never.

    Two heat capacities, jacket and pot, coupled by `conductance` (W/K); the heater (W) feeds the jacket, which never
    gets hotter than `hottest` (K: the relief, or the steam supply). Implicit Euler with the given step.

    >>> minutes = warm_up(heat_capacity=75 * 4000, jacket_heat_capacity=500, conductance=5e3, power=12e3,
    ...                   start=288.15, boil=364.0) / 60
    >>> round(minutes, 1)
    31.7
    """
    pot, jacket, time = start, start, 0.0
    pot_gain, jacket_gain = heat_capacity / step, jacket_heat_capacity / step
    while time < longest:
        a, d = jacket_gain + conductance + jacket_heat_loss, pot_gain + conductance + pot_heat_loss
        jacket_side = jacket_gain * jacket + power + jacket_heat_loss * room
        pot_side = pot_gain * pot + pot_heat_loss * room
        determinant = a * d - conductance * conductance
        new_jacket = (d * jacket_side + conductance * pot_side) / determinant
        if new_jacket > hottest:
            new_jacket = hottest
        new_pot = (pot_side + conductance * new_jacket) / d
        if new_pot >= boil:
            return time + step * (boil - pot) / (new_pot - pot)
        pot, jacket, time = new_pot, new_jacket, time + step
    return math.inf


def charge_heat_capacity(volume: float) -> float:
    """Return the heat capacity (J/K) of a filled charge of mash or wine: about 4.0 MJ/(m3.K) up to 15 % vol.

    Aqueous ethanol below 15 % vol has 4.1 to 4.3 kJ/(kg.K) and 980 kg/m3 (from memory, high).
    """
    return 4.1e6 * volume


def time_to_boil(numbers: StillNumbers, volume: float, start: float = WATER_IN, boil: float = BOIL) -> float:
    """Return the seconds to the boil of `volume` (m3) of a thin charge at full power; infinity if it never boils."""
    agitated = numbers.cold_share_agitated
    if numbers.heating_kind == "steam-jacket":
        hottest = saturation_temperature(numbers.steam_gauge)
    elif math.isfinite(numbers.relief_gauge):
        hottest = saturation_temperature(numbers.relief_gauge)
    else:
        hottest = math.inf
    return warm_up(
        heat_capacity=charge_heat_capacity(volume) + numbers.pot_heat_capacity,
        jacket_heat_capacity=numbers.jacket_heat_capacity,
        conductance=numbers.heating_conductance * agitated,
        power=useful_heater(numbers),
        start=start,
        boil=boil,
        pot_heat_loss=numbers.pot_heat_loss,
        jacket_heat_loss=numbers.jacket_heat_loss,
        hottest=hottest,
    )
