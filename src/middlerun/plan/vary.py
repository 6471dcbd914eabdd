"""What-if: a plan with some values changed, by dotted keys and values written as in a plan file.

Keys: `charge.strength`, `weather.water`, `limits.day`, `still.heating.power`, `still.column.plates.2.efficiency` (`*`
for all plates), `phases.hearts.heater`, `phases.*.heater_share`, `phases.hearts.ends.lpa_share`, and whole parts by
name: `still`, `procedure`, `category`. A setting without its phase, such as `heater` or `hold_head_strength`, changes
it where product is taken: a hold in phases of hearts that hold the head, all else in phases with a fraction and heat.
"""

from __future__ import annotations

import dataclasses
import tomllib
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from middlerun.errors import UnknownKeyError
from middlerun.fields import Spec, load_record, nearest, spec_of, specs
from middlerun.law import category
from middlerun.plan.charge_kind import charge_kind
from middlerun.plan.description import Plan
from middlerun.run import HEAD_HOLDS, Ends, Phase, Procedure, check_procedure, find_procedure
from middlerun.still import find_still

_PARTS = ("charge", "weather", "limits", "still")
_WHOLE = ("still", "procedure", "category")
_NOT_VARIED = ("name", "fraction", "into")
_HEATING = ("heater", "heater_share")
# Keys that say the same thing in two ways: setting one takes the others back.
_ONE_OF = (
    _HEATING,
    ("dephlegmator_water", "dephlegmator_water_share"),
    ("condenser_water", "condenser_water_share"),
    HEAD_HOLDS,
    ("pressure", "altitude"),
    ("lpa_share", "smell_marker"),
    ("conductance", "area"),
)


def vary(plan: Plan, changes: Mapping[str, Any], folder: str | Path = "") -> Plan:
    """Return the plan with changes such as {"heater": "4 kW", "weather.water": "8 Cel"}; the given plan stays as it is.

    Values are written as in a plan file, with units; paths are relative to `folder`. Raises UnknownKeyError with the
    nearest key, and the errors of the value's field (unit, range). The varied procedure is checked, the plan is not.

    >>> from middlerun.plan import Charge, Weather
    >>> from middlerun.run import library_procedure
    >>> from middlerun.still import library_still
    >>> plan = Plan(name="x", still=library_still("pot-over-fire-60"), charge=Charge(volume=0.03, strength=0.1),
    ...             procedure=library_procedure("stripping-run"))
    >>> vary(plan, {"charge.strength": "12 %{vol}"}).charge.strength
    0.12
    """
    for key, value in changes.items():
        plan = _changed(plan, key, value, Path(folder))
    check_procedure(plan.procedure)
    return plan


def vary_keys(plan: Plan) -> tuple[str, ...]:
    """Return all keys that `vary` understands for this plan, sorted."""
    settings = [key for key in specs(Phase) if key not in (*_NOT_VARIED, "ends")]
    found = {*_WHOLE, *settings}
    for part in _PARTS:
        found |= {f"{part}.{key}" for key in _keys_of(getattr(plan, part))}
    phase_keys = [*settings, *(f"ends.{key}" for key in specs(Ends))]
    for phase in ("*", *(phase.name for phase in plan.procedure.phases)):
        found |= {f"phases.{phase}.{key}" for key in phase_keys}
    return tuple(sorted(found))


def _keys_of(thing: Any) -> list[str]:
    keys: list[str] = []
    for key, spec in specs(type(thing)).items():
        value = getattr(thing, key)
        if spec.form == "record":
            keys += [f"{key}.{inner}" for inner in _keys_of(value)] if value is not None else []
        elif spec.form == "records":
            for place in ("*", *range(1, len(value) + 1)) if value else ():
                keys += [f"{key}.{place}.{inner}" for inner in _keys_of(value[0])]
        else:
            keys.append(key)
    return keys


