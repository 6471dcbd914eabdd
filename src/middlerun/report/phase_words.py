"""A phase of the plan in the words of the person at the still: what to set, when to go on, where the product runs."""

from __future__ import annotations

import math
from collections.abc import Iterator

from middlerun.column.settings import PhaseSettings
from middlerun.plan import phase_settings
from middlerun.plan.description import Plan
from middlerun.plan.result import PhaseResult
from middlerun.report.show import NOTHING, lasting, quantity, setting
from middlerun.run import AS_BEFORE, Phase
from middlerun.still import resolve

ENDED_BY = {
    "pot_temperature": "pot temperature",
    "head_temperature": "head temperature",
    "product_strength": "product strength",
    "collected": "volume collected",
    "lpa_share": "share of the pure alcohol",
    "smell_marker": "smell",
    "time": "time",
    "no_product": "no product for half an hour",
}


def vessel(phase: Phase) -> str:
    """Return the vessel that takes the product of a phase, or a dash.

    >>> vessel(Phase(name="hearts", fraction="hearts")), vessel(Phase(name="heat up"))
    ('hearts', '–')
    """
    if phase.into:
        return phase.into
    return NOTHING if phase.fraction == "none" else phase.fraction


def settings(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """Return for every phase what the hand has to set, a short line each; what stays as it was is left out.

    The first phase names everything. Order: heat, head, condenser, column.
    """
    resolved = phase_settings(plan, resolve(plan.still))
    before: list[PhaseSettings | None] = [None, *resolved[:-1]]
    return tuple(
        tuple(_changes(plan, phase, now, last))
        for phase, now, last in zip(plan.procedure.phases, resolved, before, strict=True)
    )


def ends(phase: Phase, result: PhaseResult | None = None) -> tuple[str, ...]:
    """Return the conditions that end a phase, one short line each; the one expected to come first leads."""
    e = phase.ends
    lines = {
        "pot_temperature": ("pot at {}", setting(e.pot_temperature, "temperature")),
        "head_temperature": ("head at {}", setting(e.head_temperature, "temperature")),
        "product_strength": ("strength down to {}", setting(e.product_strength, "strength")),
        "collected": ("{} collected", setting(e.collected, "volume")),
        "lpa_share": ("{} of the charge's pure alcohol over", _percent(e.lpa_share)),
        "smell_marker": (
            "your nose says so (reckoned: {} of the charge's pure alcohol over)",
            _percent(e.smell_marker),
        ),
        "time": ("after {}", lasting(e.time)),
    }
    given = {key: text.format(value) for key, (text, value) in lines.items() if value != NOTHING}
    first = result.ended_by if result else ""
    ordered = [given.pop(first)] if first in given else []
    return (*ordered, *given.values())


def _percent(share: float | None) -> str:
    return NOTHING if share is None else f"{100 * share:g} %"


def _changes(plan: Plan, phase: Phase, now: PhaseSettings, last: PhaseSettings | None) -> Iterator[str]:
    still = plan.still
    if last is None or now.heater != last.heater:
        yield "heater off" if now.heater == 0 else f"heater {setting(now.heater, 'power')}"
    if _differs(now.jacket_setpoint, last.jacket_setpoint if last else math.nan):
        off = math.isnan(now.jacket_setpoint)
        yield "jacket thermostat " + ("off" if off else setting(now.jacket_setpoint, "temperature"))
    yield from _dephlegmator(plan, phase, now, last)
    if not math.isnan(now.condenser_setpoint):
        if last is None or _differs(now.condenser_setpoint, last.condenser_setpoint):
            yield f"condenser water out at {setting(now.condenser_setpoint, 'temperature')}"
    elif last is None or now.condenser_flow != last.condenser_flow or not math.isnan(last.condenser_setpoint):
        yield _water("condenser water", now.condenser_flow)
    if now.levels and (last is None or now.levels != last.levels):
        yield _weirs(phase, now.levels)
    if now.bypassed != (last.bypassed if last else (False,) * len(now.bypassed)):
        plates = [str(k) for k, bypassed in enumerate(now.bypassed, 1) if bypassed]
        yield f"vapour around plate {', '.join(plates)}" if plates else "vapour through all plates"
    if still.pot.agitator and (last is None or now.agitated != last.agitated):
        yield f"agitator {'on' if now.agitated else 'off'}"
    if still.heating.vent and (last is None or now.vent_open != last.vent_open):
        yield f"jacket vent {'open' if now.vent_open else 'shut'}"


def _dephlegmator(plan: Plan, phase: Phase, now: PhaseSettings, last: PhaseSettings | None) -> Iterator[str]:
    if plan.still.dephlegmator.water_max <= 0:
        return
    if math.isnan(now.head_setpoint):
        if last is None or not math.isnan(last.head_setpoint) or now.dephlegmator_flow != last.dephlegmator_flow:
            yield _water("dephlegmator water", now.dephlegmator_flow)
        return
    if not math.isnan(now.dephlegmator_flow) and (last is None or now.dephlegmator_flow != last.dephlegmator_flow):
        yield f"{_water('dephlegmator water', now.dephlegmator_flow)} to begin with"
    if last is None or _differs(now.head_setpoint, last.head_setpoint):
        reason = ""
        if phase.hold_head_strength is not None:
            reason = f" (for {setting(phase.hold_head_strength, 'strength')})"
        elif phase.hold_head_temperature_sea_level is not None:
            reason = f" ({setting(phase.hold_head_temperature_sea_level, 'temperature')} at 101.3 kPa)"
        yield f"hold the head at {quantity(now.head_setpoint, 'temperature')}{reason}"


def _differs(now: float, last: float) -> bool:
    return now != last and not (math.isnan(now) and math.isnan(last))


def _water(what: str, flow: float) -> str:
    return f"{what} off" if flow == 0 else f"{what} {quantity(flow, 'water flow')}"


def _weirs(phase: Phase, levels: tuple[float, ...]) -> str:
    word = "" if phase.levels is not None or phase.level == AS_BEFORE else phase.level
    litres = [f"{level * 1e3:.2f}" for level in levels]
    written = f"{litres[0]} L" if len(set(litres)) == 1 else f"{' / '.join(litres)} L from below"
    if not any(levels):
        return "weirs drained"
    return f"weirs {word} ({written})" if word else f"weirs at {written}"
