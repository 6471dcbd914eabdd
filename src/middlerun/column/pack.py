"""From a described still, a charge and a day to the kernel's arrays. Every choice that shapes the model stands here."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from middlerun.column.kernels import layout as at
from middlerun.column.kernels.basics import AE, AW, BE, BW, exchanger_floor, steam_temperature
from middlerun.column.settings import END_CHANNELS, PhaseSettings
from middlerun.errors import PlanError
from middlerun.still import PlateNumbers, StillNumbers
from middlerun.still.limits import LATENT_HEAT, flood_power

FloatArray = npt.NDArray[np.float64]

GRAVITY = 9.80665  # m/s2, standard
_GAS = 8.314462618  # J/(mol K), CODATA 2018
_VAPOUR_MOLAR_MASS = 0.035  # kg/mol, vapour of about 80 % vol
_VAPOUR_TEMPERATURE = 353.15  # K
_LIQUID_DENSITY = 830.0  # kg/m3, hot liquid of about 60 % vol
_ZERO = 273.15

# Numerical softness. Halving any of these moves distilled ethanol by less than 1e-4 and ends by less than 10 s.
_ONSET = 2e-3  # share of the heater's full vapour over which a stage begins to give some
_FLASH = 1.0  # 1/K, plates: the heater's full vapour at 1 K of overheat
_HEAD_FLASH = 10.0  # 1/K, the dephlegmator, where much condenses at once
_FILM = 0.05  # s of the heater's full vapour: liquid that clings to a stage
_PRESSURE_TIME = 3.0  # s, with which pressures follow flows
# Physics that no still file gives; sources and reasons in docs/explanation/numerics.md.
_HALF_BOIL = 0.05  # share of the heater's full vapour at which the boil has done half of its stirring; own choice
_TOP_DROP = 50.0  # Pa at full vapour, pipe and condenser; common practice: they are wide
_WEEP_HALF = 0.6  # share of the weep-point vapour at which leaking is halved
_ENTRAINED = 0.18  # loss of efficiency at flooding
_WETTED_WALL = 0.027  # transfer units per height over diameter
_RELIEF_SOFT = 300.0  # Pa over which the jacket's relief opens; own choice
_BACKUP = 0.5  # share of the plate spacing that clear liquid may fill in the downcomer, common practice
_EBULLIOSCOPIC = 0.513  # K kg/mol, water at 100 Cel, handbook
_HELD_SHARE = 0.75
_HELD_GAIN = 0.1  # 1/K, share of the usual flow by which the hand moves per kelvin; common practice
_BYPASS_DRAIN = 8.0  # s
_DRY = 0.02  # share of the working minimum at which the pot counts as boiled dry
_WATER_MOLAR_VOLUME = 1.88e-5  # m3/mol at the boil
_WEIR_MOVE = 10.0  # s, time constant of a weir moved by hand


@dataclass(frozen=True, kw_only=True)
class PotCharge:
    """What is in the pot at the start: moles, temperature in K, and what the solids add."""

    ethanol: float  # mol
    water: float  # mol
    temperature: float  # K
    pure_alcohol: float  # m3 at 20 Cel
    solids_heat_capacity: float = 0.0  # J/K
    solids_volume: float = 0.0  # m3
    solutes: float = 0.0  # mol
    heat_transfer: float = 1.0  # factor on the jacket's U·A


@dataclass(frozen=True, kw_only=True)
class Day:
    """Pressure in Pa, room and cooling water in K."""

    pressure: float
    room: float
    water: float


@dataclass(frozen=True, kw_only=True)
class Packed:
    """The kernel's arrays for one run, see `kernels.layout`."""

    n_plates: int
    state: FloatArray
    stage_sets: FloatArray
    level_sets: FloatArray
    world: FloatArray
    phases: FloatArray
    end_channel: npt.NDArray[np.int64]
    end_threshold: FloatArray
    end_sign: FloatArray
    scale: FloatArray
    flood: FloatArray  # mol/s, one a plate
    weep: FloatArray  # mol/s, one a plate; 0: never weeps
    undrained: FloatArray  # mol/s, one a plate
    nominal: float  # mol/s, the vapour that the heater can make


