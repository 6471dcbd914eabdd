"""Column: the still as a dynamic model, compiled.

Takes: a still's numbers, a charge, a day, phases as numbers. Gives: the whole run as series and amounts, SI.
Never: knows files, words, laws or what kind a thing is; everything that varies is a number by then.
"""

from middlerun.column.model import TOLERANCE, Outcome, PhaseOutcome, simulate_run
from middlerun.column.names import series_names
from middlerun.column.pack import Day, PotCharge
from middlerun.column.settings import END_CHANNELS, End, PhaseSettings

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
