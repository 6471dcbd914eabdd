"""Plates: dry, weeping, flooding, unable to drain."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from middlerun.plan.result import Warning
from middlerun.plan.warnings.view import Mask, View

DRY = 0.1  # share of its weir setting below which a plate counts as dry
LONG = 120.0  # s; plates take some minutes to fill, and a moved weir some seconds to show


def _each(view: View) -> Iterator[tuple[int, Mask]]:
    """Yield the number of every plate with where it should work: product runs, its weir is up, it isn't bypassed."""
    makes = view.during() & view.running()
    for k in range(1, len(view.still.plates) + 1):
        bypassed = np.array([settings.bypassed[k - 1] for settings in view.settings])
        yield k, makes & (view[f"plate_{k}_level"] > 1e-9) & ~bypassed[view.phase]


def _together(view: View, code: str, marks: dict[int, Mask], **values: object) -> Iterator[Warning]:
    """Yield one warning for all plates that have the same trouble for long enough."""
    concerned = {k: mask for k, mask in marks.items() if view.spell(mask, LONG) is not None}
    if concerned:
        anywhere = np.logical_or.reduce(list(concerned.values()))
        yield from view.warn(code, anywhere, LONG, plates=", ".join(map(str, concerned)), **values)


def dry(view: View) -> Iterator[Warning]:
    """Plates that hold hardly any liquid while product runs: they don't separate."""
    yield from _together(
        view,
        "plates-dry",
        {k: works & (view[f"plate_{k}_liquid"] < DRY * view[f"plate_{k}_level"]) for k, works in _each(view)},
    )


def weeping(view: View) -> Iterator[Warning]:
    """Too little vapour to keep the liquid on a plate with holes."""
    marks, least = {}, 1.0
    for k, works in _each(view):
        if view.still.plates[k - 1].weep_velocity > 0.0:
            marks[k] = works & (view[f"plate_{k}_weep"] < 1.0)
            least = min(least, float(view[f"plate_{k}_weep"][marks[k]].min(initial=1.0)))
    yield from _together(view, "plates-weep", marks, share=least)


def flooding(view: View) -> Iterator[Warning]:
    """More vapour than a plate can take: liquid is carried up."""
    marks = {k: view[f"plate_{k}_flood"] > 1.0 for k in range(1, len(view.still.plates) + 1)}
    most = max((float(view[f"plate_{k}_flood"].max()) for k in marks), default=0.0)
    yield from _together(view, "plates-flood", marks, share=most)


def cannot_drain(view: View) -> Iterator[Warning]:
    """Liquid backs up because the vapour holds it on the plate above."""
    marks = {k: view[f"plate_{k}_downcomer"] > 1.0 for k in range(1, len(view.still.plates) + 1)}
    most = max((float(view[f"plate_{k}_downcomer"].max()) for k in marks), default=0.0)
    yield from _together(view, "plates-back-up", marks, share=most)


CHECKS = (dry, weeping, flooding, cannot_drain)