def pack(numbers: StillNumbers, charge: PotCharge, day: Day, settings: Sequence[PhaseSettings]) -> Packed:
    """Fill the kernel's arrays. PlanError when there is no phase or a phase fits another number of plates."""
    if not settings:
        raise PlanError("The procedure has no phase; it needs at least one.")
    n = len(numbers.plates)
    nominal = numbers.heater_max * (1.0 - numbers.flue_loss) / LATENT_HEAT
    vapour_density = day.pressure * _VAPOUR_MOLAR_MASS / (_GAS * _VAPOUR_TEMPERATURE)
    stages = np.zeros((1 + n + numbers.dephlegmator_stages, at.N_STAGE))
    _pot(stages[0], numbers, charge)
    flood, weep, undrained = np.zeros(n), np.zeros(n), np.zeros(n)
    for i, plate in enumerate(numbers.plates):
        flood[i] = flood_power(plate) / LATENT_HEAT
        _plate(stages[1 + i], plate, nominal, vapour_density, flood[i])
        weep[i] = plate.weep_velocity * math.sqrt(vapour_density) * plate.hole_area / _VAPOUR_MOLAR_MASS
        undrained[i] = 1.0 / stages[1 + i, at.S_UNDRAINED]
        stages[1 + i, at.S_WEEP] = 1.0 / (_WEEP_HALF * weep[i]) if weep[i] > 0 else 0.0
    for j in range(1 + n, len(stages)):
        _head_stage(stages[j], numbers, nominal)
    stage_sets = np.repeat(stages[None], len(settings), axis=0)
    level_sets = np.zeros((len(settings), len(stages)))
    phases = np.zeros((len(settings), at.N_PHASE))
    ends = max((len(s.ends) for s in settings), default=0) or 1
    channel = np.full((len(settings), ends), -1, dtype=np.int64)
    threshold, sign = np.zeros((len(settings), ends)), np.zeros((len(settings), ends))
    cond_gain = 2e-3 * numbers.condenser_water_max * 1e3
    for i, phase in enumerate(settings):
        _check_plates(phase, n)
        level_sets[i, 1 : 1 + n] = [0.0 if b else v for v, b in zip(phase.levels, phase.bypassed, strict=True)]
        for k, bypassed in enumerate(phase.bypassed, 1):
            if bypassed:
                stage_sets[i, k, [at.S_TRANSFER, at.S_WALL]] = 0.0
                stage_sets[i, k, at.S_LEAK] = 1.0 / _BYPASS_DRAIN
                stage_sets[i, k, [at.S_WEEP, at.S_UNDRAINED, at.S_FLOOD, at.S_DRY]] = 0.0
        _phase(phases[i], phase, numbers, day, cond_gain)
        for k, end in enumerate(phase.ends):
            channel[i, k] = END_CHANNELS.index(end.channel)
            threshold[i, k] = end.threshold - (_ZERO if end.channel.endswith("temperature") else 0.0)
            sign[i, k] = 1.0 if end.rising else -1.0
    world = _world(numbers, charge, day, nominal)
    state = _start(stages, numbers, charge, day, settings[0], nominal, n)
    return Packed(
        n_plates=n, state=state, stage_sets=stage_sets, level_sets=level_sets, world=world, phases=phases,
        end_channel=channel, end_threshold=threshold, end_sign=sign, scale=_scale(stages, numbers, nominal),
        flood=flood, weep=weep, undrained=undrained, nominal=nominal,
    )  # fmt: skip


def _pot(s: FloatArray, numbers: StillNumbers, charge: PotCharge) -> None:
    s[at.S_FLASH] = numbers.pot_vapour_conductance / LATENT_HEAT
    s[at.S_FILM] = 1.0
    s[at.S_CAPACITY] = numbers.pot_heat_capacity + charge.solids_heat_capacity
    s[at.S_LOSS] = numbers.pot_heat_loss
    s[at.S_SOFT] = 1e-6
    s[at.S_BOIL_RISE] = _EBULLIOSCOPIC * charge.solutes / at.M_W


