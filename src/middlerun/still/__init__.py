"""The still: what it is made of, as numbers with units, bands and sources.

Takes: still files ("middlerun-still/1"), names of the library of invented stills, or what a distiller can measure.
Gives: `Still` records (SI), their resolved numbers, findings in words, a schematic as SVG, and still files.
`new_still(Measurements(...)) -> (Still, tuple[Derived, ...])` makes a still from what a distiller can measure; the
fields of `Measurements` carry unit, limits and question for each (see `middlerun.fields.specs`), and
`still_toml(still, derived)` writes the file. Vent, relief and vacuum breaker are never assumed: `check_still` refuses a
closed jacket without them.
Never: simulates, knows a plan, a procedure or the law, or reads a sensor.
"""

from middlerun.still.check import check_still, refuse_if_unsound
from middlerun.still.derive import Derived, derived_text
from middlerun.still.description import (
    FORMAT,
    HEATING_KINDS,
    METALS,
    READINGS,
    VERSION,
    Column,
    Control,
    Heating,
    Instrument,
    Parrot,
    Plate,
    Pot,
    Still,
)
from middlerun.still.draw import Shown, describe_still, draw_still
from middlerun.still.exchangers import Condenser, Dephlegmator
from middlerun.still.load import find_still, library_names, library_still, library_text, load_still, read_still
from middlerun.still.measurements import Measurements
from middlerun.still.new import new_still
from middlerun.still.plate_type import PlateType, plate_type, plate_type_names
from middlerun.still.resolve import PlateNumbers, StillNumbers, resolve
from middlerun.still.write import still_toml

__all__ = [
    "FORMAT",
    "HEATING_KINDS",
    "METALS",
    "READINGS",
    "VERSION",
    "Column",
    "Condenser",
    "Control",
    "Dephlegmator",
    "Derived",
    "Heating",
    "Instrument",
    "Measurements",
    "Parrot",
    "Plate",
    "PlateNumbers",
    "PlateType",
    "Pot",
    "Shown",
    "Still",
    "StillNumbers",
    "check_still",
    "derived_text",
    "describe_still",
    "draw_still",
    "find_still",
    "library_names",
    "library_still",
    "library_text",
    "load_still",
    "new_still",
    "plate_type",
    "plate_type_names",
    "read_still",
    "refuse_if_unsound",
    "resolve",
    "still_toml",
]
