"""Predict: still, charge, weather and procedure in; the whole run out."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from middlerun.alcoholometry import REFERENCE_DENSITY_ETHANOL, alcoholmeter_reading, spirit_at
from middlerun.column import Day, Outcome, PhaseOutcome, PotCharge, simulate_run
from middlerun.column.kernels import layout as at
from middlerun.column.kernels.lags import lagged
from middlerun.errors import NeverEndsError, PlanError
from middlerun.plan.charge import ChargeNumbers
from middlerun.plan.check import Prepared, prepare
from middlerun.plan.description import Plan
from middlerun.plan.result import FloatArray, Fraction, PhaseResult, Run
from middlerun.plan.warnings import with_warnings
from middlerun.run import Phase
from middlerun.still import Still
from middlerun.units import format_quantity

_JOULES_PER_KWH = 3.6e6
_EARLY = "before the heads"  # vessel of phases that name none
_TRACE = 1e-3  # mol, less than a drop
_DROP = 1e-8  # m3


class _Series(Mapping[str, FloatArray]):
    """The series by name. What instruments show, the glass included, is worked out when it is first asked for."""

    def __init__(self, outcome: Outcome, still: Still) -> None:
        self._rows = {name: outcome.series[i] for i, name in enumerate(outcome.names) if name not in _INTERNAL}
        self._lags = {instrument.reads: instrument.lag for instrument in still.instruments}
        self._names = (*self._rows, *_SHOWN, _READING)

    def __getitem__(self, name: str) -> FloatArray:
        if name not in self._rows:
            if name == _READING:
                self._rows[name] = _reading(self._rows["parrot_strength"], self._rows["parrot_temperature"])
            elif name in _SHOWN:
                true, reads = _SHOWN[name]
                self._rows[name] = np.empty_like(self._rows[true])
                lagged(self._rows["time"], self._rows[true], self._lags.get(reads, 0.0), self._rows[name])
        row: FloatArray = self._rows[name]
        return row

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


# What instruments show beside pot and head, which the kernel follows itself: series, and what the instrument reads.
_SHOWN = {
    "pot_gauge_shown": ("pot_gauge", "pot pressure"),
    "jacket_temperature_shown": ("jacket_temperature", "jacket temperature"),
    "jacket_gauge_shown": ("jacket_gauge", "jacket pressure"),
    "heater_power_shown": ("heater_power", "heater power"),
    "dephlegmator_water_flow_shown": ("dephlegmator_water_flow", "dephlegmator water flow"),
    "dephlegmator_water_out_shown": ("dephlegmator_water_out", "dephlegmator water out"),
    "condenser_water_flow_shown": ("condenser_water_flow", "condenser water flow"),
    "condenser_water_out_shown": ("condenser_water_out", "condenser water out"),
    "product_temperature_shown": ("product_temperature", "product temperature"),
    "parrot_strength_shown": ("parrot_strength", "product strength"),
}
_READING = "parrot_reading"
_INTERNAL = ("parrot_ethanol", "parrot_water", "pure_alcohol_rate")


def _reading(strength: FloatArray, temperature: FloatArray) -> FloatArray:
    shown = np.full(len(strength), np.nan)
    known = ~np.isnan(strength)
    shown[known] = alcoholmeter_reading(strength[known], temperature[known], outside_as_nan=True)
    shown[shown < 0.0] = np.nan  # a glass has no scale there
    return shown


def predict(plan: Plan) -> Run:
    """Predict a whole run from a cold start to the last phase.

    Raises PlanError and ProcedureError for what is outside physical or safe sense, NeverEndsError for a phase that
    can't end, SolverError when the integrator gives up.
    """
    return _predict(plan, prepare(plan))


def predict_many(plans: Sequence[Plan], progress: Callable[[int, int], object] | None = None) -> list[Run]:
    """Predict many plans on all cores, in order; the kernel works without the interpreter lock.

    `progress(done, total)` is called after each. The first error is raised.
    """
    done = 0
    runs: list[Run] = []
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        for run in pool.map(predict, plans):
            runs.append(run)
            done += 1
            if progress is not None:
                progress(done, len(plans))
    return runs


def _predict(plan: Plan, known: Prepared) -> Run:
    day = Day(pressure=known.pressure, room=plan.weather.room, water=plan.weather.water)
    outcome = simulate_run(known.still, pot_charge(known.charge), day, known.settings, every=plan.report_every)
    if outcome.phases[-1].ended_by == "at_most":
        _never_ends(plan, outcome)
    if outcome.phases[-1].ended_by == "boiled_dry":
        _boils_dry(plan, outcome)
    series = _Series(outcome, plan.still)
    run = Run(
        plan=plan, series=series, phases=_phases(plan, outcome), fractions=_fractions(plan, outcome, series),
        totals=_totals(plan, outcome, series, known.charge), warnings=(), balance=outcome.balance(),
    )  # fmt: skip
    return with_warnings(run, known)


def pot_charge(charge: ChargeNumbers) -> PotCharge:
    """Return what the column model needs of a charge."""
    return PotCharge(
        ethanol=charge.ethanol, water=charge.water, temperature=charge.temperature, pure_alcohol=charge.pure_alcohol,
        solids_heat_capacity=charge.solids_heat_capacity, solids_volume=charge.solids_volume, solutes=charge.solutes,
        heat_transfer=charge.heat_transfer,
    )  # fmt: skip


def _phases(plan: Plan, outcome: Outcome) -> tuple[PhaseResult, ...]:
    return tuple(
        PhaseResult(name=phase.name, fraction=phase.fraction, start=o.start, end=o.end, ended_by=o.ended_by)
        for phase, o in zip(plan.procedure.phases, outcome.phases, strict=False)
    )


def _vessel(phase: Phase) -> str:
    return phase.into or (phase.fraction if phase.fraction != "none" else _EARLY)


def spirit_amounts(ethanol: float, water: float) -> tuple[float, float, float]:
    """Return volume at 20 Cel (m3), volume strength and mass (kg) of moles of ethanol and water."""
    if ethanol + water <= 0.0:
        return 0.0, 0.0, 0.0
    mass = ethanol * at.M_E + water * at.M_W
    rho, strength = spirit_at(ethanol * at.M_E / mass)
    return mass / rho, strength, mass


def _fractions(plan: Plan, outcome: Outcome, series: Mapping[str, FloatArray]) -> tuple[Fraction, ...]:
    """Return what each vessel holds; one that takes no product stands with zero volume, unless no phase names it."""
    amounts: dict[str, list[float]] = {}
    for index, (phase, o) in enumerate(zip(plan.procedure.phases, outcome.phases, strict=False)):
        entry = amounts.setdefault(_vessel(phase), [0.0, 0.0, math.nan, math.nan])
        entry[0] += o.ethanol
        entry[1] += o.water
        if o.ethanol + o.water > _TRACE:
            entry[2] = _first_drop(series, index, o) if math.isnan(entry[2]) else entry[2]
            entry[3] = o.end
    fractions = []
    for name, (ethanol, water, start, end) in amounts.items():
        if name == _EARLY and ethanol + water <= _TRACE:
            continue
        volume, strength, mass = spirit_amounts(ethanol, water)
        first, last = _strengths(series, start, end)
        fractions.append(
            Fraction(
                name=name, volume=volume, strength=strength, mass=mass,
                pure_alcohol=ethanol * at.M_E / REFERENCE_DENSITY_ETHANOL,
                start=start, end=end, strength_start=first, strength_end=last,
            )
        )  # fmt: skip
    return tuple(fractions)


def _first_drop(series: Mapping[str, FloatArray], index: int, outcome: PhaseOutcome) -> float:
    """Return when the first product of a phase ran over the parrot, on the report's grid."""
    came = np.flatnonzero((series["phase_index"] == index) & (series["fraction_volume"] > _DROP))
    return float(series["time"][came[0]]) if len(came) else outcome.start


