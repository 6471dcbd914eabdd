"""Cooling: vapour that is not condensed, water that leaves too warm, product that runs hot."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from middlerun.plan.result import Warning
from middlerun.plan.warnings.view import View

ESCAPES = 1e-5  # mol/s, about 1.6 g of ethanol per hour: less is the solver's noise
SMALL_MARGIN = 1.15  # the condenser could take 15 % more: less is no margin for a warm day (common practice)
NEAR_BOIL = 368.15  # K; above 95 Cel the hose steams (common practice)
HOT_PRODUCT = 303.15  # K; hotter spirit evaporates into the room and an alcoholmeter reads badly (common practice)
_KG_PER_MOL = 0.040  # strong vapour, 80 % vol: 0.033; heads more. Rounded up, for a size and not a balance


def uncondensed(view: View) -> Iterator[Warning]:
    """Flammable vapour that leaves the condenser as vapour."""
    escapes = view["uncondensed"]
    share = escapes / np.maximum(view["distillate"], 1e-9)
    yield from view.warn(
        "uncondensed-vapour",
        escapes > ESCAPES,
        5.0,
        share=min(float(share[escapes > ESCAPES].max(initial=0.0)), 1.0),
        mass=view.run.totals["uncondensed"] * _KG_PER_MOL,
        water=float(view["condenser_water_flow"][int(np.argmax(escapes))]),
    )


def margin(view: View) -> Iterator[Warning]:
    """A condenser that copes, but hardly."""
    left = view["condenser_margin"]
    small = view.running() & (left < SMALL_MARGIN) & (view["uncondensed"] <= ESCAPES)
    if small.any():
        yield from view.warn("condenser-margin-small", small, margin=float(np.nanmin(left[small])))


def water_out(view: View) -> Iterator[Warning]:
    """Cooling water hotter than the plan allows: scale, burns, and steam in the hose."""
    most = {"condenser": view.still.condenser_water_max, "dephlegmator": view.still.dephlegmator_water_max}
    for of, flow_max in most.items():
        if flow_max <= 0.0:
            continue
        # A throttled dephlegmator always brings its little water near the vapour's temperature; that is how it works.
        limit = view.plan.limits.water_out if of == "condenser" else max(view.plan.limits.water_out, NEAR_BOIL)
        # Standing water takes the vapour's temperature and goes nowhere: only water that runs counts.
        hot = (view[f"{of}_water_out"] > limit) & (view[f"{of}_water_flow"] > 0.01 * flow_max)
        if hot.any():
            hottest = float(view[f"{of}_water_out"][hot].max())
            yield from view.warn("water-out-hot", hot, 60.0, of=of, temperature=hottest, limit=limit)


def hot_product(view: View) -> Iterator[Warning]:
    """Product that leaves the condenser warm."""
    hot = view.running() & (view["product_temperature"] > HOT_PRODUCT)
    if hot.any():
        yield from view.warn(
            "product-hot", hot, 60.0, temperature=float(view["product_temperature"][hot].max()), limit=HOT_PRODUCT
        )


CHECKS = (uncondensed, margin, water_out, hot_product)