def _plate(s: FloatArray, plate: PlateNumbers, nominal: float, density: float, flood: float) -> None:
    s[at.S_FLASH] = _FLASH * nominal
    s[at.S_FILM] = _FILM * nominal
    s[at.S_CAPACITY] = plate.heat_capacity
    s[at.S_LOSS] = plate.heat_loss
    s[at.S_OVERFLOW] = 1.0 / plate.weir_time
    s[at.S_LEAK] = 1.0 / plate.leak_time
    s[at.S_FLOOD] = 1.0 / flood
    s[at.S_ENTRAIN] = _ENTRAINED
    reference = plate.level if plate.level > 0 else 0.5 * (plate.level_min + plate.level_max)
    units = -math.log(max(1.0 - plate.efficiency, 2e-9))
    s[at.S_WALL] = min(_WETTED_WALL * plate.spacing / math.sqrt(4.0 * plate.active_area / math.pi), 0.5 * units)
    s[at.S_TRANSFER] = (units - s[at.S_WALL]) / reference
    s[at.S_DRY] = _VAPOUR_MOLAR_MASS**2 / (2.0 * density * (plate.hole_area * plate.discharge) ** 2)
    s[at.S_WET] = GRAVITY / plate.active_area
    room = _BACKUP * plate.spacing * _LIQUID_DENSITY * GRAVITY
    room -= 2.0 * s[at.S_WET] * reference * _LIQUID_DENSITY
    s[at.S_UNDRAINED] = math.sqrt(s[at.S_DRY] / max(room, 20.0))
    s[at.S_LEVEL_X] = 1.0
    s[at.S_LEVEL_RATE] = 1.0 / _WEIR_MOVE
    s[at.S_SOFT] = 0.02 * reference


def _head_stage(s: FloatArray, numbers: StillNumbers, nominal: float) -> None:
    stages = numbers.dephlegmator_stages
    s[at.S_FLASH] = _HEAD_FLASH * nominal
    s[at.S_FILM] = _FILM * nominal
    s[at.S_CAPACITY] = numbers.dephlegmator_heat_capacity / stages
    s[at.S_LOSS] = numbers.head_heat_loss / stages
    s[at.S_OVERFLOW] = 1.0 / numbers.dephlegmator_drain_time
    s[at.S_TRANSFER] = 20.0 / numbers.dephlegmator_liquid
    s[at.S_LEVEL] = numbers.dephlegmator_liquid
    s[at.S_SOFT] = 0.05 * numbers.dephlegmator_liquid


def _usual_flow(numbers: StillNumbers, phase: PhaseSettings, day: Day) -> float:
    """Return the water, kg/s, with which an operator begins to hold: it takes three quarters of the heat."""
    wanted = _HELD_SHARE * phase.heater * (1.0 - numbers.flue_loss)
    hot = phase.head_setpoint - day.water
    low, high = 1e-6, max(numbers.dephlegmator_water_max * 1e3, 2e-6)
    for _ in range(40):
        flow = 0.5 * (low + high)
        capacity = flow * at.CP_WATER
        left = (
            1.0 + numbers.dephlegmator_conductance / (numbers.dephlegmator_cells * capacity)
        ) ** -numbers.dephlegmator_cells
        low, high = (low, flow) if capacity * hot * (1.0 - left) > wanted else (flow, high)
    return max(flow, numbers.dephlegmator_water_min * 1e3)


def _phase(f: FloatArray, phase: PhaseSettings, numbers: StillNumbers, day: Day, cond_gain: float) -> None:
    f[at.F_HEATER] = phase.heater
    jacket = 1e4 if math.isnan(phase.jacket_setpoint) else phase.jacket_setpoint - _ZERO
    if not math.isnan(numbers.steam_gauge):
        jacket = min(jacket, steam_temperature(day.pressure + numbers.steam_gauge))
    f[at.F_JACKET_SET] = jacket
    f[at.F_COLD_SHARE] = numbers.cold_share_agitated if phase.agitated else numbers.cold_share
    f[at.F_RELIEF_SET] = min(numbers.relief_gauge, 1e7)
    f[at.F_DEPH_FLOW] = phase.dephlegmator_flow * 1e3
    f[at.F_COND_FLOW] = phase.condenser_flow * 1e3
    f[at.F_AT_MOST] = phase.at_most
    f[at.F_HEAD_START] = math.inf
    if not math.isnan(phase.head_setpoint):
        usual = _usual_flow(numbers, phase, day)
        given = numbers.control_gain * 1e3
        head_gain = _HELD_GAIN * usual if math.isnan(given) else given
        f[at.F_HEAD_START] = usual
        f[at.F_HEAD_SET] = phase.head_setpoint - _ZERO
        f[at.F_HEAD_GAIN] = head_gain
        f[at.F_HEAD_RESET] = head_gain / numbers.integral_time
        f[at.F_HEAD_TRACK] = 2.0 / numbers.integral_time
    if not math.isnan(phase.condenser_setpoint):
        f[at.F_COND_SET] = phase.condenser_setpoint - _ZERO
        f[at.F_COND_GAIN] = cond_gain
        f[at.F_COND_RESET] = cond_gain / 60.0
        f[at.F_COND_TRACK] = 2.0 / 60.0


