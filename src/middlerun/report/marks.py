"""Which curve a warning stands on in the pictures, and the two or three words beside it."""

from __future__ import annotations

from middlerun.plan import warning_text
from middlerun.plan.result import Run, Warning
from middlerun.report.picture import Mark

# {k}: the first plate that the warning names; {of}: what it speaks of. Any other code stands on the pot's curve.
_CURVES = {
    "plates-flood": "plate_{k}_flood",
    "plates-weep": "plate_{k}_weep",
    "plates-dry": "plate_{k}_liquid",
    "plates-back-up": "plate_{k}_liquid",
    "jacket-over-limit": "jacket_gauge",
    "jacket-vacuum": "jacket_gauge",
    "relief-blows": "jacket_gauge",
    "vent-steams": "jacket_gauge",
    "uncondensed-vapour": "condenser_water_out",
    "condenser-margin-small": "condenser_water_out",
    "water-out-hot": "{of}_water_out",
    "head-over-limit": "head_temperature_shown",
    "bare-head-temperature": "head_temperature_shown",
    "hold-no-product": "head_temperature_shown",
    "hold-too-strong": "head_temperature_shown",
    "hold-too-weak": "head_temperature_shown",
    "over-ceiling": "parrot_strength",
    "over-ceiling-momentarily": "parrot_strength",
    "product-hot": "product_rate",
    "no-product": "product_rate",
    "longer-than-day": "pot_temperature_shown",
}
_FALLBACK = "pot_temperature_shown"


def marks_of(run: Run) -> tuple[Mark, ...]:
    """Return a mark (x in h) for every warning that has a time, on the curve that it speaks of."""
    return tuple(
        Mark(x=warning.time / 3600, label=warning_text(warning)[0], curve=curve_of(warning))
        for warning in run.warnings
        if warning.time is not None
    )


def curve_of(warning: Warning) -> str:
    """Return the name of the series on whose curve a warning stands.

    >>> curve_of(Warning(code="plates-weep", values={"plates": "2, 3"}))
    'plate_2_weep'
    """
    plate = str(warning.values.get("plates", "1")).split(",", maxsplit=1)[0]
    return _CURVES.get(warning.code, _FALLBACK).format(k=plate, of=warning.values.get("of", "condenser"))
