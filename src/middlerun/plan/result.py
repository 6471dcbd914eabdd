"""What a prediction gives back: time series, phases, fractions, totals, warnings. Everything is SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from middlerun.plan.description import Plan

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class PhaseResult:
    """How one phase went: when it began and ended, and why it ended."""

    name: str
    fraction: str
    start: float  # s
    end: float  # s
    ended_by: str  # key of Ends that ended it, or "no_product"


@dataclass(frozen=True, kw_only=True)
class Fraction:
    """What one vessel holds at the end. Volumes are at 20 Cel."""

    name: str
    volume: float  # m3
    strength: float  # 1, volume strength
    pure_alcohol: float  # m3
    mass: float  # kg
    start: float  # s, first product
    end: float  # s, last product
    strength_start: float  # 1
    strength_end: float  # 1


@dataclass(frozen=True, kw_only=True)
class Warning:
    """A limit that the run would break: a code with parameters; the words come from the catalogue."""

    code: str
    time: float | None = None  # s, first time; None when it concerns the plan as a whole
    until: float | None = None  # s, last time
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Run:
    """A predicted run.

    `series` maps a name (docs/nomenclature.md) to an array of shape (n,), SI; `series["time"]` is the time grid in s.
    `totals` maps a name to a number, SI. `balance` holds the closures: relative errors of ethanol, water, energy.
    """

    plan: Plan
    series: Mapping[str, FloatArray]
    phases: tuple[PhaseResult, ...]
    fractions: tuple[Fraction, ...]
    totals: Mapping[str, float]
    warnings: tuple[Warning, ...]
    balance: Mapping[str, float]
