"""A picture described as data, before anything is drawn: panels of curves over one x axis, with phases and marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt


@dataclass(frozen=True, kw_only=True)
class Curve:
    """One line of a panel: y of shape (n,) in the unit of the axis, label, dash and weight; its own x if it has one."""

    name: str
    label: str
    y: npt.NDArray[np.float64]
    dash: int = 0
    width: float = 1.3
    x: npt.NDArray[np.float64] | None = None


@dataclass(frozen=True, kw_only=True)
class Panel:
    """One pair of axes: a title with its unit, curves, horizontal limits (value, label), limits of the y axis."""

    title: str
    curves: tuple[Curve, ...]
    limits: tuple[tuple[float, str], ...] = ()
    low: float | None = None
    high: float | None = None
    height: float = 1.0
    zero: bool = False  # the axis starts at zero


@dataclass(frozen=True, kw_only=True)
class Span:
    """A named stretch of the x axis; `cut` marks that another vessel is put under at its start."""

    name: str
    start: float
    end: float
    cut: bool = False


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Something abnormal at x, shown on the named curve in the first panel that has it (else at the panel's foot)."""

    x: float
    label: str
    curve: str


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A picture that is described but not drawn: `summary` says in one line what it shows, for ear and caption."""

    name: str
    title: str
    summary: str
    x: npt.NDArray[np.float64]
    x_label: str
    panels: tuple[Panel, ...]
    clock: bool = True  # x is time in h, written as h:min
    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()


def spread(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Move sorted places apart to at least `gap`, keeping their order, within low and high as far as they fit.

    >>> spread([1.0, 1.1, 5.0], 1.0, 0.0, 5.0)
    [1.0, 2.0, 5.0]
    """
    if not places:
        return []
    gap = min(gap, (high - low) / max(len(places) - 1, 1))
    moved = list(places)
    for i in range(1, len(moved)):
        moved[i] = max(moved[i], moved[i - 1] + gap)
    overshoot = moved[-1] - high
    if overshoot > 0:
        moved[-1] = high
        for i in range(len(moved) - 2, -1, -1):
            moved[i] = min(moved[i], moved[i + 1] - gap)
    return moved
