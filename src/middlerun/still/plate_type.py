"""Plate types: one file a type in `plate_types/`; each number with its band, source and status."""

from __future__ import annotations

import functools
import importlib.resources
from dataclasses import dataclass
from typing import Any

from middlerun.errors import InputFileError, UnknownNameError
from middlerun.fields import choice, load_record, nearest, number, parse_toml, quantity, record, require_format, text

PLATE_TYPE_FORMAT = "middlerun-plate-type"
PLATE_TYPE_VERSION = 1
STATUSES = ("read", "computed", "from memory (high)", "from memory (medium)", "from memory (low)", "common practice")

_SOURCE = "Where the number comes from."
_STATUS = "How it was come by."


@dataclass(frozen=True, kw_only=True)
class SourcedNumber:
    """A pure number with its band and its source."""

    value: float = number(low=0.0, high=100.0, doc="The value used when the still's file gives none.")
    low: float = number(low=0.0, high=100.0, doc="Lower end of what is met.")
    high: float = number(low=0.0, high=100.0, doc="Upper end of what is met.")
    source: str = text(doc=_SOURCE)
    status: str = choice(*STATUSES, doc=_STATUS)


@dataclass(frozen=True, kw_only=True)
class SourcedLength:
    """A length with its band and its source."""

    value: float = quantity("length", low="0 mm", high="300 mm", doc="The value used when the still's file gives none.")
    low: float = quantity("length", low="0 mm", high="300 mm", doc="Lower end of what is met.")
    high: float = quantity("length", low="0 mm", high="300 mm", doc="Upper end of what is met.")
    source: str = text(doc=_SOURCE)
    status: str = choice(*STATUSES, doc=_STATUS)


@dataclass(frozen=True, kw_only=True)
class SourcedTime:
    """A time with its band and its source."""

    value: float = quantity("time", low="0.5 s", high="24 h", doc="The value used when the still's file gives none.")
    low: float = quantity("time", low="0.1 s", high="48 h", doc="Lower end of what is met.")
    high: float = quantity("time", low="0.1 s", high="48 h", doc="Upper end of what is met.")
    source: str = text(doc=_SOURCE)
    status: str = choice(*STATUSES, doc=_STATUS)


@dataclass(frozen=True, kw_only=True)
class PlateType:
    """What plates of one kind have in common."""

    title: str = text(doc="The type in words.")
    drawn_as: str = choice("holes", "caps", "tunnels", doc="How the schematic shows it.")
    efficiency: SourcedNumber = record(SourcedNumber, doc="Murphree vapour efficiency at the usual level.")
    active_share: SourcedNumber = record(SourcedNumber, doc="Bubbling area over the shell's cross-section.")
    open_share: SourcedNumber = record(SourcedNumber, doc="Open area for the vapour over the bubbling area.")
    hole_diameter: SourcedLength = record(SourcedLength, doc="Diameter of one hole, or width of one slot.")
    discharge: SourcedNumber = record(SourcedNumber, doc="Orifice coefficient C0 of the dry pressure drop.")
    weep_constant: SourcedNumber = record(
        SourcedNumber,
        doc="Constant K2 of the weep point u = (K2 - 0.9 (25.4 - d))/sqrt(rho), u in m/s, d in mm, "
        "rho in kg/m3; 0 for a type that leaks slowly but never weeps.",
    )
    level: SourcedLength = record(SourcedLength, doc="Usual height of the weir over the plate.")
    level_min: SourcedLength = record(SourcedLength, doc="Lowest height of the weir.")
    level_max: SourcedLength = record(SourcedLength, doc="Highest height of the weir.")
    clear_share: SourcedNumber = record(SourcedNumber, doc="Liquid in the froth: hold-up over weir height times area.")
    weir_time: SourcedTime = record(SourcedTime, doc="Time constant with which liquid over the weir runs off.")
    leak_time: SourcedTime = record(SourcedTime, doc="Time constant with which the plate runs empty without vapour.")
    thickness: SourcedLength = record(SourcedLength, doc="Metal of the plate as a full sheet of this thickness.")


def plate_type_names() -> tuple[str, ...]:
    """Return the names of the plate types in the library, sorted.

    >>> "sieve" in plate_type_names()
    True
    """
    folder = importlib.resources.files("middlerun.still") / "plate_types"
    return tuple(sorted(f.name.removesuffix(".toml") for f in folder.iterdir() if f.name.endswith(".toml")))


@functools.cache
def plate_type(name: str) -> PlateType:
    """Return a plate type by its file's name; UnknownNameError names the nearest.

    >>> plate_type("bubble-cap").weep_constant.value
    0
    """
    if name not in plate_type_names():
        raise UnknownNameError(f'There is no plate type "{name}". {nearest(name, plate_type_names())}')
    where = f"{name}.toml"
    path = importlib.resources.files("middlerun.still") / "plate_types" / where
    data = parse_toml(path.read_text(encoding="utf-8"), where)
    found = load_record(PlateType, require_format(data, where, PLATE_TYPE_FORMAT, PLATE_TYPE_VERSION), where)
    for key in PlateType.__dataclass_fields__:
        _require_order(getattr(found, key), f"{where}: {key}")
    return found


def _require_order(entry: Any, where: str) -> None:
    """Refuse a sourced entry whose value lies outside its own band, or that has no source."""
    if isinstance(entry, str):
        return
    if not entry.low <= entry.value <= entry.high:
        raise InputFileError(f"{where}: the value lies outside its own low and high. Correct the band.")
    if not entry.source.strip():
        raise InputFileError(f"{where} has no source. Say where the number comes from.")