def _world(numbers: StillNumbers, charge: PotCharge, day: Day, nominal: float) -> FloatArray:
    g = np.zeros(at.N_WORLD)
    g[at.G_PRESSURE] = day.pressure
    g[at.G_ROOM] = day.room - _ZERO
    g[at.G_WATER] = day.water - _ZERO
    g[at.G_SOFT_V] = _ONSET * nominal
    g[at.G_PRESSURE_RATE] = 1.0 / _PRESSURE_TIME
    g[at.G_TOP_DROP] = _TOP_DROP / nominal**2
    g[at.G_UA] = numbers.heating_conductance * charge.heat_transfer
    g[at.G_HALF_BOIL] = _HALF_BOIL * nominal
    g[at.G_JACKET] = numbers.jacket_heat_capacity
    g[at.G_JACKET_LOSS] = numbers.jacket_heat_loss
    g[at.G_FLUE] = numbers.flue_loss
    g[at.G_RELIEF] = numbers.relief_conductance
    g[at.G_RELIEF_SOFT] = _RELIEF_SOFT
    g[at.G_STEAM] = 1.0 if numbers.has_jacket else 0.0
    stages = numbers.dephlegmator_stages
    g[at.G_DEPH_UA] = numbers.dephlegmator_conductance / stages
    g[at.G_DEPH_CELLS] = max(round(numbers.dephlegmator_cells / stages), 1)
    g[at.G_DEPH_FLOOR] = exchanger_floor(g[at.G_DEPH_UA], g[at.G_DEPH_CELLS])
    g[at.G_DEPH_WATER] = numbers.dephlegmator_water_content * 1e3 / stages
    g[at.G_COND_UA] = numbers.condenser_conductance
    g[at.G_COND_CELLS] = numbers.condenser_cells
    g[at.G_COND_FLOOR] = exchanger_floor(g[at.G_COND_UA], g[at.G_COND_CELLS])
    g[at.G_COND_WATER] = numbers.condenser_water_content * 1e3
    g[at.G_PARROT] = numbers.parrot_volume
    g[at.G_PARROT_RATE] = 0.5
    g[at.G_PARROT_HEAT] = 1.0 / numbers.parrot_heat_lag
    g[at.G_POT_SENSOR] = 1.0 / max(numbers.pot_lag, 0.5)
    g[at.G_HEAD_SENSOR] = 1.0 / max(numbers.head_lag, 0.5)
    g[at.G_STRENGTH_SENSOR] = 1.0 / max(numbers.strength_lag, 0.5)
    g[at.G_VALVE] = 1.0 / numbers.valve_lag
    g[at.G_DEPH_MIN], g[at.G_DEPH_MAX] = numbers.dephlegmator_water_min * 1e3, numbers.dephlegmator_water_max * 1e3
    g[at.G_COND_MIN], g[at.G_COND_MAX] = numbers.condenser_water_min * 1e3, numbers.condenser_water_max * 1e3
    g[at.G_CHARGE_LPA] = charge.pure_alcohol
    g[at.G_POT_DRY] = _DRY * numbers.working_min / _WATER_MOLAR_VOLUME
    return g


