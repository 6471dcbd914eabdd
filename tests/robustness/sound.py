"""What holds for every run, however odd: closed balances, nothing negative, no number missing."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from middlerun.plan import Run, pressure_of
from middlerun.substances import bubble_point

# Series that have no value at times: nothing held, no product, an empty parrot.
MAY_BE_NAN = (
    "head_setpoint", "distillate_ethanol", "reflux_ratio", "product_strength", "parrot_strength", "parrot_reading",
    "parrot_strength_shown",
    "fraction_strength",
)  # fmt: skip
_NEGATIVE_BY_NATURE = (
    "pot_gauge",
    "pot_gauge_shown",
    "heat_to_pot",
    "heat_loss",
    "dephlegmator_heat",
    "condenser_heat",
)
# A gauge is the difference of two pressures of 1e5 Pa; a glass in spirit colder than 20 Cel sinks past its zero mark.
_LEAST = {"jacket_gauge": -1e-9, "jacket_gauge_shown": -1e-9, "parrot_reading": -0.02}
_MAY_HAVE_NO_TIME = ("time_to_boil", "time_to_product")


def faults(run: Run) -> Iterator[str]:
    """Yield what is wrong with a run, in words; nothing for a sound one."""
    yield from _balances(run)
    yield from _numbers(run)
    yield from _ranges(run)
    yield from _phases(run)


def _balances(run: Run) -> Iterator[str]:
    for name, most in {"ethanol": 1e-9, "water": 1e-9, "energy": 1e-6}.items():
        if not abs(run.balance[name]) <= most:
            yield f"balance of {name} is off by {run.balance[name]:.2e}"


def _numbers(run: Run) -> Iterator[str]:
    for name, total in run.totals.items():
        if not np.isfinite(total) and name not in _MAY_HAVE_NO_TIME:
            yield f"total {name} is {total}"
    for name, row in run.series.items():
        if name in MAY_BE_NAN or name.endswith("_weep"):
            row = row[~np.isnan(row)]
        if not np.isfinite(row).all():
            yield f"series {name} has no value in {np.count_nonzero(~np.isfinite(row))} of {len(row)} rows"
    for fraction in run.fractions:
        if not np.isfinite([fraction.volume, fraction.strength, fraction.pure_alcohol, fraction.mass]).all():
            yield f"fraction {fraction.name} has no number"


def _ranges(run: Run) -> Iterator[str]:
    series, weather, charge = run.series, run.plan.weather, run.plan.charge
    flooded = any(row.max() > 1.5 for name, row in series.items() if name.endswith("_flood"))
    coldest = min(weather.room, weather.water, charge.temperature)
    for name, row in series.items():
        known = row[~np.isnan(row)]
        if not len(known):
            continue
        if name.endswith(("_temperature", "_temperature_shown", "_water_out")):
            if known.min() < coldest - 0.5:
                yield f"{name} falls to {known.min():.2f} K, below the coldest thing about, {coldest:.2f} K"
            # A column flooded far beyond sense surges in pulses of superheated vapour; the warnings say that it floods.
            if not name.startswith(("jacket", "head_setpoint")) and not flooded and known.max() > 395.0:
                yield f"{name} rises to {known.max():.2f} K"
        elif name not in _NEGATIVE_BY_NATURE and known.min() < _LEAST.get(name, 0.0):
            yield f"{name} falls to {known.min():.3e}"
        if name.endswith(("_strength", "_ethanol", "_efficiency", "parrot_reading")) and known.max() > 1.0 + 1e-9:
            yield f"{name} rises to {known.max():.6f}"
    # Where product stops within one step, a tiny parrot's overflow is integrated to half a millilitre.
    for name in ("collected_volume", "collected_pure_alcohol"):
        if np.diff(series[name]).min(initial=0.0) < -1e-6:
            yield f"{name} falls"
    filled = run.plan.charge.volume or 0.0
    if run.totals["collected_pure_alcohol"] > run.totals["charge_pure_alcohol"] + 1e-7:
        yield "more alcohol collected than charged"
    if run.totals["collected_volume"] > 1.02 * filled + 1e-3:
        yield "more collected than charged"
    # Vapour from a strong brew, or from a pot under pressure, can reach a dry head hotter than water boils in the open.
    hottest = max(float(bubble_point(0.0, pressure_of(weather))[0]), series["pot_temperature"].max(), weather.room)
    if series["head_temperature"].max() > hottest + 0.5:
        hot = series["head_temperature"].max()
        yield f"head rises to {hot:.2f} K, hotter than pot, room and steam ({hottest:.2f} K)"


def _phases(run: Run) -> Iterator[str]:
    time = run.series["time"]
    if time[0] != 0.0 or np.diff(time).min(initial=1.0) <= 0.0:
        yield "time does not rise from 0"
    for before, after in zip(run.phases, run.phases[1:], strict=False):
        if before.end != after.start:
            yield f"phase {after.name} starts at {after.start}, the one before ends at {before.end}"
    if abs(sum(f.volume * f.strength for f in run.fractions) - run.totals["collected_pure_alcohol"]) > 2e-6:
        yield "fractions don't add up to what was collected"
