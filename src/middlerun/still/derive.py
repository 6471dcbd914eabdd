"""From what can be measured to U·A values, losses and metal, each with a band and how it was come by."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from middlerun.fields import specs
from middlerun.still.description import Still
from middlerun.still.resolve import BARE_LOSS, INSULATED_LOSS, METAL_DENSITY
from middlerun.units import KINDS, format_quantity, parse_quantity

_SPHERE = 4.84  # surface of a sphere of volume V is 4.84 V^(2/3)
_POT_SURFACE = 1.3 * _SPHERE  # a pot with dome and fittings has about a third more, common practice
_WETTED = 3.5  # heated and wetted surface of a jacketed pot over V^(2/3), common practice
_ATMOSPHERE = 101325.0
_20_CEL = 293.15


Band = tuple[float, float, float]  # low, value, high


@dataclass(frozen=True, kw_only=True)
class Derived:
    """One value that was not given: where it belongs, value and band in SI (a `kind` of units, or ""), and how."""

    key: str
    value: float
    low: float
    high: float
    kind: str
    how: str


def rounded(value: float, kind: str, digits: int = 3) -> float:
    """Round an SI value to so many digits of the kind's display unit, so that a file stays readable.

    >>> rounded(383.7421, "heat conductance")
    384.0
    """
    if not kind or not math.isfinite(value):
        return float(f"{value:.{digits}g}")
    return parse_quantity(format_quantity(value, kind, digits=digits), kind)


def derived(key: str, band: Band, how: str) -> Derived:
    """Make a derived value from (low, value, high) with sensible digits, inside the limits of its place in the file.

    >>> derived("pot.heat_loss", (2.04, 3.111, 4.0), "surface times loss coefficient").value
    3.11
    """
    kind, least, most = _place(key)
    low, value, high = (min(max(v, least), most) for v in band)
    value, low, high = rounded(value, kind), rounded(low, kind, 2), rounded(high, kind, 2)
    return Derived(key=key, value=value, low=min(low, value), high=max(high, value), kind=kind, how=how)


def _place(key: str) -> tuple[str, float, float]:
    """Return the kind of units and the hard limits of a key such as "heating.conductance"."""
    described: type = Still
    *parts, last = key.split(".")
    for part in parts:
        item = specs(described)[part].item
        assert item is not None
        described = item
    spec = specs(described)[last]
    return spec.kind, spec.low, spec.high


@dataclass
class Book:
    """Collects what is derived on the way, so that each value is noted where it is made."""

    items: list[Derived] = field(default_factory=list)

    def put(self, key: str, band: Band, how: str) -> float:
        """Note a value given as (low, value, high) and return it as it will stand in the file."""
        self.items.append(derived(key, band, how))
        return self.items[-1].value


def derived_text(item: Derived) -> str:
    """Say a derived value's band and origin in one line.

    >>> derived_text(derived("pot.heat_loss", (2.0, 3.0, 4.0), "surface times loss coefficient"))
    'derived, 2 to 4 W/K: surface times loss coefficient'
    """
    if not item.kind:
        return f"derived, {item.low:.3g} to {item.high:.3g}: {item.how}"
    unit = KINDS[item.kind].display
    low, high = (format_quantity(v, item.kind, digits=3).removesuffix(f" {unit}") for v in (item.low, item.high))
    return f"derived, {low} to {high} {unit}: {item.how}"


def pot_surface(volume: float) -> float:
    """Return the outer surface (m2) of a pot of `volume` (m3), dome included.

    >>> round(pot_surface(0.1), 2)
    1.36
    """
    return _POT_SURFACE * math.pow(volume, 2.0 / 3.0)


def wetted_surface(volume: float) -> float:
    """Return the heated, wetted surface (m2) of a jacketed pot of `volume` (m3)."""
    return _WETTED * math.pow(volume, 2.0 / 3.0)


def metal_of_surface(area: float, metal: str) -> tuple[Band, str]:
    """Return the metal (kg) of a surface (m2) in sheet of 3 mm (2 to 4.5 mm), and how."""
    sheet = area * METAL_DENSITY[metal]
    return (2e-3 * sheet, 3e-3 * sheet, 4.5e-3 * sheet), f"{area:.2g} m2 in sheet of 2 to 4.5 mm; computed"


def loss_of_surface(area: float, insulated: bool) -> tuple[Band, str]:
    """Return the loss (W/K) of a surface (m2) to still air, and how: bare 8 to 11 W/(m2.K), insulated 1 to 2.

    The band allows for a surface that is off by three tenths.

    >>> loss_of_surface(1.0, insulated=False)[0][1]
    9.5
    """
    low, middle, high = (1.0, INSULATED_LOSS, 2.0) if insulated else (8.0, BARE_LOSS, 11.0)
    state = "insulated at 1 to 2" if insulated else "bare at 8 to 11"
    return (0.7 * low * area, middle * area, 1.3 * high * area), f"{area:.2g} m2, {state} W/(m2.K); computed"


def charge_to_boil(volume: float, strength: float, start: float) -> tuple[float, float]:
    """Return the mean heat capacity (J/K) of a charge from `start` to its boil, and the boil (K), at 101.325 kPa.

    Volume in m3 and strength (0 to 1) at 20 Cel; `start` in K. Ethanol and water only, without heat of mixing.

    >>> capacity, boil = charge_to_boil(0.1, 0.0, 288.15)
    >>> round(capacity / 1e3), round(boil - 273.15, 1)
    (418, 100.0)
    """
    from middlerun.alcoholometry import density, mass_fraction, mole_fraction_from_volume_strength
    from middlerun.substances import MOLAR_MASS_ETHANOL, MOLAR_MASS_WATER, bubble_point, liquid_enthalpy

    fraction = float(mass_fraction(strength))
    mass = volume * float(density(fraction, _20_CEL))
    moles = mass * (fraction / MOLAR_MASS_ETHANOL + (1.0 - fraction) / MOLAR_MASS_WATER)
    x = float(mole_fraction_from_volume_strength(strength))
    boil = float(bubble_point(x, _ATMOSPHERE)[0])
    heat = moles * (float(liquid_enthalpy(x, boil)) - float(liquid_enthalpy(x, start)))
    return heat / (boil - start), boil