def _strengths(series: Mapping[str, FloatArray], start: float, end: float) -> tuple[float, float]:
    """Return the strength in the parrot at the first and last moment of product between two times; NaN if none came."""
    if math.isnan(start):
        return math.nan, math.nan
    i, j = np.searchsorted(series["time"], (start, end + 1e-6))
    strength = series["parrot_strength"][i:j]
    known = strength[~np.isnan(strength)]
    return (float(known[0]), float(known[-1])) if len(known) else (math.nan, math.nan)


def _totals(plan: Plan, outcome: Outcome, series: Mapping[str, FloatArray], charge: ChargeNumbers) -> dict[str, float]:
    held = outcome.held()
    pot_volume, pot_strength, _ = spirit_amounts(float(held[0, 0]), float(held[0, 1]))
    ethanol, water = sum(o.ethanol for o in outcome.phases), sum(o.water for o in outcome.phases)
    left = float(held[1:, 0].sum()) + outcome.down(at.D_PARROT_E)
    heat = outcome.down(at.D_HEATER)
    cooling = (outcome.down(at.D_WATER_DEPHLEGMATOR) * 1e-3, outcome.down(at.D_WATER_CONDENSER) * 1e-3)
    return {
        "duration": outcome.phases[-1].end,
        "time_to_boil": _first(series, "pot_vapour", 0.02 * outcome.nominal),
        "time_to_product": _first(series, "product_rate", 0.0),
        "heat_supplied": heat,
        "heat_lost": outcome.down(at.D_LOSS),
        "heat_relief": outcome.down(at.D_RELIEF),
        "heat_dephlegmator": outcome.down(at.D_DEPHLEGMATOR),
        "heat_condenser": outcome.down(at.D_CONDENSER),
        "water_dephlegmator": cooling[0],
        "water_condenser": cooling[1],
        "uncondensed": outcome.down(at.D_LOST_E) + outcome.down(at.D_LOST_W),
        "charge_pure_alcohol": charge.pure_alcohol,
        "collected_volume": spirit_amounts(ethanol, water)[0],
        "collected_pure_alcohol": ethanol * at.M_E / REFERENCE_DENSITY_ETHANOL,
        "pot_strength_end": pot_strength,
        "pot_volume_end": pot_volume,
        "plates_pure_alcohol_end": left * at.M_E / REFERENCE_DENSITY_ETHANOL,
        "energy_cost": heat / _JOULES_PER_KWH * plan.limits.energy_price,
        "water_cost": sum(cooling) * plan.limits.water_price,
    }


