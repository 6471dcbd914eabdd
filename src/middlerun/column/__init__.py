"""Column: the still as a dynamic model, compiled.

Takes: a still's numbers, a charge, a day, phases as numbers. Gives: the whole run as series and amounts, SI.
Never: knows files, words, laws or what kind a thing is; everything that varies is a number by then.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from middlerun.column.names import series_names
from middlerun.column.settings import END_CHANNELS, End, PhaseSettings

if TYPE_CHECKING:
    from middlerun.column.model import TOLERANCE, Outcome, PhaseOutcome, simulate_run
    from middlerun.column.pack import Day, PotCharge

__all__ = [
    "END_CHANNELS",
    "TOLERANCE",
    "Day",
    "End",
    "Outcome",
    "PhaseOutcome",
    "PhaseSettings",
    "PotCharge",
    "series_names",
    "simulate_run",
]

_COMPILED = {
    "TOLERANCE": "model",
    "Outcome": "model",
    "PhaseOutcome": "model",
    "simulate_run": "model",
    "Day": "pack",
    "PotCharge": "pack",
}


def __getattr__(name: str) -> Any:
    """Load the compiled model only when it is asked for: describing phases must not load the compiler."""
    if name in _COMPILED:
        return getattr(import_module(f"middlerun.column.{_COMPILED[name]}"), name)
    raise AttributeError(f"module 'middlerun.column' has no attribute {name!r}")
