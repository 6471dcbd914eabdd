"""End conditions as numbers for the kernel, and which of them can't be met on this day with this charge."""

from __future__ import annotations

from middlerun.column.settings import End
from middlerun.plan.description import Plan
from middlerun.plan.head import dew_temperature
from middlerun.run import PRODUCT_ENDS, Phase, ends_given
from middlerun.run.check import endless
from middlerun.units import format_quantity

# Which of the kernel's channels an end looks at, and whether it is passed upwards.
_CHANNELS = {
    "pot_temperature": ("pot_temperature", True),
    "head_temperature": ("head_temperature", True),
    "product_strength": ("product_strength", False),
    "collected": ("collected", True),
    "lpa_share": ("lpa_share", True),
    "smell_marker": ("lpa_share", True),
    "time": ("time", True),
}


def phase_ends(phase: Phase, plan: Plan, pressure: float, *, total_reflux: bool) -> tuple[End, ...]:
    """Return a phase's end conditions for the kernel; NeverEndsError when none of them can be met."""
    given = ends_given(phase.ends)
    hopeless = {
        key: reason
        for key, value in given.items()
        if (reason := _hopeless(key, value, plan, pressure, total_reflux=total_reflux))
    }
    if given and len(hopeless) == len(given):
        raise endless(phase, " ".join(hopeless.values()))
    return tuple(
        End(channel=_CHANNELS[key][0], threshold=value, rising=_CHANNELS[key][1], name=key)
        for key, value in given.items()
    )


def _hopeless(key: str, value: float, plan: Plan, pressure: float, *, total_reflux: bool) -> str:
    """Say why this end can't be met, or return an empty text."""
    if key == "pot_temperature":
        hottest = dew_temperature(0.0, pressure + plan.limits.pot_gauge)
        if value > hottest:
            return (
                f"ends.pot_temperature is {_written(value)}, but even water boils at {_written(hottest)} with "
                f"{format_quantity(pressure, 'pressure')} and the pot's gauge limit. Lower it."
            )
    elif key == "head_temperature":
        hottest = dew_temperature(0.0, pressure)
        if value >= hottest:
            return (
                f"ends.head_temperature is {_written(value)}, but steam itself shows {_written(hottest)} at "
                f"{format_quantity(pressure, 'pressure')}. Lower it."
            )
    elif key == "collected" and plan.charge.volume is not None and value > plan.charge.volume:
        return (
            f"ends.collected is {format_quantity(value, 'volume')}, more than the whole charge, "
            f"{format_quantity(plan.charge.volume, 'volume')}. Lower it."
        )
    if key in PRODUCT_ENDS and total_reflux:
        return (
            f"ends.{key} waits for product, but the dephlegmator has all its water (total reflux). "
            "Hold the head or give less."
        )
    return ""


def _written(temperature: float) -> str:
    return format_quantity(temperature, "temperature")
