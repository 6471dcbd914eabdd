"""What is wrong with a procedure before any still is known. One function a check; a new one joins the list below."""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise

from middlerun.errors import NeverEndsError, ProcedureError
from middlerun.fields import specs
from middlerun.run.procedure import AS_BEFORE, Ends, Phase, Procedure
from middlerun.units import format_quantity

HEAD_HOLDS = ("hold_head_strength", "hold_head_temperature_sea_level", "hold_head_temperature")
PRODUCT_ENDS = ("product_strength", "collected", "lpa_share", "smell_marker")
_EITHER = (
    ("heater", "heater_share"),
    ("dephlegmator_water", "dephlegmator_water_share"),
    ("condenser_water", "condenser_water_share"),
    HEAD_HOLDS,
)


@functools.lru_cache(maxsize=64)
def check_procedure(procedure: Procedure) -> None:
    """Raise ProcedureError (or NeverEndsError) for the first contradiction; the message names the phase."""
    for check in _CHECKS:
        check(procedure)


def ends_given(ends: Ends) -> dict[str, float]:
    """Return the end conditions that are set, by key, in SI.

    >>> ends_given(Ends(time=60.0))
    {'time': 60.0}
    """
    return {key: value for key in specs(Ends) if (value := getattr(ends, key)) is not None}


def refused(phase: Phase, text: str) -> ProcedureError:
    """Return a ProcedureError that names the phase."""
    return ProcedureError(f'Phase "{phase.name}": {text}')


def endless(phase: Phase, text: str) -> NeverEndsError:
    """Return a NeverEndsError that names the phase."""
    return NeverEndsError(f'Phase "{phase.name}" can never end: {text}')


def _has_phases(procedure: Procedure) -> None:
    if not procedure.phases:
        raise ProcedureError(f'Procedure "{procedure.name}" has no phases; it needs at least one [[phases]] table.')


def _names(procedure: Procedure) -> None:
    counted = Counter(phase.name.strip() for phase in procedure.phases)
    for name, times in counted.items():
        if not name:
            raise ProcedureError(
                f'Procedure "{procedure.name}" has a phase without a name; write name = "hearts" or the like.'
            )
        if times > 1:
            raise ProcedureError(f'{times} phases are called "{name}"; give each its own name, such as "{name} 2".')


def _every_phase_ends(procedure: Procedure) -> None:
    for phase in procedure.phases:
        if not ends_given(phase.ends):
            raise endless(phase, f"it has no end condition. Add one under ends: {', '.join(specs(Ends))}.")


def _settings_exclude_each_other(procedure: Procedure) -> None:
    for phase in procedure.phases:
        for keys in _EITHER:
            given = [key for key in keys if getattr(phase, key) is not None]
            if len(given) > 1:
                raise refused(phase, f"{' and '.join(given)} contradict each other; give one of them.")
        if phase.levels is not None and phase.level != AS_BEFORE:
            raise refused(phase, f'level = "{phase.level}" and levels contradict each other; give one of them.')
        if phase.ends.lpa_share is not None and phase.ends.smell_marker is not None:
            raise refused(
                phase,
                "ends.lpa_share and ends.smell_marker both stand for a share of the charge's pure alcohol; "
                "give one of them.",
            )


def _first_phase_heats(procedure: Procedure) -> None:
    first = procedure.phases[0]
    if first.heater is None and first.heater_share is None:
        raise refused(first, 'the first phase must say how it heats: give heater ("12 kW") or heater_share ("100 %").')


def _time_fits(procedure: Procedure) -> None:
    for phase in procedure.phases:
        if phase.ends.time is not None and phase.ends.time > phase.at_most:
            raise refused(
                phase,
                f"ends.time is {format_quantity(phase.ends.time, 'time')}, longer than at_most, "
                f"{format_quantity(phase.at_most, 'time')}. Shorten the one or lengthen the other.",
            )


