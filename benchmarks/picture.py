"""The picture of the page: time against error for all solvers, told apart by dash and mark."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from middlerun.report.chart import DASHES, INK, SOFT, STYLE

_LEAST = 1e-12  # error that is drawn for none
_MARKS = ("o", "s", "^", "D", "v")
_SIDES = (("total", "error in all distilled ethanol"), ("worst", "error in the ethanol of the worst fraction"))


def front(rows: list[dict[str, Any]], key: str) -> list[tuple[float, float]]:
    """Return (error, time) of the settings that no other beats in both, from exact to rough.

    >>> front([{"e": 1e-3, "cpu": 1.0}, {"e": 1e-4, "cpu": 0.5}, {"e": 1e-5, "cpu": 2.0}], "e")
    [(1e-05, 2.0), (0.0001, 0.5)]
    """
    best: list[tuple[float, float]] = []
    for error, time in sorted((max(row[key], _LEAST), row["cpu"]) for row in rows):
        if not best or time < best[-1][1]:
            best.append((error, time))
    return best


def draw(result: dict[str, Any], paths: list[Path]) -> None:
    """Draw the grid of one plan: every setting that did not fail, and a line through each solver's best."""
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    from matplotlib.ticker import FuncFormatter, NullFormatter

    rows = [row for row in result["grid"] if not row["failure"]]
    solvers = list(dict.fromkeys(row["solver"] for row in result["grid"]))
    with matplotlib.rc_context({**STYLE, "axes.xmargin": 0.05}):
        figure = Figure(figsize=(9.6, 4.6), layout="constrained")
        FigureCanvasAgg(figure)
        figure.suptitle(f"Time and error of solvers on one run: {result['plan']}", x=0.01, ha="left", fontsize=11)
        for axes, (key, words) in zip(figure.subplots(1, 2, sharey=True), _SIDES, strict=True):
            axes.set(xscale="log", yscale="log", xlabel=f"{words}, relative", xlim=(3e-12, 3e-2))
            for i, solver in enumerate(solvers):
                own = [row for row in rows if row["solver"] == solver]
                axes.scatter(
                    [max(row[key], _LEAST) for row in own], [1e3 * row["cpu"] for row in own], marker=_MARKS[i % 5],
                    s=9, facecolor="none", edgecolor=SOFT, linewidth=0.5, alpha=0.6,
                )  # fmt: skip
                line = [(error, 1e3 * time) for error, time in front(own, key) if error >= axes.get_xlim()[0]]
                axes.plot(
                    *zip(*line, strict=True), linestyle=DASHES[i], color=INK, marker=_MARKS[i % 5], markersize=4.5,
                    markerfacecolor="white", linewidth=1.6 if i == 0 else 1.0,
                )  # fmt: skip
                at_end = solver.endswith("BDF")  # its line begins where another one runs
                axes.annotate(
                    solver, line[-1 if at_end else 0], xytext=(7, 5) if at_end else (-7, 4),
                    textcoords="offset points", ha="left" if at_end else "right", fontsize=8,
                )  # fmt: skip
            axes.axvline(result["good"], color=SOFT, linewidth=0.9, linestyle=(0, (1, 1)))
            for axis in (axes.xaxis, axes.yaxis):
                axis.set_minor_formatter(NullFormatter())
            axes.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"1e{round(math.log10(x))}"))
            axes.yaxis.set_major_formatter(FuncFormatter(lambda y, _: f"{y:g}"))
            axes.label_outer()
        figure.axes[0].set_ylabel("time of the whole run, ms of one core")
        figure.axes[0].text(result["good"] * 1.15, figure.axes[0].get_ylim()[0] * 1.1, "5e-5", fontsize=7.5, color=SOFT)
        for path in paths:
            path.parent.mkdir(parents=True, exist_ok=True)
            figure.savefig(path, dpi=130, metadata={"Date": None} if path.suffix == ".svg" else None)
