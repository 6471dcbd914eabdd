"""The questions of `middlerun still new`, each with its unit and default; a wrong answer is asked for again."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any

from middlerun.cli.guard import UsageError
from middlerun.cli.output import say
from middlerun.errors import MiddlerunError
from middlerun.fields import Spec, load_record, spec_of
from middlerun.still import Measurements
from middlerun.units import KINDS, format_quantity

_UNITS = {"pressure": "bar", "mass": "kg"}  # where people use another unit than the tables
_YES, _NO = ("y", "yes", "true"), ("n", "no", "false")
Answers = Mapping[str, Any]


def _jacket(answers: Answers) -> bool:
    return answers.get("heating_kind") in ("bain-marie", "steam-jacket")


def _steam(answers: Answers) -> bool:
    return answers.get("heating_kind") == "steam-jacket"


def _plates(answers: Answers) -> bool:
    return bool(answers.get("plates"))


def _timed(answers: Answers) -> bool:
    return "time_to_boil" in answers


def _dephlegmator(answers: Answers) -> bool:
    return _plates(answers) or answers.get("head") == "dephlegmator"


def _water(answers: Answers) -> bool:
    return "dephlegmator_flow" in answers


# Questions that only make sense after certain answers.
_ONLY_IF: dict[str, Callable[[Answers], bool]] = {
    "jacket_water": _jacket,
    "relief_gauge": _jacket,
    "vent": _jacket,
    "vacuum_breaker": _jacket,
    "steam_gauge": _steam,
    "boil_volume": _timed,
    "boil_strength": _timed,
    "boil_start": _timed,
    "plate_type": _plates,
    "column_diameter": _plates,
    "plate_spacing": _plates,
    "plate_level": _plates,
    "bypass": _plates,
    "head": lambda answers: not _plates(answers),
    "dephlegmator_flow": _dephlegmator,
    "dephlegmator_water_max": _dephlegmator,
    "dephlegmator_water_in": _water,
    "dephlegmator_water_out": _water,
    "head_temperature": _water,
}


def ask_all(read: Callable[[str], str] = input) -> dict[str, Any]:
    """Ask for everything that fits the answers so far and return it as a still's measurements would be written.

    `read` prints a question and returns what was typed. The end of the input ends the questions: the rest is left out.
    """
    say(
        "Answer in the unit that is shown, or write another one behind the number. "
        "Enter takes what stands in brackets, or leaves the question out."
    )
    answers: dict[str, Any] = {}
    for field in dataclasses.fields(Measurements):
        fits = _ONLY_IF.get(field.name)
        if fits is None or fits(answers):
            answer = _ask(field, read)
            if answer is not None:
                answers[field.name] = answer
    return answers


def _ask(field: dataclasses.Field[Any], read: Callable[[str], str]) -> Any:
    """Ask until the answer can be read; None means that it was left out."""
    spec = spec_of(field)
    while True:
        try:
            typed = read(_question(field, spec)).strip()
        except EOFError:
            if spec.required:
                raise UsageError("The answers ended too early: nothing was written. Begin again.") from None
            return None
        if not typed and not spec.required:
            return None
        try:
            answer = _meant(spec, typed)
            one = dataclasses.make_dataclass("One", [(field.name, Any, dataclasses.field(metadata=field.metadata))])
            load_record(one, {field.name: answer}, "answer")
            return answer
        except MiddlerunError as error:
            say(str(error))


def _question(field: dataclasses.Field[Any], spec: Spec) -> str:
    words = spec.doc.rstrip(".")
    unit = _unit(spec)
    if spec.form == "choice":
        words += f" ({', '.join(spec.choices)})"
    elif spec.form == "flag":
        words += " (yes, no)"
    elif unit:
        words += f" ({unit})"
    default = field.default
    if default is dataclasses.MISSING:
        return f"{words}: "
    if default is None:
        return f"{words} [leave out]: "
    if spec.form == "flag":
        return f"{words} [{'yes' if default else 'no'}]: "
    shown = format_quantity(default, spec.kind, unit) if spec.kind else str(default)
    return f"{words} [{shown}]: "


def _meant(spec: Spec, typed: str) -> Any:
    """Return what was typed as a file would hold it: the unit of the question behind a bare number."""
    if spec.form == "flag":
        if typed.lower() in (*_YES, *_NO):
            return typed.lower() in _YES
        return typed
    if spec.form in ("whole", "number"):
        try:
            return int(typed) if spec.form == "whole" else float(typed.replace(",", "."))
        except ValueError:
            return typed
    if spec.form == "quantity" and typed[-1:].isdigit():
        return f"{typed} {_unit(spec)}"
    return typed


def _unit(spec: Spec) -> str:
    return _UNITS.get(spec.kind, KINDS[spec.kind].display) if spec.kind else ""
