"""The table that a run's kernel looks up: boiling point, vapour, dTb/dp and hot volume against liquid strength.

Takes: a pressure in Pa. Gives: `build_table` (compiled), `build_table_plain` (the same arithmetic, not compiled),
`look_up` (vectorised reading of the table) and `ENTHALPY_POLYNOMIALS`. Never: solves at run time; the kernel only
evaluates cubics.

Layout: `table[i, k, j]`, float64, C order. i = interval of s = x (1 + a)/(x + a), a = `TRANSFORM_A`, even steps from
s = 0 (water) to s = 1 (ethanol); k = quantity (`BOILING_TEMPERATURE`, `VAPOUR`, `TEMPERATURE_SLOPE`, `MOLAR_VOLUME`);
j = coefficient. With n = table.shape[0], r = s n, i = min(max(int(r), 0), n - 1), u = r - i, the value is
c0 + u (c1 + u (c2 + u c3)). The cubics join with equal first and second derivatives (C2). Just outside x of 0 to 1 the
first or last cubic simply goes on.
"""

from __future__ import annotations

import numba
import numpy as np
from numba.extending import register_jitable
from numpy.typing import ArrayLike, NDArray

from middlerun.errors import OutOfRangeError
from middlerun.substances import _scalar
from middlerun.substances.constants import values

__all__ = [
    "BOILING_TEMPERATURE",
    "DEFAULT_INTERVALS",
    "ENTHALPY_POLYNOMIALS",
    "MOLAR_VOLUME",
    "PRESSURE_RANGE",
    "TEMPERATURE_SLOPE",
    "TRANSFORM_A",
    "VAPOUR",
    "build_table",
    "build_table_plain",
    "look_up",
]

TRANSFORM_A = _scalar.TRANSFORM_A
BOILING_TEMPERATURE, VAPOUR, TEMPERATURE_SLOPE, MOLAR_VOLUME = 0, 1, 2, 3
DEFAULT_INTERVALS = 96
PRESSURE_RANGE = (20e3, 120e3)

for _function in _scalar.JITABLE:
    register_jitable(_function)
_compiled = numba.njit(cache=True, nogil=True)(_scalar.build_table)

_CONSTANTS = values(
    "equilibrium.toml",
    "wagner_ethanol",
    "saturation_water",
    "nrtl",
    "volume_ethanol",
    "density_water",
    "excess_volume",
    "molar_mass_water",
)

ENTHALPY_POLYNOMIALS = np.array(values("enthalpy.toml", "polynomials_ethanol", "polynomials_water"))
"""Shape (2, 5): rows ethanol, water; columns a, b, c0, c1, c2. With t in K above 273.15, J/mol above the liquid at
273.15 K: liquid a t + b t^2 (no constant term), vapour c0 + c1 t + c2 t^2. Fitted over 10 to 105 Cel to the functions
of `enthalpy`; the worst residual is 0.11 % of the latent heat (ethanol liquid)."""
ENTHALPY_POLYNOMIALS.setflags(write=False)


def _checked(pressure: float, n_intervals: int) -> tuple[float, int]:
    low, high = PRESSURE_RANGE
    if not low <= pressure <= high:
        raise OutOfRangeError.of(
            "pressure", pressure, low, high, "Pa", "Give the absolute pressure of the day, not a gauge reading."
        )
    if not 8 <= n_intervals <= 4096:
        raise OutOfRangeError.of("n_intervals", n_intervals, 8, 4096, "", "The default is right for a run.")
    return float(pressure), int(n_intervals)


def build_table(pressure: float, n_intervals: int = DEFAULT_INTERVALS) -> NDArray[np.float64]:
    """Build the table, shape (n_intervals, 4, 4), for one pressure in Pa (20e3 to 120e3); compiled, below 0.5 ms.

    Raises OutOfRangeError. Models and sources: `data/equilibrium.toml`.

    >>> table = build_table(101325.0)
    >>> temperature, vapour, slope, volume = look_up(table, 0.3)
    >>> round(float(temperature) - 273.15, 2), round(float(vapour), 4)
    (81.42, 0.5852)
    """
    p, n = _checked(pressure, n_intervals)
    return _compiled(p, n, *_CONSTANTS)


def build_table_plain(pressure: float, n_intervals: int = DEFAULT_INTERVALS) -> NDArray[np.float64]:
    """The same as `build_table` without compilation, some hundred times slower, equal to rounding."""
    p, n = _checked(pressure, n_intervals)
    return _scalar.build_table(p, n, *_CONSTANTS)


def look_up(table: NDArray[np.float64], x_ethanol: ArrayLike) -> NDArray[np.float64]:
    """Read a table at mole fractions of any shape; returns shape (4, ...): Tb K, y, dTb/dp K/Pa, v m3/mol."""
    x = np.asarray(x_ethanol, dtype=float)
    n = table.shape[0]
    r = x * (1.0 + TRANSFORM_A) / (x + TRANSFORM_A) * n
    i = np.clip(r.astype(np.int64), 0, n - 1)
    u = r - i
    c = table[i]
    rows = c[..., 0] + u[..., None] * (c[..., 1] + u[..., None] * (c[..., 2] + u[..., None] * c[..., 3]))
    return np.moveaxis(rows, -1, 0)
