"""Run: procedures, their phases, holds and ends.

Takes: procedure files and names of ready ones. Gives: frozen descriptions. Never: integrates anything, reads a clock.
"""

from middlerun.run.procedure import FRACTIONS, LEVELS, Ends, Phase, Procedure

__all__ = ["FRACTIONS", "LEVELS", "Ends", "Phase", "Procedure"]
