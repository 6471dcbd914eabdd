"""Fields: descriptions read from files, with a unit, a range, a default and a reason for every value.

Takes: TOML text or tables, and frozen dataclasses whose fields were declared with the functions below. Gives: checked
instances in SI. Never: guesses a unit, accepts an unknown key, or knows what a still is.
"""

from middlerun.fields.declare import (
    REQUIRED,
    Spec,
    choice,
    flag,
    number,
    quantities,
    quantity,
    record,
    records,
    spec_of,
    specs,
    text,
    texts,
    whole,
    wholes,
)
from middlerun.fields.load import load_record, load_toml_file, nearest, parse_toml, require_format
from middlerun.fields.usual import Finding, unusual

__all__ = [
    "REQUIRED",
    "Finding",
    "Spec",
    "choice",
    "flag",
    "load_record",
    "load_toml_file",
    "nearest",
    "number",
    "parse_toml",
    "quantities",
    "quantity",
    "record",
    "records",
    "require_format",
    "spec_of",
    "specs",
    "text",
    "texts",
    "unusual",
    "whole",
    "wholes",
]
