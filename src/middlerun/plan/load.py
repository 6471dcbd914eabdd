"""Plans from files: still and procedure by name, path or table; the charge perhaps from another plan's product."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from middlerun.errors import InputFileError, MissingKeyError, UnknownKeyError
from middlerun.fields import flag, load_record, load_toml_file, nearest, quantity, record, require_format, specs, text
from middlerun.law import category
from middlerun.plan.charge_kind import charge_kind
from middlerun.plan.description import FORMAT, VERSION, Charge, Limits, Plan, Weather
from middlerun.plan.result import Run
from middlerun.plan.source import charge_from_source
from middlerun.run import Procedure, find_procedure, procedure_from_table
from middlerun.still import Still, find_still

Predict = Callable[[Plan], Run]
_OTHER = ("still", "procedure")  # a name, a path or a table; everything else is in Head


@dataclass(frozen=True, kw_only=True)
class Head:
    """What a plan file holds besides still and procedure."""

    name: str = text(doc="What the plan is called.")
    note: str = text(default="", doc="Anything worth saying about it.")
    invented: bool = flag(default=False, doc="True for a plan that was made up, such as an example.")
    category: str = text(
        default="", doc="Id of the legal category whose ceiling on distillation strength counts; empty for none."
    )
    report_every: float = quantity(
        "time", low="0.5 s", high="10 min", default="10 s", doc="Step of the time grid that is reported."
    )
    charge: Charge = record(Charge, doc="What goes into the pot.")
    weather: Weather = record(Weather, default=(), doc="The day.")
    limits: Limits = record(Limits, default=(), doc="What the day and the purse allow.")


def load_plan(path: str | Path, predict: Predict | None = None) -> Plan:
    """Read a plan file ("middlerun-plan/1") and everything that it names; paths in it are relative to its folder.

    A charge from another plan's product needs that plan predicted: by `predict`, or by this room's own when it is None.
    Raises InputFileError and its kinds for what can't be read, UnknownNameError for a name that is in no library,
    ProcedureError and PlanError for what makes no sense. It does not check the plan as a whole; `check_plan` does.
    """
    return _load(Path(path), predict, ())


def plan_from_table(
    data: Mapping[str, Any], where: str, folder: str | Path = "", predict: Predict | None = None
) -> Plan:
    """Make a plan from a table without a `format` line; `where` names it in errors, its paths start at `folder`."""
    return _resolve(data, where, Path(folder), predict, ())


def _load(path: Path, predict: Predict | None, chain: tuple[Path, ...]) -> Plan:
    data = require_format(load_toml_file(path), str(path), FORMAT, VERSION)
    return _resolve(data, str(path), path.parent, predict, (*chain, path.resolve()))


def _resolve(
    data: Mapping[str, Any], where: str, folder: Path, predict: Predict | None, chain: tuple[Path, ...]
) -> Plan:
    keys = [*specs(Head), *_OTHER]
    for key in data:
        if key not in keys:
            raise UnknownKeyError(f'{where} has the unknown key "{key}". {nearest(key, keys)}')
    for key in _OTHER:
        if key not in data:
            raise MissingKeyError(
                f'{where} lacks the key "{key}": a name of the library, the path of a file, or a table.'
            )
    head = load_record(Head, {key: value for key, value in data.items() if key not in _OTHER}, where)
    if head.category:
        category(head.category)
    charge_kind(head.charge.kind)
    charge = head.charge
    if charge.source is not None:
        named = data["charge"]
        charge = charge if "kind" in named else replace(charge, kind="low-wines")
        charge = charge_from_source(charge, where, folder, chain, lambda p, c: _load(p, predict, c), predict)
    return Plan(
        name=head.name,
        note=head.note,
        invented=head.invented,
        category=head.category,
        report_every=head.report_every,
        still=_still(data["still"], f"{where}: still", folder),
        procedure=_procedure(data["procedure"], f"{where}: procedure", folder),
        charge=charge,
        weather=head.weather,
        limits=head.limits,
    )


def _still(named: Any, where: str, folder: Path) -> Still:
    if isinstance(named, Mapping):
        return load_record(Still, named, where)
    if not isinstance(named, str):
        raise InputFileError(
            f"{where} is {named!r}: a name of the library, the path of a file, or a table is expected."
        )
    return find_still(named, folder)


def _procedure(named: Any, where: str, folder: Path) -> Procedure:
    if isinstance(named, Mapping):
        return procedure_from_table(named, where)
    if not isinstance(named, str):
        raise InputFileError(
            f"{where} is {named!r}: a name of the library, the path of a file, or a table is expected."
        )
    return find_procedure(named, folder)
