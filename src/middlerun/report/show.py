"""How a number is shown to a person: its unit, its digits, and a dash where there is nothing to show."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from middlerun.units import KINDS, from_si

NOTHING = "–"
_MINUS = "\N{MINUS SIGN}"


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One kind of reading as people see it.

    `symbol` is printed, `code` is the UCUM code for files, `si` the UCUM code of the number inside;
    shown = (SI value - offset) / factor, to `digits` decimals.
    """

    symbol: str
    code: str
    si: str
    factor: float = 1.0
    offset: float = 0.0
    digits: int = 2


def _of(kind: str, code: str, symbol: str, digits: int) -> Shown:
    factor, offset = KINDS[kind].units[code]
    return Shown(symbol=symbol, code=code, si=KINDS[kind].si, factor=factor, offset=offset, digits=digits)


SHOWN: dict[str, Shown] = {
    "temperature": _of("temperature", "Cel", "°C", 1),
    "strength": _of("volume strength", "%{vol}", "% vol", 1),
    "volume": _of("volume", "L", "L", 2),
    "pure alcohol": Shown(symbol="LPA", code="L{p.a.}", si="m3", factor=1e-3, digits=2),
    "product rate": Shown(symbol="L/10 min", code="L/(10.min)", si="m3/s", factor=1e-3 / 600, digits=2),
    "water flow": _of("volume flow rate", "L/h", "L/h", 0),
    "water": _of("volume", "L", "L", 0),
    "power": _of("power", "kW", "kW", 2),
    "heat": _of("energy", "kW.h", "kWh", 2),
    "heat per alcohol": Shown(symbol="kWh/LPA", code="kW.h/L{p.a.}", si="J/m3", factor=3.6e9, digits=2),
    "gauge": _of("pressure", "bar", "bar", 2),
    "small gauge": _of("pressure", "kPa", "kPa", 2),
    "ambient": _of("pressure", "kPa", "kPa", 1),
    "time": _of("time", "min", "min", 2),
    "time of run": Shown(symbol="h:min", code="s", si="s", digits=0),  # written by clock(), not as a number
    "molar flow": Shown(symbol="mol/s", code="mol/s", si="mol/s", digits=4),
    "amount": Shown(symbol="mol", code="mol", si="mol", digits=2),
    "ratio": Shown(symbol="", code="1", si="1", digits=2),
    "fraction": Shown(symbol="", code="1", si="1", digits=4),
    "count": Shown(symbol="", code="1", si="1", digits=0),
    "money": Shown(symbol="", code="1", si="1", digits=2),
}


def scaled(values: npt.ArrayLike, kind: str) -> npt.NDArray[np.float64]:
    """Return SI values (any shape) in the unit in which this kind is shown; NaN stays NaN.

    >>> scaled([273.15, 373.15], "temperature").tolist()
    [0.0, 100.0]
    """
    unit = SHOWN[kind]
    return (np.asarray(values, dtype=float) - unit.offset) / unit.factor


def number(value: float | None, kind: str, digits: int | None = None) -> str:
    """Write an SI value as a plain number in its shown unit; a dash for None and NaN.

    >>> number(0.8412, "strength"), number(float("nan"), "strength"), number(None, "volume")
    ('84.1', '–', '–')
    """
    if value is None or not math.isfinite(value):
        return NOTHING
    unit = SHOWN[kind]
    written = f"{(value - unit.offset) / unit.factor:.{unit.digits if digits is None else digits}f}"
    if float(written) == 0.0:
        written = written.lstrip("-")  # "-0.0" is a rounding, not a reading
    return written.replace("-", _MINUS)


def quantity(value: float | None, kind: str, digits: int | None = None) -> str:
    """Write an SI value with its unit's symbol.

    >>> quantity(358.05, "temperature"), quantity(4500.0, "power", 1)
    ('84.9 °C', '4.5 kW')
    """
    written = number(value, kind, digits)
    return written if written == NOTHING else f"{written} {SHOWN[kind].symbol}".strip()


def setting(value: float | None, kind: str) -> str:
    """Write a setting as short as it was given: no trailing zeros.

    >>> setting(4500.0, "power"), setting(90 / 3.6e6, "water flow"), setting(0.85, "strength")
    ('4.5 kW', '90 L/h', '85 % vol')
    """
    if value is None or not math.isfinite(value):
        return NOTHING
    unit = SHOWN[kind]
    return f"{round((value - unit.offset) / unit.factor, 3):g} {unit.symbol}".strip().replace("-", _MINUS)


def clock(seconds: float | None) -> str:
    """Write a time since the start of heating as hours and minutes.

    >>> clock(7530.0), clock(float("nan"))
    ('2:06', '–')
    """
    if seconds is None or not math.isfinite(seconds):
        return NOTHING
    minutes = math.floor(seconds / 60 + 0.5)
    return f"{minutes // 60}:{minutes % 60:02d}"


def lasting(seconds: float | None) -> str:
    """Write a duration in words.

    >>> lasting(7530.0), lasting(1500.0), lasting(20.0)
    ('2 h 06 min', '25 min', '20 s')
    """
    if seconds is None or not math.isfinite(seconds):
        return NOTHING
    if seconds < 59.5:
        return f"{seconds:.0f} s"
    minutes = math.floor(seconds / 60 + 0.5)
    return f"{minutes // 60} h {minutes % 60:02d} min" if minutes >= 60 else f"{minutes} min"


def volume_digits(charge_volume: float | None) -> int:
    """Return the decimals of litres that make sense beside a charge of this volume (m3).

    >>> volume_digits(0.110), volume_digits(1.2), volume_digits(0.008)
    (2, 1, 3)
    """
    litres = from_si(charge_volume, "L", "volume") if charge_volume else 100.0
    return 3 if litres < 10 else 2 if litres < 500 else 1
