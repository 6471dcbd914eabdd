"""Kinds of quantity, their units, and the reading and writing of "number unit" texts."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from middlerun.errors import UnitError

ZERO_CELSIUS = 273.15  # K, by definition of the Celsius scale
_NUMBER = re.compile(r"^\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$", re.ASCII)


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of quantity: its SI unit, and for each unit the factor and offset: SI = value * factor + offset."""

    name: str
    si: str
    units: Mapping[str, tuple[float, float]]
    display: str


def _kind(name: str, si: str, display: str, units: Mapping[str, float | tuple[float, float]]) -> Kind:
    table = {k: (v if isinstance(v, tuple) else (v, 0.0)) for k, v in units.items()}
    return Kind(name=name, si=si, units=table, display=display)


_F = 5.0 / 9.0
_GALLON = 3.785411784e-3  # m3, US gallon, exact by definition
_POUND = 0.45359237  # kg, exact by definition

KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        _kind(
            "volume",
            "m3",
            "L",
            {
                "m3": 1.0,
                "L": 1e-3,
                "l": 1e-3,
                "hL": 0.1,
                "hl": 0.1,
                "mL": 1e-6,
                "ml": 1e-6,
                "cL": 1e-5,
                "cl": 1e-5,
                "[gal_us]": _GALLON,
            },
        ),
        _kind(
            "temperature",
            "K",
            "Cel",
            {
                "K": 1.0,
                "Cel": (1.0, ZERO_CELSIUS),
                "°C": (1.0, ZERO_CELSIUS),
                "[degF]": (_F, ZERO_CELSIUS - 32 * _F),
                "°F": (_F, ZERO_CELSIUS - 32 * _F),
            },
        ),
        _kind("temperature difference", "K", "K", {"K": 1.0}),
        _kind(
            "pressure",
            "Pa",
            "kPa",
            {"Pa": 1.0, "hPa": 100.0, "mbar": 100.0, "kPa": 1e3, "bar": 1e5, "mm[Hg]": 133.322387415},
        ),
        _kind("power", "W", "kW", {"W": 1.0, "kW": 1e3, "MW": 1e6}),
        _kind("energy", "J", "kW.h", {"J": 1.0, "kJ": 1e3, "MJ": 1e6, "kW.h": 3.6e6, "kWh": 3.6e6}),
        _kind("mass", "kg", "kg", {"kg": 1.0, "g": 1e-3, "t": 1e3, "[lb_av]": _POUND}),
        _kind("length", "m", "mm", {"m": 1.0, "cm": 1e-2, "mm": 1e-3, "[in_i]": 0.0254}),
        _kind("area", "m2", "m2", {"m2": 1.0, "dm2": 1e-2, "cm2": 1e-4}),
        _kind("time", "s", "min", {"s": 1.0, "min": 60.0, "h": 3600.0}),
        _kind(
            "volume flow rate",
            "m3/s",
            "L/h",
            {
                "m3/s": 1.0,
                "L/h": 1e-3 / 3600,
                "l/h": 1e-3 / 3600,
                "L/min": 1e-3 / 60,
                "l/min": 1e-3 / 60,
                "m3/h": 1 / 3600,
                "mL/min": 1e-6 / 60,
                "ml/min": 1e-6 / 60,
            },
        ),
        _kind("heat conductance", "W/K", "W/K", {"W/K": 1.0, "kW/K": 1e3}),
        _kind("heat transfer coefficient", "W/(m2.K)", "W/(m2.K)", {"W/(m2.K)": 1.0, "kW/(m2.K)": 1e3}),
        _kind("volume strength", "1", "%{vol}", {"%{vol}": 0.01, "% vol": 0.01, "%vol": 0.01}),
        _kind("share", "1", "%", {"%": 0.01, "1": 1.0}),
        _kind("mass concentration", "kg/m3", "g/L", {"kg/m3": 1.0, "g/L": 1.0, "g/l": 1.0}),
    )
}


def unit_names(kind: str) -> list[str]:
    """Return the unit codes that are understood for this kind of quantity.

    >>> unit_names("power")
    ['W', 'kW', 'MW']
    """
    return list(KINDS[kind].units)


def to_si(value: float, unit: str, kind: str) -> float:
    """Convert a number in a named unit to SI.

    >>> round(to_si(12.0, "Cel", "temperature"), 2)
    285.15
    """
    factor, offset = _unit(unit, kind)
    return value * factor + offset


def from_si(value: float, unit: str, kind: str) -> float:
    """Convert an SI number to a named unit.

    >>> round(from_si(0.00015, "L", "volume"), 3)
    0.15
    """
    factor, offset = _unit(unit, kind)
    return (value - offset) / factor


def format_quantity(value: float, kind: str, unit: str | None = None, digits: int = 4) -> str:
    """Write an SI number in the kind's display unit (or the one given), to so many significant digits.

    >>> format_quantity(285.15, "temperature")
    '12 Cel'
    """
    code = unit or KINDS[kind].display
    number = f"{from_si(value, code, kind):.{digits}g}"
    if "e+" in number and abs(float(number)) < 1e9:
        number = f"{float(number):.0f}"  # nobody reads 1.2e+04 L/h
    return f"{number} {code}".strip()


def parse_quantity(text: object, kind: str, what: str = "the value") -> float:
    """Read "number unit" into SI. A decimal comma is understood; a bare number is refused unless the kind allows it.

    Raises UnitError with what was read, the units that are understood and an example.

    >>> parse_quantity("1,5 kW", "power")
    1500.0
    """
    units = unit_names(kind)
    example = f'for example "{_EXAMPLES.get(kind, "1 " + units[0])}"'
    known = ", ".join(units)
    if isinstance(text, bool) or not isinstance(text, str):
        raise UnitError(f"{what} is {text!r}: a {kind} is written as text with its unit ({known}), {example}.")
    match = _NUMBER.match(text)
    if match is None:
        raise UnitError(f"{what} is {text!r}: no number can be read from it. Write a {kind} with its unit, {example}.")
    number = float(match.group(1).replace(",", "."))
    if not math.isfinite(number):
        raise UnitError(f"{what} is {text!r}: the number is too large to mean anything. Write a {kind}, {example}.")
    unit = match.group(2)
    if not unit:
        raise UnitError(f"{what} is {text!r}: the unit is missing. A {kind} may be given in {known}, {example}.")
    if unit not in KINDS[kind].units:
        near = get_close_matches(unit, units, 1, 0.5)
        hint = f' Did you mean "{near[0]}"?' if near else ""
        raise UnitError(
            f"{what} is {text!r}: {unit!r} is not a unit of {kind}.{hint} Understood are {known}; {example}."
        )
    return to_si(number, unit, kind)


def _unit(unit: str, kind: str) -> tuple[float, float]:
    try:
        return KINDS[kind].units[unit]
    except KeyError:
        raise UnitError(f"{unit!r} is not a unit of {kind}; understood are {', '.join(unit_names(kind))}.") from None


_EXAMPLES = {
    "volume": "110 L",
    "temperature": "15 Cel",
    "temperature difference": "0.5 K",
    "pressure": "96.4 kPa",
    "power": "12 kW",
    "energy": "3 kW.h",
    "mass": "40 kg",
    "length": "200 mm",
    "area": "0.6 m2",
    "time": "30 min",
    "volume flow rate": "90 L/h",
    "heat conductance": "450 W/K",
    "heat transfer coefficient": "800 W/(m2.K)",
    "volume strength": "5.5 %{vol}",
    "share": "65 %",
    "mass concentration": "40 g/L",
}
