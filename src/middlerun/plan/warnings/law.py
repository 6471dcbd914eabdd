"""The category's ceiling on distillation strength, against the momentary and the mean strength."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from middlerun.law import category
from middlerun.plan.result import Warning
from middlerun.plan.warnings.view import View

_KEPT = ("hearts", "late hearts", "low wines")


def over_ceiling(view: View) -> Iterator[Warning]:
    """Distillate at or above the ceiling: the mean of what is kept, or only for a while."""
    if not view.plan.category:
        return
    rule = category(view.plan.category)
    strength = view["product_strength"]
    kept = view.during(*_KEPT) & view.running() & np.isfinite(strength)
    phases = (view.described(index) for index in view.phases(*_KEPT))
    vessels = {phase.into or phase.fraction for phase in phases}
    parts = [fraction for fraction in view.run.fractions if fraction.name in vessels and fraction.volume > 0.0]
    if not kept.any() or not parts:
        return
    momentary = float(strength[kept].max())
    mean = sum(part.pure_alcohol for part in parts) / sum(part.volume for part in parts)
    over = kept & (strength >= rule.distilled_below)
    values = {
        "momentary": momentary,
        "mean": mean,
        "limit": rule.distilled_below,
        "category": rule.name,
        "clause": f"{rule.law}, {rule.clause}",
        "as_of": rule.as_of,
    }
    # The mean of equal numbers may differ from them by rounding.
    code = "over-ceiling-momentarily" if rule.allows(mean + 1e-9) else "over-ceiling"
    yield from view.warn(code, over, 0.0, **values)


CHECKS = (over_ceiling,)
