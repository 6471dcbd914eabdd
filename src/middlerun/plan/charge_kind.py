"""Kinds of charge, one file a kind in `charge_kinds/`: what mash, wine or low wines bring besides ethanol and water."""

from __future__ import annotations

import functools
from dataclasses import dataclass, fields
from pathlib import Path

from middlerun.errors import InputFileError, UnknownNameError
from middlerun.fields import (
    choice,
    flag,
    load_record,
    load_toml_file,
    nearest,
    number,
    quantity,
    record,
    require_format,
    text,
)

FORMAT = "middlerun-charge-kind"
VERSION = 1
GROUPS = ("wine", "fruit mash", "grain wash", "low wines")
STATUSES = ("read", "computed", "from memory (high)", "from memory (medium)", "from memory (low)", "common practice")
_FOLDER = Path(__file__).with_name("charge_kinds")
_SOURCE = "Where the number comes from."
_STATUS = "How it was come by."


@dataclass(frozen=True, kw_only=True)
class SourcedConcentration:
    """A mass concentration with its band and source."""

    value: float = quantity(
        "mass concentration", low="0 g/L", high="300 g/L", doc="The value used when the plan gives none."
    )
    low: float = quantity("mass concentration", low="0 g/L", high="300 g/L", doc="Lower end of what is met.")
    high: float = quantity("mass concentration", low="0 g/L", high="300 g/L", doc="Upper end of what is met.")
    source: str = text(doc=_SOURCE)
    status: str = choice(*STATUSES, doc=_STATUS)


@dataclass(frozen=True, kw_only=True)
class SourcedShare:
    """A share with its band and source."""

    value: float = quantity("share", low="0 %", high="100 %", doc="The value used when the plan gives none.")
    low: float = quantity("share", low="0 %", high="100 %", doc="Lower end of what is met.")
    high: float = quantity("share", low="0 %", high="100 %", doc="Upper end of what is met.")
    source: str = text(doc=_SOURCE)
    status: str = choice(*STATUSES, doc=_STATUS)


@dataclass(frozen=True, kw_only=True)
class SourcedStrength:
    """A volume strength with its band and source."""

    value: float = quantity("volume strength", low="0 %{vol}", high="96 %{vol}", doc="What is usual.")
    low: float = quantity("volume strength", low="0 %{vol}", high="96 %{vol}", doc="Lower end of what is met.")
    high: float = quantity(
        "volume strength", low="0 %{vol}", high="96 %{vol}", doc="Upper end; more is refused as absurd."
    )
    source: str = text(doc=_SOURCE)
    status: str = choice(*STATUSES, doc=_STATUS)


@dataclass(frozen=True, kw_only=True)
class SourcedNumber:
    """A pure number, or one whose unit its key's text names, with its band and source."""

    value: float = number(low=0.0, high=10000.0, doc="The value used.")
    low: float = number(low=0.0, high=10000.0, doc="Lower end of what is met.")
    high: float = number(low=0.0, high=10000.0, doc="Upper end of what is met.")
    source: str = text(doc=_SOURCE)
    status: str = choice(*STATUSES, doc=_STATUS)


@dataclass(frozen=True, kw_only=True)
class ChargeKind:
    """What charges of one kind have in common."""

    title: str = text(doc="The kind in words.")
    group: str = choice(*GROUPS, doc="What sort of charge it is.")
    strength: SourcedStrength = record(SourcedStrength, doc="Strength at 20 Cel.")
    extract: SourcedConcentration = record(
        SourcedConcentration, doc="Dissolved solids: sugar rest, sorbitol, acids, salts."
    )
    solute_molar_mass: SourcedNumber = record(SourcedNumber, doc="Mean molar mass of the dissolved solids, g/mol.")
    solids: SourcedConcentration = record(SourcedConcentration, doc="Undissolved solids: skins, pulp, husks, yeast.")
    solids_heat_capacity: SourcedNumber = record(SourcedNumber, doc="Heat capacity of all solids, J/(kg.K).")
    solids_volume: SourcedNumber = record(SourcedNumber, doc="Volume that the solids take up in the liquid, L/kg.")
    froth: SourcedShare = record(SourcedShare, doc="Froth allowance on the hot volume.")
    foam_factor: SourcedNumber = record(SourcedNumber, doc="How much more it swells at the boil than water does.")
    heat_transfer: SourcedNumber = record(SourcedNumber, doc="Its U·A over that of wine in the same pot.")
    scorches: bool = flag(doc="Whether it can burn on to a hot base.", default=False)


def charge_kind_names() -> tuple[str, ...]:
    """Return the names of the kinds in the library, sorted.

    >>> "plum-mash" in charge_kind_names()
    True
    """
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.toml")))


@functools.cache
def charge_kind(name: str) -> ChargeKind:
    """Return a kind of charge by its file's name; UnknownNameError names the nearest.

    >>> charge_kind("low-wines").extract.value
    0.0
    """
    if name not in charge_kind_names():
        raise UnknownNameError(f'There is no kind of charge "{name}". {nearest(name, charge_kind_names())}')
    path = _FOLDER / f"{name}.toml"
    found = load_record(ChargeKind, require_format(load_toml_file(path), path.name, FORMAT, VERSION), path.name)
    for field in fields(ChargeKind):
        _require_order(getattr(found, field.name), f"{path.name}: {field.name}")
    return found


def _require_order(entry: object, where: str) -> None:
    """Refuse a sourced entry whose value lies outside its own band, or that names no source."""
    if isinstance(entry, SourcedConcentration | SourcedShare | SourcedStrength | SourcedNumber):
        if not entry.low <= entry.value <= entry.high:
            raise InputFileError(f"{where}: the value lies outside its own low and high. Correct the band.")
        if not entry.source.strip():
            raise InputFileError(f"{where} has no source. Say where the number comes from.")
