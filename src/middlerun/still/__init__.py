"""The still: what it is made of, as numbers with units, bands and sources.

Takes: still files ("middlerun-still/1"), names of the library of invented stills, or what a distiller can measure.
Gives: `Still` records (SI), their resolved numbers, findings in words, a schematic as SVG, and still files.
Never: simulates, knows a plan, a procedure or the law, or reads a sensor.
"""

from middlerun.still.check import check_still, refuse_if_unsound
from middlerun.still.description import (
    FORMAT,
    HEATING_KINDS,
    METALS,
    VERSION,
    Column,
    Condenser,
    Control,
    Dephlegmator,
    Heating,
    Instrument,
    Parrot,
    Plate,
    Pot,
    Still,
)
from middlerun.still.load import find_still, library_names, library_still, library_text, load_still, read_still
from middlerun.still.plate_type import PlateType, plate_type, plate_type_names
from middlerun.still.resolve import PlateNumbers, StillNumbers, resolve

__all__ = [
    "FORMAT",
    "HEATING_KINDS",
    "METALS",
    "VERSION",
    "Column",
    "Condenser",
    "Control",
    "Dephlegmator",
    "Heating",
    "Instrument",
    "Parrot",
    "Plate",
    "PlateNumbers",
    "PlateType",
    "Pot",
    "Still",
    "StillNumbers",
    "check_still",
    "find_still",
    "library_names",
    "library_still",
    "library_text",
    "load_still",
    "plate_type",
    "plate_type_names",
    "read_still",
    "refuse_if_unsound",
    "resolve",
]
