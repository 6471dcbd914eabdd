"""Stills of any values that a file may hold, for property-based tests."""

from __future__ import annotations

import dataclasses
from typing import Any

from hypothesis import strategies as st

from middlerun.fields import Spec, spec_of
from middlerun.still import Still

# Everything that a UTF-8 file can carry.
TEXT = st.text(st.characters(codec="utf-8"), max_size=30)


def described(cls: type) -> st.SearchStrategy[Any]:
    """Return a strategy for any instance of a described class within its hard limits."""
    return st.builds(cls, **{f.name: _values(spec_of(f), f) for f in dataclasses.fields(cls)})


def stills() -> st.SearchStrategy[Still]:
    return described(Still)


def _values(spec: Spec, field: dataclasses.Field[Any]) -> st.SearchStrategy[Any]:
    found = _form(spec)
    return found if spec.required or field.default is not None else st.none() | found


def _form(spec: Spec) -> st.SearchStrategy[Any]:
    if spec.form in ("quantity", "number"):
        return st.floats(spec.low, spec.high)
    if spec.form == "quantities":
        return st.lists(st.floats(spec.low, spec.high), max_size=4).map(tuple)
    if spec.form == "whole":
        return st.integers(int(spec.low), int(spec.high))
    if spec.form == "text":
        return TEXT
    if spec.form == "flag":
        return st.booleans()
    if spec.form == "choice":
        return st.sampled_from(spec.choices)
    assert spec.item is not None, spec.form
    if spec.form == "record":
        return described(spec.item)
    return st.lists(described(spec.item), max_size=3).map(tuple)
