"""From a procedure's words to the kernel's numbers, on this still and this day.

A phase says what changes. What it leaves out stays as the phase before set it:
- heater: stays; a thermostat on the jacket ends with the next phase that sets the heater without a thermostat;
- dephlegmator: a phase that sets neither its water nor a hold goes on with the hold or the flow that was there;
- condenser likewise; weir settings, bypasses, agitator and vent stay.
Before the first phase: heater off, dephlegmator water off, condenser water fully open, plates at their usual level,
nothing bypassed, agitator off, vent shut. Agitator and vent are passed over where the still has none; a steam jacket's
air vent works by itself.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from middlerun.column.settings import PhaseSettings
from middlerun.errors import OutOfRangeError
from middlerun.fields import Spec, specs
from middlerun.plan.description import Plan
from middlerun.plan.head import strength_for_temperature, temperature_for_strength, temperature_of_the_day
from middlerun.plan.phase_ends import phase_ends
from middlerun.plan.weather import pressure_of
from middlerun.run import AS_BEFORE, HEAD_HOLDS, Phase
from middlerun.run.check import refused
from middlerun.still import StillNumbers
from middlerun.units import format_quantity

_SPECS: dict[str, Spec] = specs(Phase)


@dataclass(frozen=True, kw_only=True)
class _State:
    """What is set at the moment, SI. NaN: not held."""

    heater: float = 0.0
    thermostat: float = math.nan
    water: float = 0.0
    head: float = math.nan
    condenser: float
    condenser_out: float = math.nan
    levels: tuple[float, ...]
    bypassed: tuple[bool, ...]
    agitated: bool = False
    vent_open: bool = False


def phase_settings(plan: Plan, numbers: StillNumbers) -> tuple[PhaseSettings, ...]:
    """Return the settings of every phase of a plan as numbers for this still.

    Raises ProcedureError, with phase, field, value and range, for what the still can't do; NeverEndsError for an end
    that can't be reached with this charge on this day.
    """
    pressure = pressure_of(plan.weather)
    now = _State(
        condenser=numbers.condenser_water_max,
        levels=tuple(plate.level for plate in numbers.plates),
        bypassed=(False,) * len(numbers.plates),
    )
    found: list[PhaseSettings] = []
    for phase in plan.procedure.phases:
        now = _heating(phase, numbers, plan, now)
        now = _dephlegmator(phase, numbers, pressure, now)
        now = _condenser(phase, numbers, plan, now)
        now = _plates(phase, numbers, now)
        # A hold moves the valve by itself, so only a phase that sets the water gives it a known place.
        goes_on = not math.isnan(now.head) and found and not _sets_water(phase)
        ends = phase_ends(phase, plan, pressure, total_reflux=_total_reflux(now, numbers))
        found.append(
            PhaseSettings(
                name=phase.name,
                heater=now.heater,
                jacket_setpoint=now.thermostat,
                dephlegmator_flow=math.nan if goes_on else now.water,
                head_setpoint=now.head,
                condenser_flow=now.condenser,
                condenser_setpoint=now.condenser_out,
                levels=now.levels,
                bypassed=now.bypassed,
                agitated=now.agitated and plan.still.pot.agitator,
                vent_open=now.vent_open and numbers.heating_kind == "bain-marie" and plan.still.heating.vent,
                ends=ends,
                at_most=phase.at_most,
            )
        )
    return tuple(found)


def _heating(phase: Phase, numbers: StillNumbers, plan: Plan, now: _State) -> _State:
    if phase.heater is not None:
        _within(phase, "heater", phase.heater, 0.0, numbers.heater_max, f'of the heater of still "{plan.still.name}"')
        _on_a_step(phase, plan, phase.heater)
        now = replace(now, heater=phase.heater, thermostat=math.nan)
    elif phase.heater_share is not None:
        now = replace(now, heater=_nearest_step(plan, phase.heater_share * numbers.heater_max), thermostat=math.nan)
    if phase.jacket_temperature is not None:
        if not numbers.has_jacket:
            raise refused(
                phase,
                f'jacket_temperature is set, but still "{plan.still.name}" is heated by '
                f"{numbers.heating_kind} without a jacket. Leave it out.",
            )
        now = replace(now, thermostat=phase.jacket_temperature)
    return replace(
        now,
        agitated=now.agitated if phase.agitator is None else phase.agitator,
        vent_open=now.vent_open if phase.vent_open is None else phase.vent_open,
    )


def _steps(plan: Plan) -> tuple[float, ...]:
    heating = plan.still.heating
    return () if heating.fine_control or not heating.steps else tuple(sorted({0.0, *heating.steps, heating.power}))


def _on_a_step(phase: Phase, plan: Plan, power: float) -> None:
    steps = _steps(plan)
    if steps and not any(math.isclose(power, step, abs_tol=0.5) for step in steps):
        raise refused(
            phase,
            f'heater is {_written("heater", power)}, but the heater of still "{plan.still.name}" has only the '
            f"steps {', '.join(_written('heater', step) for step in steps)}. Choose one.",
        )


def _nearest_step(plan: Plan, power: float) -> float:
    steps = _steps(plan)
    return min(steps, key=lambda step: abs(step - power)) if steps else power


def _dephlegmator(phase: Phase, numbers: StillNumbers, pressure: float, now: _State) -> _State:
    if _sets_water(phase):
        key = "dephlegmator_water" if phase.dephlegmator_water is not None else "dephlegmator_water_share"
        flow = phase.dephlegmator_water
        if flow is None:
            assert phase.dephlegmator_water_share is not None
            flow = phase.dephlegmator_water_share * numbers.dephlegmator_water_max
        _flow(phase, "dephlegmator_water", flow, numbers.dephlegmator_water_min, numbers.dephlegmator_water_max)
        if flow == 0.0 and numbers.dephlegmator_water_max == 0.0 and (getattr(phase, key) or 0.0) > 0.0:
            raise refused(phase, f"{key} is set, but this still has no dephlegmator. Leave it out.")
        now = replace(now, water=flow, head=math.nan)
    held = [key for key in HEAD_HOLDS if getattr(phase, key) is not None]
    if not held:
        return now
    if numbers.dephlegmator_conductance <= 0.0 or numbers.dephlegmator_water_max <= 0.0:
        raise refused(
            phase,
            f"{held[0]} is set, but this still has no dephlegmator with water, so nothing can hold the head. "
            "Leave it out, or end the phase on strength.",
        )
    try:
        setpoint = _setpoint(held[0], getattr(phase, held[0]), pressure)
    except OutOfRangeError as error:
        raise refused(phase, f"{held[0]}: {error}") from None
    return replace(now, head=setpoint)


def _setpoint(key: str, value: float, pressure: float) -> float:
    if key == "hold_head_strength":
        return temperature_for_strength(value, pressure)
    if key == "hold_head_temperature_sea_level":
        return temperature_of_the_day(value, pressure)
    strength_for_temperature(value, pressure)  # raises outside azeotrope to water
    return value


def _condenser(phase: Phase, numbers: StillNumbers, plan: Plan, now: _State) -> _State:
    flow = phase.condenser_water
    if flow is None and phase.condenser_water_share is not None:
        flow = phase.condenser_water_share * numbers.condenser_water_max
    if flow is not None:
        _flow(phase, "condenser_water", flow, numbers.condenser_water_min, numbers.condenser_water_max)
        now = replace(now, condenser=flow, condenser_out=math.nan)
    if phase.hold_condenser_out is not None:
        inlet = plan.weather.water
        if phase.hold_condenser_out <= inlet:
            raise refused(
                phase,
                f"hold_condenser_out is {_written('hold_condenser_out', phase.hold_condenser_out)}, but the "
                f"water comes in at {_written('hold_condenser_out', inlet)}. Hold more than that.",
            )
        now = replace(now, condenser_out=phase.hold_condenser_out)
    return now


def _plates(phase: Phase, numbers: StillNumbers, now: _State) -> _State:
    plates = numbers.plates
    if phase.levels is not None:
        if len(phase.levels) != len(plates):
            raise refused(
                phase,
                f"levels gives {len(phase.levels)} weir settings, but this still has {len(plates)} plates. "
                "Give one for each, from the bottom up.",
            )
        for k, (level, plate) in enumerate(zip(phase.levels, plates, strict=True), 1):
            if level != 0.0:  # 0 L: drained
                _within(phase, "levels", level, plate.level_min, plate.level_max, f"of plate {k} (or 0 L: drained)")
        now = replace(now, levels=phase.levels)
    elif phase.level != AS_BEFORE:
        word = {
            "drained": [0.0 for _ in plates],
            "low": [p.level_min for p in plates],
            "usual": [p.level for p in plates],
            "high": [p.level_max for p in plates],
        }[phase.level]
        now = replace(now, levels=tuple(word))
    if phase.bypass is not None:
        for k in phase.bypass:
            if k > len(plates):
                raise refused(
                    phase, f"bypass names plate {k}, but this still has {len(plates)} plates, counted from the bottom."
                )
            if not plates[k - 1].bypass:
                raise refused(
                    phase,
                    f"plate {k} can't be bypassed on this still. Drain it instead, or correct the still's "
                    "description (bypass = true).",
                )
        now = replace(now, bypassed=tuple(k in phase.bypass for k in range(1, len(plates) + 1)))
    return now


def _sets_water(phase: Phase) -> bool:
    return phase.dephlegmator_water is not None or phase.dephlegmator_water_share is not None


def _total_reflux(now: _State, numbers: StillNumbers) -> bool:
    full = numbers.dephlegmator_water_max > 0.0 and now.water >= numbers.dephlegmator_water_max * (1 - 1e-9)
    return full and math.isnan(now.head)


def _flow(phase: Phase, key: str, flow: float, low: float, high: float) -> None:
    if flow != 0.0:
        _within(phase, key, flow, low, high, "of its valve (or 0 L/h: shut)")


def _within(phase: Phase, key: str, value: float, low: float, high: float, of: str) -> None:
    if not low * (1 - 1e-9) <= value <= high * (1 + 1e-9):
        raise refused(
            phase,
            f"{key} is {_written(key, value)}, outside {_written(key, low)} to {_written(key, high)}, the range {of}.",
        )


def _written(key: str, value: float) -> str:
    return format_quantity(value, _SPECS[key].kind)
