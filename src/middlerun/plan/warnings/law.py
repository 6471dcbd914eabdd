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
    strength, rate = view["product_strength"], view["product_rate"]
    kept = view.during(*_KEPT) & view.running()
    if not kept.any():
        return
    momentary = float(np.nanmax(strength[kept]))
    weight = rate[kept] * np.gradient(view.time)[kept]
    mean = float(np.sum(strength[kept] * weight) / np.sum(weight)) if np.sum(weight) > 0.0 else momentary
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
