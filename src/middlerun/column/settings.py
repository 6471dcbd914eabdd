"""A phase as numbers: what the kernel is told. Everything is SI."""

from __future__ import annotations

import math
from dataclasses import dataclass

# What an end condition can look at; the order is the kernel's.
END_CHANNELS = ("time", "pot_temperature", "head_temperature", "product_strength", "collected", "lpa_share")


@dataclass(frozen=True, kw_only=True)
class End:
    """One end condition: the phase ends when `channel` passes `threshold` upwards (`rising`) or downwards.

    time s, temperatures K (as shown), strength 1, collected m3 at 20 Cel in this phase, lpa_share 1 in this phase.
    """

    channel: str
    threshold: float
    rising: bool
    name: str  # key of the procedure's `ends` that it stands for


@dataclass(frozen=True, kw_only=True)
class PhaseSettings:
    """Settings, held values and ends of one phase. NaN in a setpoint means "not held"."""

    name: str
    heater: float  # W
    jacket_setpoint: float = math.nan  # K
    dephlegmator_flow: float = 0.0  # m3/s; the start value while the head is held (NaN: go on from where it is)
    head_setpoint: float = math.nan  # K, what the head thermometer must show
    condenser_flow: float = 0.0  # m3/s; the start value while its outlet is held
    condenser_setpoint: float = math.nan  # K
    levels: tuple[float, ...] = ()  # m3 hot, one a plate, from the bottom up
    bypassed: tuple[bool, ...] = ()  # one a plate
    agitated: bool = False
    vent_open: bool = False
    ends: tuple[End, ...] = ()
    at_most: float = 43200.0  # s