def _changed(plan: Plan, key: str, raw: Any, folder: Path) -> Plan:
    head, _, rest = key.partition(".")
    if not rest and head in _WHOLE:
        return _whole(plan, head, raw, folder)
    if head in _PARTS and rest:
        part = _set(plan, getattr(plan, head), rest, raw, key)
        if head == "charge":
            charge_kind(part.kind)
        return dataclasses.replace(plan, **{head: part})
    if head == "phases" and rest:
        name, _, setting = rest.rpartition(".")
        if name.endswith(".ends"):
            name, setting = name.removesuffix(".ends"), f"ends.{setting}"
        if setting not in _NOT_VARIED and (name == "*" or any(phase.name == name for phase in plan.procedure.phases)):
            return _in_phases(plan, setting, raw, key, lambda phase: name in ("*", phase.name))
    if not rest and head in specs(Phase) and head not in (*_NOT_VARIED, "ends"):
        return _in_phases(plan, head, raw, key, _where_it_counts(plan.procedure, head))
    raise _unknown(plan, key)


def _whole(plan: Plan, key: str, raw: Any, folder: Path) -> Plan:
    if key == "still":
        return dataclasses.replace(plan, still=find_still(str(raw), folder))
    if key == "procedure":
        return dataclasses.replace(plan, procedure=find_procedure(str(raw), folder))
    if raw:
        category(str(raw))
    return dataclasses.replace(plan, category=str(raw))


def _where_it_counts(procedure: Procedure, key: str) -> Callable[[Phase], bool]:
    """Tell in which phases a setting without a phase is changed: where product is taken, and where it is at work."""
    heater: float | None = None
    chosen = []
    for phase in procedure.phases:
        given = phase.heater if phase.heater is not None else phase.heater_share
        heater = heater if given is None else given
        if phase.fraction == "none" or not heater:
            continue
        holds = any(getattr(phase, hold) is not None for hold in HEAD_HOLDS)
        if key not in HEAD_HOLDS or (holds and phase.fraction == "hearts"):
            chosen.append(phase.name)
    return lambda phase: phase.name in chosen


def _in_phases(plan: Plan, setting: str, raw: Any, key: str, where: Callable[[Phase], bool]) -> Plan:
    phases = tuple(_set(plan, phase, setting, raw, key) if where(phase) else phase for phase in plan.procedure.phases)
    return dataclasses.replace(plan, procedure=dataclasses.replace(plan.procedure, phases=phases))


def _set(plan: Plan, thing: Any, path: str, raw: Any, key: str) -> Any:
    """Return a described record with the value at a dotted path replaced."""
    name, _, rest = path.partition(".")
    known = {field.name: field for field in dataclasses.fields(thing)}
    if name not in known:
        raise _unknown(plan, key)
    spec, old = spec_of(known[name]), getattr(thing, name)
    if rest and spec.form == "record" and old is not None:
        return dataclasses.replace(thing, **{name: _set(plan, old, rest, raw, key)})
    if rest and spec.form == "records":
        place, _, inner = rest.partition(".")
        if inner and (place == "*" or (place.isdecimal() and 1 <= int(place) <= len(old))):
            new = tuple(
                _set(plan, item, inner, raw, key) if place in ("*", str(i)) else item for i, item in enumerate(old, 1)
            )
            return dataclasses.replace(thing, **{name: new})
    if rest or spec.form in ("record", "records"):
        raise _unknown(plan, key)
    changes: dict[str, Any] = {name: _read(known[name], spec, raw, key)}
    for group in _ONE_OF:
        if name in group:
            changes |= {other: None for other in group if other != name and other in known}
    return dataclasses.replace(thing, **changes)


def _read(field: dataclasses.Field[Any], spec: Spec, raw: Any, key: str) -> Any:
    """Read one value by its field's specification, with the errors that a file would draw."""
    if isinstance(raw, str) and spec.form in ("number", "whole", "wholes", "flag", "quantities", "texts"):
        with suppress(tomllib.TOMLDecodeError):  # the field's own error then says what is expected
            raw = tomllib.loads(f"value = {raw}")["value"]
    one = dataclasses.make_dataclass("One", [(field.name, Any, dataclasses.field(metadata=field.metadata))])
    return getattr(load_record(one, {field.name: raw}, key.rpartition(".")[0] or "what-if"), field.name)


def _unknown(plan: Plan, key: str) -> UnknownKeyError:
    known = vary_keys(plan)
    near = nearest(key, known)
    if not near.startswith("Did"):
        near = "Keys look like charge.strength, weather.water, phases.hearts.heater, still.heating.power, heater."
    return UnknownKeyError(f'what-if: there is no "{key}" in this plan. {near}')
