"""How a described thing declares its fields: each helper returns a dataclass field that carries its specification."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

from middlerun.units import parse_quantity

REQUIRED: Any = object()
_KEY = "middlerun"


@dataclass(frozen=True, kw_only=True)
class Spec:
    """What one key of a file may hold. Numbers are SI; `low`, `high` and `usual` are inclusive."""

    form: str  # quantity, quantities, number, whole, wholes, text, texts, choice, flag, record, records
    doc: str
    kind: str = ""  # of quantity, see middlerun.units
    low: float = float("-inf")
    high: float = float("inf")
    usual: tuple[float, float] | None = None
    usual_source: str = ""
    choices: tuple[str, ...] = ()
    item: type | None = None
    required: bool = False
    expert: bool = False  # left out of what `still new` shows


def spec_of(field: dataclasses.Field[Any]) -> Spec:
    """Return the specification that a declared dataclass field carries."""
    spec: Spec = field.metadata[_KEY]
    return spec


def specs(cls: type) -> dict[str, Spec]:
    """Return the specifications of all fields of a described class, by key."""
    return {f.name: spec_of(f) for f in dataclasses.fields(cls) if _KEY in f.metadata}


def quantity(
    kind: str,
    *,
    doc: str,
    low: str,
    high: str,
    default: Any = REQUIRED,
    usual: tuple[str, str] | None = None,
    usual_source: str = "",
    expert: bool = False,
) -> Any:
    """Declare a quantity with its unit; limits and default stand as in a file ("12 kW"); None may be a default."""
    spec = Spec(
        form="quantity",
        doc=doc,
        kind=kind,
        low=parse_quantity(low, kind),
        high=parse_quantity(high, kind),
        usual=None if usual is None else (parse_quantity(usual[0], kind), parse_quantity(usual[1], kind)),
        usual_source=usual_source,
        required=default is REQUIRED,
        expert=expert,
    )
    return _field(spec, parse_quantity(default, kind) if isinstance(default, str) else default)


def quantities(kind: str, *, doc: str, low: str, high: str, default: Any = REQUIRED, expert: bool = False) -> Any:
    """Declare a list of quantities of one kind, read into a tuple of SI floats."""
    spec = Spec(
        form="quantities",
        doc=doc,
        kind=kind,
        low=parse_quantity(low, kind),
        high=parse_quantity(high, kind),
        required=default is REQUIRED,
        expert=expert,
    )
    if default is not REQUIRED and default is not None:
        default = tuple(parse_quantity(item, kind) for item in default)
    return _field(spec, default)


def number(
    *,
    doc: str,
    low: float,
    high: float,
    default: Any = REQUIRED,
    usual: tuple[float, float] | None = None,
    usual_source: str = "",
    expert: bool = False,
) -> Any:
    """Declare a pure number."""
    spec = Spec(
        form="number",
        doc=doc,
        low=low,
        high=high,
        usual=usual,
        usual_source=usual_source,
        required=default is REQUIRED,
        expert=expert,
    )
    return _field(spec, default)


def whole(*, doc: str, low: int, high: int, default: Any = REQUIRED, expert: bool = False) -> Any:
    """Declare a whole number."""
    return _field(Spec(form="whole", doc=doc, low=low, high=high, required=default is REQUIRED, expert=expert), default)


def wholes(*, doc: str, low: int, high: int, default: Any = ()) -> Any:
    """Declare a list of whole numbers, read into a tuple."""
    return _field(Spec(form="wholes", doc=doc, low=low, high=high, required=default is REQUIRED), default)


def text(*, doc: str, default: Any = REQUIRED) -> Any:
    """Declare a free text."""
    return _field(Spec(form="text", doc=doc, required=default is REQUIRED), default)


def texts(*, doc: str, default: Any = REQUIRED) -> Any:
    """Declare a list of texts, read into a tuple."""
    return _field(Spec(form="texts", doc=doc, required=default is REQUIRED), default)


def choice(*choices: str, doc: str, default: Any = REQUIRED) -> Any:
    """Declare one word out of a few."""
    return _field(Spec(form="choice", doc=doc, choices=choices, required=default is REQUIRED), default)


def flag(*, doc: str, default: Any = REQUIRED) -> Any:
    """Declare true or false."""
    return _field(Spec(form="flag", doc=doc, required=default is REQUIRED), default)


def record(item: type, *, doc: str, default: Any = REQUIRED) -> Any:
    """Declare a table of another described class; with `default=()` it is made from its own defaults."""
    spec = Spec(form="record", doc=doc, item=item, required=default is REQUIRED)
    if default == ():
        return dataclasses.field(default_factory=item, metadata={_KEY: spec})
    return _field(spec, default)


def records(item: type, *, doc: str, default: Any = ()) -> Any:
    """Declare a list of tables of another described class, read into a tuple."""
    return _field(Spec(form="records", doc=doc, item=item, required=default is REQUIRED), default)


def _field(spec: Spec, default: Any) -> Any:
    if default is REQUIRED:
        return dataclasses.field(metadata={_KEY: spec})
    return dataclasses.field(default=default, metadata={_KEY: spec})