def _first(series: Mapping[str, FloatArray], name: str, above: float) -> float:
    passed = np.nonzero(series[name] > above)[0]
    return float(series["time"][passed[0]]) if len(passed) else math.nan


def _never_ends(plan: Plan, outcome: Outcome) -> None:
    phase = plan.procedure.phases[len(outcome.phases) - 1]
    last = {name: float(outcome.series[i, -1]) for i, name in enumerate(outcome.names)}
    pot = format_quantity(last["pot_temperature_shown"], "temperature")
    head = format_quantity(last["head_temperature_shown"], "temperature")
    collected = format_quantity(last["fraction_volume"], "volume", digits=3)
    longest = format_quantity(phase.at_most, "time")
    ends = ", ".join(end for end in vars(phase.ends) if getattr(phase.ends, end) is not None)
    raise NeverEndsError(
        f'Phase "{phase.name}" does not end: after {longest} none of its ends ({ends}) is met; by then the pot '
        f"thermometer shows {pot}, the head thermometer {head}, and {collected} have been collected in it. Give it an "
        "end that this still can reach, more heat or less cooling water, or a time."
    )


def _boils_dry(plan: Plan, outcome: Outcome) -> None:
    phase, when = plan.procedure.phases[len(outcome.phases) - 1], outcome.phases[-1].end
    least = format_quantity(plan.still.pot.working_min, "volume")
    raise PlanError(
        f'The pot boils dry in phase "{phase.name}" after {format_quantity(when, "time", digits=3)} of the run: less '
        f"than a fiftieth of its working minimum of {least} is left, and the heat would scorch it. End the phase "
        "earlier, use less heat or charge more."
    )
