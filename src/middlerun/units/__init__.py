"""Units: between SI and what people write.

Takes: text such as "12 kW", "15 Cel", "5.5 %{vol}" (decimal comma understood). Gives: floats in SI, and back.
Never: imports another room but `errors`; guesses a unit that was not written.

Unit codes are UCUM's, with the spellings people type beside them ("°C", "l/h", "% vol").
"""

from middlerun.units.quantity import KINDS, Kind, format_quantity, from_si, parse_quantity, to_si, unit_names

__all__ = ["KINDS", "Kind", "format_quantity", "from_si", "parse_quantity", "to_si", "unit_names"]
