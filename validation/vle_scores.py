"""Published ethanol-water tables, and how far a model of activity coefficients lies from each row of each.

The solver here is the validation's own: bisection in temperature, for any model and any pressure.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from middlerun import substances
from middlerun.substances.constants import load_constants, values

HERE = Path(__file__).parent
Array = NDArray[np.float64]
Model = Callable[[Array, Array], tuple[Array, Array]]
"""ln(gamma ethanol), ln(gamma water) of (x, T)"""

TABLES = {
    "Carey & Lewis 1932, 101.3 kPa": "carey-lewis-1932/vle.csv",
    "Kirschbaum & Gerstner 1939, 98.7 kPa": "kirschbaum-gerstner-1939/vle-740mmhg.csv",
    "Kirschbaum & Gerstner 1939, 33.3 kPa": "kirschbaum-gerstner-1939/vle-250mmhg.csv",
    "Pemberton & Mash 1978, 303.15 K": "pemberton-mash-1978/vle.csv",
    "Yang et al. 1979, 298.15 K": "yang-1979/vle.csv",
}
NEAR_ONE_ATMOSPHERE = tuple(TABLES)[:2]


@dataclass(frozen=True, kw_only=True)
class Table:
    """A published table: pressure Pa, temperature K, mole fractions; each shape (n,)."""

    p: Array
    T: Array
    x: Array
    y: Array

    @property
    def isothermal(self) -> bool:
        """All rows at one temperature: the pressure was measured."""
        return bool(np.ptp(self.T) == 0.0)


def load(title: str) -> Table:
    """Read one of `TABLES`."""
    lines = (HERE / TABLES[title]).read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    p, T, x, y = (np.array([float(r[n]) for r in rows]) for n in ("p_kPa", "T_K", "x_ethanol", "y_ethanol"))
    return Table(p=1e3 * p, T=T, x=x, y=y)


def nrtl(c: tuple[float, ...]) -> Model:
    """NRTL with tau = a + b/T; c = a12, a21, b12, b21, alpha."""

    def model(x: Array, T: Array) -> tuple[Array, Array]:
        t12, t21, z = c[0] + c[2] / T, c[1] + c[3] / T, 1.0 - x
        g12, g21 = np.exp(-c[4] * t12), np.exp(-c[4] * t21)
        first = z**2 * (t21 * (g21 / (x + z * g21)) ** 2 + t12 * g12 / (z + x * g12) ** 2)
        second = x**2 * (t12 * (g12 / (z + x * g12)) ** 2 + t21 * g21 / (x + z * g21) ** 2)
        return first, second

    return model


def wilson(c: tuple[float, ...]) -> Model:
    """Wilson; c = a12, a21 in cal/mol, molar volumes of ethanol and water."""

    def model(x: Array, T: Array) -> tuple[Array, Array]:
        z, RT = 1.0 - x, 8.314462618 / 4.184 * T
        l12, l21 = c[3] / c[2] * np.exp(-c[0] / RT), c[2] / c[3] * np.exp(-c[1] / RT)
        k = l12 / (x + l12 * z) - l21 / (z + l21 * x)
        return -np.log(x + l12 * z) + z * k, -np.log(z + l21 * x) - x * k

    return model


def redlich_kister(c: tuple[float, ...]) -> Model:
    """Redlich-Kister with three terms that do not depend on temperature."""

    def model(x: Array, T: Array) -> tuple[Array, Array]:
        z, d = 1.0 - x, 2.0 * x - 1.0
        g = x * z * (c[0] + c[1] * d + c[2] * d * d)
        slope = -d * (c[0] + c[1] * d + c[2] * d * d) + 2.0 * x * z * (c[1] + 2.0 * c[2] * d)
        return g + z * slope, g - x * slope

    return model


def models() -> dict[str, Model]:
    """The chosen model first, then the candidates of `vle_models.toml`."""
    found = {"NRTL a + b/T, published (chosen)": nrtl(values("equilibrium.toml", "nrtl")[0])}
    for name, constant in load_constants(HERE / "vle_models.toml").items():
        kind = nrtl if name.startswith("NRTL") else wilson if name.startswith("Wilson") else redlich_kister
        found[name] = kind(constant.value)
    return found


def boil(model: Model, x: Array, T: Array) -> tuple[Array, Array]:
    """Pressure (Pa) and vapour of a liquid that boils at T."""
    first, second = model(x, T)
    part = x * np.exp(first) * substances.vapour_pressure_ethanol(T)
    total = part + (1.0 - x) * np.exp(second) * substances.vapour_pressure_water(T)
    return total, part / total


def boiling_temperature(model: Model, x: Array, p: Array) -> tuple[Array, Array]:
    """Temperature (K) and vapour of a liquid that boils at p, by bisection."""
    low, high = np.full_like(x, 280.0), np.full_like(x, 383.0)
    for _ in range(50):
        T = 0.5 * (low + high)
        above = boil(model, x, T)[0] > p
        low, high = np.where(above, low, T), np.where(above, T, high)
    return T, boil(model, x, T)[1]


def residuals(model: Model, table: Table) -> tuple[Array, Array, Array]:
    """Model minus table: temperature (K) at the table's pressure, pressure (relative) at its temperature, and y.

    y is taken at the table's temperature where that was held, at the boil where the pressure was.
    """
    T, y_boil = boiling_temperature(model, table.x, table.p)
    p, y_held = boil(model, table.x, table.T)
    return T - table.T, p / table.p - 1.0, (y_held if table.isothermal else y_boil) - table.y


def azeotrope(model: Model, p: float) -> tuple[float, float]:
    """Mole fraction and temperature (K) where y = x."""
    low, high = 0.6, 0.9999
    for _ in range(40):
        x = np.array([0.5 * (low + high)])
        T, y = boiling_temperature(model, x, np.array([p]))
        low, high = (float(x[0]), high) if y[0] > x[0] else (low, float(x[0]))
    return float(x[0]), float(T[0])