def _bypass_once(procedure: Procedure) -> None:
    for phase in procedure.phases:
        twice = [plate for plate, times in Counter(phase.bypass or ()).items() if times > 1]
        if twice:
            raise refused(phase, f"bypass names plate {twice[0]} twice; name each plate once.")


def _vessels(procedure: Procedure) -> None:
    kept: dict[str, str] = {}
    for phase in procedure.phases:
        product = [key for key in PRODUCT_ENDS if getattr(phase.ends, key) is not None]
        if phase.fraction == "none" and product:
            raise refused(
                phase,
                f"ends.{product[0]} looks at the product, but no fraction takes it. Set fraction, "
                'for example fraction = "hearts".',
            )
        if phase.fraction == "none":
            if phase.into:
                raise refused(phase, f'into = "{phase.into}" names a vessel, but fraction is "none". Set fraction too.')
            continue
        vessel = phase.into or phase.fraction
        other = kept.setdefault(vessel, phase.fraction)
        if other != phase.fraction and "hearts" in (other, phase.fraction):
            raise refused(
                phase,
                f'the vessel "{vessel}" would take {other} and {phase.fraction}. Give hearts a vessel of their own.',
            )


def _total_reflux_gives_nothing(procedure: Procedure) -> None:
    for phase, share, held in _effective_water(procedure):
        given = ends_given(phase.ends)
        if share == 1.0 and not held and given and all(key in PRODUCT_ENDS for key in given):
            raise endless(
                phase,
                f"it ends on {' or '.join(given)}, but the dephlegmator has all its water (total reflux), so "
                "no product comes. Hold the head, give less water, or end it on time.",
            )


def _effective_water(procedure: Procedure) -> Iterator[tuple[Phase, float | None, bool]]:
    share: float | None = None
    held = False
    for phase in procedure.phases:
        holds = any(getattr(phase, key) is not None for key in HEAD_HOLDS)
        sets = phase.dephlegmator_water is not None or phase.dephlegmator_water_share is not None
        if sets:
            share = phase.dephlegmator_water_share
        held = holds or (held and not sets)
        yield phase, share, held


def _cold_phase_cannot_warm(procedure: Procedure) -> None:
    heater: float | None = None
    for phase in procedure.phases:
        set_here = phase.heater if phase.heater is not None else phase.heater_share
        heater = heater if set_here is None else set_here
        given = ends_given(phase.ends)
        if heater == 0.0 and given and all(key in ("pot_temperature", "head_temperature") for key in given):
            raise endless(
                phase, f"it waits for {' or '.join(given)} to rise, but the heater is off. Heat, or end it on time."
            )


def _temperatures_rise(procedure: Procedure) -> None:
    sole = [
        (phase, phase.ends.pot_temperature)
        for phase in procedure.phases
        if set(ends_given(phase.ends)) == {"pot_temperature"}
    ]
    for (before, lower), (phase, higher) in pairwise(sole):
        assert lower is not None and higher is not None
        if higher <= lower:
            raise refused(
                phase,
                f'ends.pot_temperature is {format_quantity(higher, "temperature")}, but "{before.name}" before it '
                f"ends at {format_quantity(lower, 'temperature')} already, so it would end at once.",
            )


def _fits_its_needs(procedure: Procedure) -> None:
    if procedure.needs != "no plates":
        return
    for phase in procedure.phases:
        if phase.levels is not None or phase.bypass:
            raise refused(phase, 'it sets levels or a bypass, but the procedure says needs = "no plates".')


_CHECKS: tuple[Callable[[Procedure], None], ...] = (
    _has_phases,
    _names,
    _first_phase_heats,
    _settings_exclude_each_other,
    _vessels,
    _every_phase_ends,
    _time_fits,
    _bypass_once,
    _total_reflux_gives_nothing,
    _cold_phase_cannot_warm,
    _temperatures_rise,
    _fits_its_needs,
)
