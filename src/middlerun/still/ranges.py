"""Hard limits for records that were made in Python, where no file reader has looked at them."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from typing import Any

from middlerun.errors import OutOfRangeError
from middlerun.fields import Finding, Spec, spec_of
from middlerun.units import format_quantity


def outside(thing: Any, where: str = "") -> Iterator[Finding]:
    """Yield a `refused` finding for every value of a described instance outside its hard limits, NaN included."""
    for field in dataclasses.fields(thing):
        spec, value = spec_of(field), getattr(thing, field.name)
        place = f"{where}: {field.name}" if where else field.name
        if value is None:
            continue
        if spec.form == "record":
            yield from outside(value, place)
        elif spec.form == "records":
            for i, item in enumerate(value, 1):
                yield from outside(item, f"{place} {i}")
        elif spec.form == "choice" and value not in spec.choices:
            text = f"{value!r} is none of: {', '.join(spec.choices)}."
            yield Finding(where=place, level="refused", text=text)
        elif spec.form in ("quantity", "quantities", "number", "whole", "wholes"):
            for one in value if isinstance(value, tuple) else (value,):
                if math.isnan(one) or not spec.low <= one <= spec.high:
                    text = (
                        f"{_written(spec, one)} is outside {_written(spec, spec.low)} to {_written(spec, spec.high)}."
                    )
                    yield Finding(where=place, level="refused", text=f"{text} {spec.doc}")


def require_inside(thing: Any, where: str) -> None:
    """Raise OutOfRangeError for the first value outside its hard limits."""
    for finding in outside(thing, where):
        raise OutOfRangeError(f"{finding.where}: {finding.text}")


def _written(spec: Spec, value: float) -> str:
    return format_quantity(value, spec.kind) if spec.kind else f"{value:g}"
