"""The look of every picture: light grey ground, dark lines told apart by dash and by a label at their end.

Colour is kept for what is abnormal, and never stands alone: a warning is a filled triangle with its name.
Matplotlib is imported only when a picture is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from middlerun.report.picture import Curve, Mark, Panel, Picture, Span, spread

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

GROUND, PAPER, INK, SOFT, HAIR = "#e9eaea", "#f3f4f4", "#1f2426", "#5b6265", "#c3c7c9"
ABNORMAL = "#b3261e"
_WIDTH, _HEAD, _NAMES, _GAP, _FOOT, _UNIT = 9.6, 1.12, 0.54, 0.42, 0.46, 1.45  # inches; _NAMES: of the phases, in _HEAD
_LEFT, _RIGHT = 0.06, 0.82  # of the width
_NAME_ROWS, _LETTER = 3, 0.0092  # rows of phase names; width of a letter as a share of the panel's
DASHES: tuple[Any, ...] = (
    "solid",
    (0, (6, 2)),
    (0, (1.2, 1.6)),
    (0, (7, 2, 1.2, 2)),
    (0, (3, 1.4)),
    (0, (7, 2, 1.2, 2, 1.2, 2)),
    (0, (10, 3)),
    (0, (4, 1.5, 1, 1.5, 1, 1.5, 1, 1.5)),
    (0, (2.4, 2.4)),
)
STYLE: dict[Any, Any] = {
    "font.family": "DejaVu Sans",
    "font.size": 8.5,
    "text.color": INK,
    "axes.labelcolor": INK,
    "axes.edgecolor": SOFT,
    "axes.facecolor": PAPER,
    "figure.facecolor": GROUND,
    "savefig.facecolor": GROUND,
    "axes.linewidth": 0.7,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.direction": "out",
    "axes.grid": True,
    "grid.color": HAIR,
    "grid.linewidth": 0.5,
    "axes.axisbelow": True,
    "axes.titlesize": 9,
    "axes.titlelocation": "left",
    "text.parse_math": False,  # a dollar sign in a phase's name is a dollar sign
    "svg.hashsalt": "middlerun",
    "svg.fonttype": "path",
    "path.simplify_threshold": 0.4,
    "axes.formatter.useoffset": False,
    "axes.xmargin": 0.0,
    "lines.solid_capstyle": "butt",
}


def draw(picture: Picture) -> Figure:
    """Draw a picture on a new figure, without a window. Not for several threads at once (`plots.py` has the lock)."""
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    with matplotlib.rc_context(STYLE):
        head = _HEAD if picture.spans else _HEAD - _NAMES
        heights = [_UNIT * panel.height for panel in picture.panels]
        inches = head + sum(heights) + _GAP * (len(heights) - 1) + _FOOT
        figure = Figure(figsize=(_WIDTH, inches))
        FigureCanvasAgg(figure)
        figure.text(0.012, 1 - 0.12 / inches, picture.title, fontsize=11, fontweight="bold", va="top")
        axes: list[Axes] = []
        top = inches - head
        for number, (panel, height) in enumerate(zip(picture.panels, heights, strict=True)):
            ax = figure.add_axes((_LEFT, (top - height) / inches, _RIGHT - _LEFT, height / inches))
            last = number == len(heights) - 1
            _x_axis(ax, picture, labelled=last)
            _panel(ax, picture, panel)
            _spans(ax, picture.spans, named=number == 0)
            axes.append(ax)
            top -= height + _GAP
        _marks(axes, picture)
    return figure


def _x_axis(ax: Axes, picture: Picture, labelled: bool) -> None:
    from matplotlib.ticker import FixedLocator, MaxNLocator

    if len(picture.x) and picture.x[-1] > picture.x[0]:
        ax.set_xlim(float(picture.x[0]), float(picture.x[-1]))
    left, right = ax.get_xlim()
    if picture.clock:
        step = next((step for step in (0.25, 0.5, 1.0, 2.0, 4.0) if (right - left) / step <= 14), 8.0)
        ticks = np.arange(0.0, right + 1e-9, step)
        ax.xaxis.set_major_locator(FixedLocator(ticks.tolist()))
        ax.set_xticklabels([f"{int(tick)}:{round(tick % 1 * 60):02d}" for tick in ticks])
    else:
        ax.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
    ax.yaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))
    ax.tick_params(labelbottom=labelled, length=3)
    if labelled:
        ax.set_xlabel(picture.x_label)


def _panel(ax: Axes, picture: Picture, panel: Panel) -> None:
    ax.set_title(panel.title, pad=4)
    values = np.concatenate([curve.y for curve in panel.curves]) if panel.curves else np.array([])
    values = values[np.isfinite(values)]
    if len(values) == 0:
        ax.text(0.5, 0.5, "nothing to show", transform=ax.transAxes, ha="center", va="center", color=SOFT)
        ax.set_yticks([])
        return
    low, high = _range(panel, values)
    ax.set_ylim(low, high)
    for curve in panel.curves:
        ax.plot(
            _x_of(picture, curve), curve.y, linestyle=DASHES[curve.dash % len(DASHES)], linewidth=curve.width, color=INK
        )
    for value, label in panel.limits:
        if low <= value <= high:
            below = value > low + 0.75 * (high - low)
            ax.axhline(value, color=SOFT, linewidth=0.9, linestyle=(0, (1, 1)))
            ax.annotate(
                label,
                (0.004, value),
                xycoords=ax.get_yaxis_transform(),
                xytext=(0, -2 if below else 1),
                textcoords="offset points",
                fontsize=7.5,
                color=SOFT,
                va="top" if below else "bottom",
            )
    _names(ax, picture, panel, low, high)


def _x_of(picture: Picture, curve: Curve) -> npt.NDArray[np.float64]:
    return picture.x if curve.x is None else curve.x


def _range(panel: Panel, values: npt.NDArray[np.float64]) -> tuple[float, float]:
    low = float(values.min()) if panel.low is None else panel.low
    high = float(values.max()) if panel.high is None else panel.high
    if panel.zero:
        low = min(0.0, low)
    if high - low < 1e-9:
        low, high = (low - 1.0, high + 1.0) if not panel.zero else (low, low + 1.0)
    pad = 0.06 * (high - low)
    return (low - (0.0 if panel.zero and low == 0.0 else pad), high + pad)


def _names(ax: Axes, picture: Picture, panel: Panel, low: float, high: float) -> None:
    """Name each line at the right edge beside a piece of its dash, in the order and, where there is room, at the height
    that the lines have at the end of the longest phase."""
    longest = max(picture.spans, key=lambda span: span.end - span.start, default=None)
    found: list[tuple[float, Curve]] = []
    for curve in panel.curves:
        seen = np.flatnonzero(np.isfinite(curve.y))
        if len(seen):
            before = seen[_x_of(picture, curve)[seen] < longest.end] if longest else seen
            found.append((float(curve.y[before[-1] if len(before) else seen[0]]), curve))
    found.sort(key=lambda pair: pair[0])
    gap = 0.155 / (_UNIT * panel.height) * (high - low)
    places = spread([min(max(y, low), high) for y, _ in found], gap, low, high)
    for (_, curve), place in zip(found, places, strict=True):
        ax.plot(
            [1.012, 1.052],
            [place, place],
            transform=ax.get_yaxis_transform(),
            clip_on=False,
            color=INK,
            linestyle=DASHES[curve.dash % len(DASHES)],
            linewidth=curve.width,
        )
        ax.text(1.06, place, curve.label, transform=ax.get_yaxis_transform(), va="center", fontsize=8)


def _spans(ax: Axes, spans: Sequence[Span], named: bool) -> None:
    left, right = ax.get_xlim()
    for span in spans:
        if left < span.start < right:
            ax.axvline(
                span.start,
                color=INK if span.cut else SOFT,
                linewidth=0.9 if span.cut else 0.6,
                linestyle="solid" if span.cut else (0, (2, 2)),
                zorder=1.5,
            )
    if named and right > left:
        _span_names(ax, spans, left, right)


def _span_names(ax: Axes, spans: Sequence[Span], left: float, right: float) -> None:
    """Write the names of phases in rows above a panel: cuts find their place first, then the longest phases."""
    rows: list[list[tuple[float, float]]] = [[] for _ in range(_NAME_ROWS)]  # what is taken, as shares of the width
    for span in sorted(spans, key=lambda span: (not span.cut, span.start - span.end)):
        if span.end <= left or span.start >= right:
            continue
        text = ("▼ " if span.cut else "") + span.name
        place = max(0.0, (span.start - left) / (right - left))
        until = place + _LETTER * len(text) + 0.012
        free = [row for row, taken in enumerate(rows) if all(until <= a or place >= b for a, b in taken)]
        if not free:
            continue  # too narrow a phase for its name; its line still stands
        rows[free[0]].append((place, until))
        ax.annotate(
            text,
            (place, 1.0),
            xycoords="axes fraction",
            xytext=(0, 19 + 11 * free[0]),
            textcoords="offset points",
            fontsize=8,
            ha="left",
            va="bottom",
            annotation_clip=False,
        )


def _marks(axes: Sequence[Axes], picture: Picture) -> None:
    for number, mark in enumerate(picture.marks):
        ax, y = _where(axes, picture, mark)
        ax.plot(
            [mark.x],
            [y],
            marker="^",
            markersize=7,
            color=ABNORMAL,
            markeredgecolor="white",
            markeredgewidth=0.6,
            zorder=5,
            clip_on=False,
        )
        near_right = mark.x > 0.75 * ax.get_xlim()[1]
        low, high = ax.get_ylim()
        lift = 7 + 9 * (number % 2)
        ax.annotate(
            mark.label,
            (mark.x, y),
            xytext=(-7 if near_right else 7, -lift if y > low + 0.8 * (high - low) else lift),
            textcoords="offset points",
            fontsize=7.5,
            color=ABNORMAL,
            ha="right" if near_right else "left",
            va="center",
            zorder=5,
            annotation_clip=False,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8},
        )


def _where(axes: Sequence[Axes], picture: Picture, mark: Mark) -> tuple[Axes, float]:
    for ax, panel in zip(axes, picture.panels, strict=True):
        for curve in panel.curves:
            if curve.name == mark.curve and len(picture.x):
                y = float(np.interp(mark.x, _x_of(picture, curve), curve.y))
                if np.isfinite(y) and ax.get_ylim()[0] <= y <= ax.get_ylim()[1]:
                    return ax, y
    return axes[0], axes[0].get_ylim()[0]
