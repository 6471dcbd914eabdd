"""Values that are possible but not usual: what a person should look at twice."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from middlerun.fields.declare import Spec, spec_of
from middlerun.units import format_quantity


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One remark on a description: where, how serious ("refused", "unlikely", "note"), and what, in words."""

    where: str
    level: str
    text: str


def unusual(thing: Any, where: str) -> Iterator[Finding]:
    """Yield a finding for every value of a described instance that lies outside its usual range."""
    for field in dataclasses.fields(thing):
        if "middlerun" not in field.metadata:
            continue
        spec = spec_of(field)
        value = getattr(thing, field.name)
        place = f"{where}: {field.name}" if where else field.name
        if value is None:
            continue
        if spec.form == "record":
            yield from unusual(value, place)
        elif spec.form == "records":
            for i, item in enumerate(value, 1):
                yield from unusual(item, f"{place} {i}")
        elif spec.usual is not None and not spec.usual[0] <= value <= spec.usual[1]:
            source = f" ({spec.usual_source})" if spec.usual_source else ""
            yield Finding(
                where=place,
                level="unlikely",
                text=f"{_written(spec, value)} is outside the usual {_written(spec, spec.usual[0])} to "
                f"{_written(spec, spec.usual[1])}{source}. {spec.doc}",
            )


def _written(spec: Spec, value: float) -> str:
    return format_quantity(value, spec.kind) if spec.kind else f"{value:g}"
