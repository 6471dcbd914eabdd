"""Plan: a still, a charge, a day and a procedure, put together and predicted.

Takes: plan files, descriptions from the rooms below. Gives: `Plan`, `Run`, warnings with their words, comparisons.
Never: measures, estimates, stores or draws anything.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from middlerun.plan.charge import ChargeNumbers, charge_numbers, hot_volume
from middlerun.plan.charge_kind import ChargeKind, charge_kind, charge_kind_names
from middlerun.plan.check import check_plan
from middlerun.plan.compare import Comparison, compare, grid
from middlerun.plan.description import Charge, Limits, Plan, Source, Weather
from middlerun.plan.head import strength_for_temperature, temperature_for_strength, temperature_of_the_day
from middlerun.plan.load import load_plan, plan_from_table
from middlerun.plan.result import Fraction, PhaseResult, Run, Warning
from middlerun.plan.settings import phase_settings
from middlerun.plan.vary import vary, vary_keys
from middlerun.plan.warnings import find_warnings, with_warnings
from middlerun.plan.weather import pressure_of, standard_pressure
from middlerun.plan.words import Entry, catalogue, catalogue_entry, languages, warning_text

if TYPE_CHECKING:
    from middlerun.plan.engine import predict, predict_many

__all__ = [
    "Charge",
    "ChargeKind",
    "ChargeNumbers",
    "Comparison",
    "Entry",
    "Fraction",
    "Limits",
    "PhaseResult",
    "Plan",
    "Run",
    "Source",
    "Warning",
    "Weather",
    "catalogue",
    "catalogue_entry",
    "charge_kind",
    "charge_kind_names",
    "charge_numbers",
    "check_plan",
    "compare",
    "find_warnings",
    "grid",
    "hot_volume",
    "languages",
    "load_plan",
    "phase_settings",
    "plan_from_table",
    "predict",
    "predict_many",
    "pressure_of",
    "standard_pressure",
    "strength_for_temperature",
    "temperature_for_strength",
    "temperature_of_the_day",
    "vary",
    "vary_keys",
    "warning_text",
    "with_warnings",
]


def __getattr__(name: str) -> Any:
    """Import the engine only when a prediction is asked for: describing a plan must not load the compiler."""
    if name in ("predict", "predict_many"):
        return getattr(import_module("middlerun.plan.engine"), name)
    raise AttributeError(f"module 'middlerun.plan' has no attribute {name!r}")