def _start(
    stages: FloatArray, numbers: StillNumbers, charge: PotCharge, day: Day, first: PhaseSettings, nominal: float, n: int
) -> FloatArray:
    """Return the state of a cold, dry still: metal at room temperature, a film of water in the column, parrot empty."""
    nb = len(stages)
    z = np.zeros(nb * at.BLOCK + at.N_CONTROL + at.N_DOWN)
    room, water = day.room - _ZERO, day.water - _ZERO
    for j in range(nb):
        k = j * at.BLOCK
        t = charge.temperature - _ZERO if j == 0 else room
        ethanol, film = (charge.ethanol, charge.water) if j == 0 else (2e-5 * nominal, 0.2 * nominal)
        z[k + at.E], z[k + at.W] = ethanol, film
        z[k + at.P] = day.pressure
        capacity = stages[j, at.S_CAPACITY]
        z[k + at.H] = t * (ethanol * (AE + BE * t) + film * (AW + BW * t) + capacity)
        if j == 0:
            z[k + at.X] = room if not numbers.has_jacket else max(room, t)
        elif j <= n:
            z[k + at.X] = 0.0 if first.bypassed[j - 1] else first.levels[j - 1]
        else:
            z[k + at.X] = water
    c, d = nb * at.BLOCK, nb * at.BLOCK + at.N_CONTROL
    z[c + at.C_SENSOR] = room
    z[c + at.C_FLOW] = z[c + at.C_INTEGRAL] = (
        0.0 if math.isnan(first.dephlegmator_flow) else first.dephlegmator_flow * 1e3
    )
    z[d + at.D_WATER] = water
    z[d + at.D_FLOW] = z[d + at.D_INTEGRAL] = first.condenser_flow * 1e3
    z[d + at.D_PARROT_E], z[d + at.D_PARROT_W] = 0.0, 5.0 * numbers.parrot_volume  # a wet glass, mol
    z[d + at.D_PARROT_T] = room
    z[d + at.D_POT_SENSOR] = charge.temperature - _ZERO
    return z


def _scale(stages: FloatArray, numbers: StillNumbers, nominal: float) -> FloatArray:
    """Return (absolute, relative) sizes for the error norm, a row a controlled state; a row of noughts is left out."""
    nb = len(stages)
    scale = np.zeros((nb * at.BLOCK + at.N_CONTROL + at.N_FILTER, 2))
    for j in range(nb):
        k = j * at.BLOCK
        scale[k + at.H] = 20.0 * stages[j, at.S_CAPACITY], 1.0
        scale[k + at.P] = 500.0, 0.0
        scale[k + at.X] = (20.0, 0.0) if j == 0 or j > len(numbers.plates) else (1e-3, 1.0)
        scale[k + at.E] = scale[k + at.W] = nominal, 1.0
    # The pot is large: a thousandth of its heat is a hundredth of a kelvin too much, and that is a puff of vapour.
    scale[[at.H, at.E, at.W], 1] = 0.02
    c, d = nb * at.BLOCK, nb * at.BLOCK + at.N_CONTROL
    scale[c + at.C_SENSOR] = 20.0, 0.0
    scale[c + at.C_INTEGRAL] = scale[c + at.C_FLOW] = 0.3 * max(numbers.dephlegmator_water_max * 1e3, 1e-3), 0.0
    scale[d + at.D_WATER] = 20.0, 0.0
    scale[d + at.D_INTEGRAL] = scale[d + at.D_FLOW] = 0.3 * numbers.condenser_water_max * 1e3, 0.0
    scale[d + at.D_PARROT_E] = scale[d + at.D_PARROT_W] = min(nominal, 1e4 * numbers.parrot_volume), 1.0
    scale[d + at.D_COLLECTED_E] = scale[d + at.D_COLLECTED_W] = 1e4 * numbers.parrot_volume, 0.0
    scale[d + at.D_PARROT_T] = scale[d + at.D_POT_SENSOR] = 20.0, 0.0
    scale[d + at.D_STRENGTH_SENSOR] = 0.3, 0.0
    return scale


def _check_plates(phase: PhaseSettings, n: int) -> None:
    if len(phase.levels) != n or len(phase.bypassed) != n:
        raise PlanError(
            f'Phase "{phase.name}" gives {len(phase.levels)} weir settings and {len(phase.bypassed)} bypasses, but the '
            f"still has {n} plates. Give one for each plate."
        )
