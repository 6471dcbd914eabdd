"""Run: procedures, their phases, holds and ends.

Takes: procedure files and names of ready ones. Gives: frozen, checked descriptions. Never: integrates anything, reads a
clock, or knows which still it will run on.
"""

from middlerun.run.check import HEAD_HOLDS, PRODUCT_ENDS, check_procedure, ends_given
from middlerun.run.load import find_procedure, library_procedure, load_procedure, procedure_from_table, procedure_names
from middlerun.run.procedure import AS_BEFORE, FRACTIONS, LEVELS, Ends, Phase, Procedure

__all__ = [
    "AS_BEFORE",
    "FRACTIONS",
    "HEAD_HOLDS",
    "LEVELS",
    "PRODUCT_ENDS",
    "Ends",
    "Phase",
    "Procedure",
    "check_procedure",
    "ends_given",
    "find_procedure",
    "library_procedure",
    "load_procedure",
    "procedure_from_table",
    "procedure_names",
]
