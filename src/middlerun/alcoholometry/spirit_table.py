"""A small table of density and strength at 20 Cel against mass fraction, for compiled code.

Layout: `table[i, k, j]`, float64, C order, shape (INTERVALS, 2, 4). i = interval of the mass fraction w, even steps
from 0 to 1; k = 0 density kg/m3, k = 1 strength by volume; j = coefficient. With n = table.shape[0], r = w n,
i = min(max(int(r), 0), n - 1), u = r - i, the value is c0 + u (c1 + u (c2 + u c3)). Joined C2; just outside 0 to 1 the
first or last cubic goes on.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from middlerun.alcoholometry.r22 import REFERENCE_TEMPERATURE, density
from middlerun.alcoholometry.strength import volume_strength
from middlerun.substances._scalar import spline_rows

__all__ = ["INTERVALS", "spirit_at", "spirit_table"]

INTERVALS = 64


@cache
def _table(n: int) -> NDArray[np.float64]:
    w = np.linspace(0.0, 1.0, n + 1)
    table = np.empty((n, 2, 4))
    slopes, work = np.empty(n + 1), np.empty(n + 1)
    spline_rows(density(w, REFERENCE_TEMPERATURE), table[:, 0, :], slopes, work)
    spline_rows(volume_strength(w), table[:, 1, :], slopes, work)
    table.setflags(write=False)
    return table


def spirit_table(n_intervals: int = INTERVALS) -> NDArray[np.float64]:
    """Read-only table, shape (n_intervals, 2, 4), built once: within 1e-4 kg/m3 and 1e-7 of the formula by default.

    >>> table = spirit_table()
    >>> density_at_half, strength_at_half = table[32, :, 0]  # w = 0.5 is the left end of interval 32
    >>> round(float(density_at_half), 4), round(float(strength_at_half), 4)
    (913.7706, 0.5789)
    """
    return _table(n_intervals)


def spirit_at(mass_fraction: float) -> tuple[float, float]:
    """Density at 20 Cel (kg/m3) and strength by volume of one mass fraction, from the table; clipped to 0 to 1.

    >>> rho, strength = spirit_at(0.333)
    >>> round(rho, 3), round(strength, 5)
    (948.045, 0.4)
    """
    table = _table(INTERVALS)
    r = min(max(mass_fraction, 0.0), 1.0) * INTERVALS
    i = min(int(r), INTERVALS - 1)
    u = r - i
    (a0, a1, a2, a3), (b0, b1, b2, b3) = table[i].tolist()
    return a0 + u * (a1 + u * (a2 + u * a3)), b0 + u * (b1 + u * (b2 + u * b3))
