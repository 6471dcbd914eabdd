"""Small compiled helpers: soft maximum, enthalpies, table look-up, exchanger conductance."""

from __future__ import annotations

import math

from middlerun.column.kernels.compiled import jit
from middlerun.substances.equilibrium_table import ENTHALPY_POLYNOMIALS, TRANSFORM_A

_A = TRANSFORM_A
(AE, BE, C0E, C1E, C2E), (AW, BW, C0W, C1W, C2W) = (tuple(float(v) for v in row) for row in ENTHALPY_POLYNOMIALS)
_LARGEST_GAIN = 200.0  # of an exchanger that takes 99.5 % of what it could: less flow changes nothing any more


@jit
def soft(u, width):
    """max(u, 0), rounded over `width` (same unit as u); above 0 everywhere."""
    root = math.sqrt(u * u + width * width)
    if u > 0.0:
        return 0.5 * (u + root)
    return 0.5 * width * width / (root - u)


@jit
def soft_slope(u, width):
    """Derivative of `soft` by u."""
    return soft(u, width) / math.sqrt(u * u + width * width)


@jit
def place(x, n):
    """Interval, local coordinate and d(local)/dx of mole fraction x in a table of n intervals."""
    d = 1.0 / (x + _A)
    r = x * (1.0 + _A) * d * n
    i = min(max(int(r), 0), n - 1)
    return i, r - i, _A * (1.0 + _A) * d * d * n


@jit
def value(table, i, k, u):
    """Value of quantity k."""
    return table[i, k, 0] + u * (table[i, k, 1] + u * (table[i, k, 2] + u * table[i, k, 3]))


@jit
def slope(table, i, k, u):
    """Derivative of quantity k by the local coordinate."""
    return table[i, k, 1] + u * (2.0 * table[i, k, 2] + u * 3.0 * table[i, k, 3])


@jit
def liquid_enthalpies(t):
    """J/mol of liquid ethanol and water at t Cel, above 0 Cel."""
    return t * (AE + BE * t), t * (AW + BW * t)


@jit
def vapour_enthalpies(t):
    """J/mol of ethanol and water vapour at t Cel, above liquid at 0 Cel."""
    return C0E + t * (C1E + C2E * t), C0W + t * (C1W + C2W * t)


@jit
def temperature(enthalpy, n_ethanol, n_water, capacity):
    """Temperature in Cel and heat capacity J/K of liquid and metal from their enthalpy J."""
    a = n_ethanol * AE + n_water * AW + capacity
    b = n_ethanol * BE + n_water * BW
    root = math.sqrt(max(a * a + 4.0 * b * enthalpy, 0.0))
    return 2.0 * enthalpy / (a + root), root


@jit
def exchanger(conductance, cells, floor, heat_flow):
    """Conductance K (W/K) such that K (hot - out) is what `cells` mixed cells in series take, and dK/d(heat_flow).

    `heat_flow` is water flow times heat capacity, W/K. Hot side at one temperature:
    out - in = (hot - in)(1 - g^-cells), g = 1 + conductance/(cells heat_flow), so that K = heat_flow (g^cells - 1).
    Below `floor`, the flow at which the water takes 99.5 % of what it could, K is kept (see `exchanger_floor`).
    `cells` is a whole number.
    """
    width = 0.02 * floor + 1e-9
    m = floor + soft(heat_flow - floor, width) + 1e-9
    q = conductance / (cells * m)
    power = 1.0
    for _ in range(int(cells) - 1):
        power *= 1.0 + q
    gain = power * (1.0 + q) - 1.0
    return m * gain, (gain - cells * q * power) * soft_slope(heat_flow - floor, width)


def exchanger_floor(conductance: float, cells: float) -> float:
    """Return the heat flow in W/K at which water takes 99.5 % of what it could in so many cells."""
    return float(conductance / (cells * (_LARGEST_GAIN ** (1.0 / cells) - 1.0)))


@jit
def steam_pressure(t):
    """Saturation pressure of water in Pa at t Cel: own fit to the equation of Wagner & Pruss 1993 (IAPWS).

    Within 0.12 % from 30 to 130 Cel.
    """
    return 1e3 * math.exp(16.363837 - 3864.5909 / (t + 229.04190))


def steam_temperature(pressure: float) -> float:
    """Return the temperature in Cel of steam at `pressure` Pa, the inverse of `steam_pressure`.

    >>> round(steam_temperature(101325.0), 1)
    100.0
    """
    return 3864.5909 / (16.363837 - math.log(1e-3 * pressure)) - 229.04190
