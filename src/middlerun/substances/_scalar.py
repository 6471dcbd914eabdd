"""Equilibrium of ethanol and water as plain functions: one truth for arrays, for floats, and for compiled code.

Takes: floats (or, for everything above `bubble_temperature`, numpy arrays that broadcast) and tuples of constants from
`data/equilibrium.toml`. Gives: floats, arrays, and the table that the run's kernel looks up. Never: checks ranges,
reads files, imports numba. `equilibrium_table` compiles `JITABLE` and `build_table` from this one file, so that numba's
disk cache notices every edit; the constants come in as arguments, so that an edited data file needs no new compilation.

Symbols: T temperature K, p pressure Pa, x and y mole fraction of ethanol in liquid and vapour.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Value = Any
"""A float, or a float array; both where the docstring does not say which."""
Constants = tuple[float, ...]
Row = NDArray[np.float64]

TRANSFORM_A = 0.3
"""Nodes are even in s = x (1 + a)/(x + a): about twenty times denser in x at the water end."""


def ln_pressure_ethanol(T: Value, wagner: Constants) -> tuple[Value, Value]:
    """Natural logarithm of ethanol's vapour pressure (Pa) and its slope (1/K), from the Wagner equation."""
    Tc = wagner[4]
    t = 1.0 - T / Tc
    r = np.sqrt(t)
    t2 = t * t
    s = t * (wagner[0] + wagner[1] * r + wagner[2] * t * r + wagner[3] * t2 * t2)
    ds = wagner[0] + 1.5 * wagner[1] * r + 2.5 * wagner[2] * t * r + 5.0 * wagner[3] * t2 * t2
    return np.log(wagner[5]) + Tc / T * s, -(Tc / T * s + ds) / T


def ln_pressure_water(T: Value, saturation: Constants) -> tuple[Value, Value]:
    """Natural logarithm of water's vapour pressure (Pa) and its slope (1/K), IAPWS SR1-86(1992) equation 1."""
    Tc = saturation[6]
    t = 1.0 - T / Tc
    r = np.sqrt(t)
    t2 = t * t
    t3 = t2 * t
    a, b, c, d, e, f = saturation[0], saturation[1], saturation[2], saturation[3], saturation[4], saturation[5]
    s = t * (a + b * r + c * t2 + d * t2 * r + e * t3 + f * t3 * t3 * r)
    ds = a + 1.5 * b * r + 3.0 * c * t2 + 3.5 * d * t2 * r + 4.0 * e * t3 + 7.5 * f * t3 * t3 * r
    return np.log(saturation[7]) + Tc / T * s, -(Tc / T * s + ds) / T


def ln_gamma(T: Value, x: Value, nrtl: Constants) -> tuple[Value, Value, Value, Value]:
    """Logarithms of the activity coefficients of ethanol and water and their slopes in T (1/K), from NRTL.

    Returns (ln gamma ethanol, its slope, ln gamma water, its slope).
    """
    z = 1.0 - x
    t12 = nrtl[0] + nrtl[2] / T
    t21 = nrtl[1] + nrtl[3] / T
    d12 = -nrtl[2] / (T * T)
    d21 = -nrtl[3] / (T * T)
    g12 = np.exp(-nrtl[4] * t12)
    g21 = np.exp(-nrtl[4] * t21)
    e12 = -nrtl[4] * g12 * d12
    e21 = -nrtl[4] * g21 * d21
    n1 = 1.0 / (x + z * g21)
    n2 = 1.0 / (z + x * g12)
    # Each activity coefficient has a squared term of one local composition and a linear term of the other.
    q1 = g21 * n1
    q2 = g12 * n2
    dq1 = e21 * x * n1 * n1
    dq2 = e12 * z * n2 * n2
    m1 = t21 * g21 * n1 * n1
    m2 = t12 * g12 * n2 * n2
    dm1 = d21 * g21 * n1 * n1 + t21 * e21 * n1 * n1 - 2.0 * t21 * g21 * n1 * n1 * n1 * z * e21
    dm2 = d12 * g12 * n2 * n2 + t12 * e12 * n2 * n2 - 2.0 * t12 * g12 * n2 * n2 * n2 * x * e12
    one = z * z * (t21 * q1 * q1 + m2)
    d_one = z * z * (d21 * q1 * q1 + 2.0 * t21 * q1 * dq1 + dm2)
    two = x * x * (t12 * q2 * q2 + m1)
    d_two = x * x * (d12 * q2 * q2 + 2.0 * t12 * q2 * dq2 + dm1)
    return one, d_one, two, d_two


def bubble_state(
    T: Value, x: Value, wagner: Constants, saturation: Constants, nrtl: Constants
) -> tuple[Value, Value, Value]:
    """Pressure (Pa) of a liquid that boils at T, its slope in T (Pa/K), and the vapour's mole fraction of ethanol."""
    ln_e, d_e = ln_pressure_ethanol(T, wagner)
    ln_w, d_w = ln_pressure_water(T, saturation)
    g_e, dg_e, g_w, dg_w = ln_gamma(T, x, nrtl)
    part_e = x * np.exp(ln_e + g_e)
    part_w = (1.0 - x) * np.exp(ln_w + g_w)
    p = part_e + part_w
    return p, part_e * (d_e + dg_e) + part_w * (d_w + dg_w), part_e / p


def volume_ethanol(T: Value, c: Constants) -> Value:
    """Molar volume (m3/mol) of saturated liquid ethanol."""
    t = T - 293.15
    return 1e-6 * (c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * c[4]))))


def density_water(T: Value, c: Constants) -> Value:
    """Density (kg/m3) of saturated liquid water, IAPWS SR1-86(1992) equation 2."""
    t = 1.0 - T / c[6]
    r = np.exp(np.log(t) / 3.0)
    t2 = t * t
    t5 = t2 * t2 * t
    t14 = t5 * t5 * t2 * t2
    t36 = t14 * t14 * t5 * t2 * t
    near = c[0] * r + c[1] * r * r + c[2] * t * r * r
    return c[7] * (1.0 + near + c[3] * t5 * r + c[4] * t14 * r + c[5] * t36 * r * r)


def excess_volume(T: Value, x: Value, c: Constants) -> Value:
    """Volume change on mixing (m3/mol), Redlich-Kister with eight terms, linear in T."""
    d = 2.0 * x - 1.0
    t = T - 293.15
    s = c[7] + t * c[15]
    for k in range(6, -1, -1):
        s = s * d + (c[k] + t * c[k + 8])
    return 1e-6 * x * (1.0 - x) * s


def liquid_volume(
    T: Value, x: Value, ethanol: Constants, water: Constants, excess: Constants, molar_mass_water: float
) -> Value:
    """Molar volume (m3/mol) of the liquid mixture."""
    pure_water = molar_mass_water / density_water(T, water)
    return x * volume_ethanol(T, ethanol) + (1.0 - x) * pure_water + excess_volume(T, x, excess)


# ---- below here: floats only ----


def bubble_temperature(
    p: float, x: float, T: float, wagner: Constants, saturation: Constants, nrtl: Constants
) -> tuple[float, float, float]:
    """Boiling temperature (K) by Newton's method in ln p against 1/T, from the guess T; with dp/dT and vapour y."""
    slope = 0.0
    y = x
    for _ in range(20):
        at, slope, y = bubble_state(T, x, wagner, saturation, nrtl)
        # ln p is nearly straight in 1/T: two or three steps from a neighbour reach rounding.
        step = np.log(p / at) * at / (slope * T)
        T = T / (1.0 - step)
        if abs(step) < 1e-9:
            break
    return T, slope, y


def spline_rows(f: Row, out: NDArray[np.float64], slopes: Row, work: Row) -> None:
    """Coefficients of the C2 cubic spline through evenly spaced values f (n+1,) into out (n, 4), in local u of 0 to 1.

    End slopes come from six-point one-sided differences (fifth order). `slopes` and `work` are scratch, (n+1,).
    """
    n = f.shape[0] - 1
    slopes[0] = (-137.0 * f[0] + 300.0 * f[1] - 300.0 * f[2] + 200.0 * f[3] - 75.0 * f[4] + 12.0 * f[5]) / 60.0
    slopes[n] = (
        137.0 * f[n] - 300.0 * f[n - 1] + 300.0 * f[n - 2] - 200.0 * f[n - 3] + 75.0 * f[n - 4] - 12.0 * f[n - 5]
    ) / 60.0
    work[0] = 0.0
    for i in range(1, n):
        m = 1.0 / (4.0 - work[i - 1])
        work[i] = m
        slopes[i] = (3.0 * (f[i + 1] - f[i - 1]) - slopes[i - 1]) * m
    for i in range(n - 1, 0, -1):
        slopes[i] -= work[i] * slopes[i + 1]
    for i in range(n):
        rise = f[i + 1] - f[i]
        out[i, 0] = f[i]
        out[i, 1] = slopes[i]
        out[i, 2] = 3.0 * rise - 2.0 * slopes[i] - slopes[i + 1]
        out[i, 3] = slopes[i] + slopes[i + 1] - 2.0 * rise


def build_table(
    p: float,
    n: int,
    wagner: Constants,
    saturation: Constants,
    nrtl: Constants,
    ethanol: Constants,
    water: Constants,
    excess: Constants,
    molar_mass_water: float,
) -> NDArray[np.float64]:
    """Table (n, 4, 4) of cubics for Tb, y, dTb/dp and v on n even intervals of s; see `equilibrium_table`."""
    nodes = np.empty((4, n + 1))
    T = 373.15
    before = T
    for i in range(n + 1):
        s = i / n
        x = TRANSFORM_A * s / (1.0 + TRANSFORM_A - s)
        if i == n:
            x = 1.0
        guess = 2.0 * T - before if i > 2 else T
        before = T
        T, slope, y = bubble_temperature(p, x, guess, wagner, saturation, nrtl)
        nodes[0, i] = T
        nodes[1, i] = y
        nodes[2, i] = 1.0 / slope
        nodes[3, i] = liquid_volume(T, x, ethanol, water, excess, molar_mass_water)
    table = np.empty((n, 4, 4))
    slopes = np.empty(n + 1)
    work = np.empty(n + 1)
    for k in range(4):
        spline_rows(nodes[k], table[:, k, :], slopes, work)
    return table


JITABLE = (
    ln_pressure_ethanol,
    ln_pressure_water,
    ln_gamma,
    bubble_state,
    volume_ethanol,
    density_water,
    excess_volume,
    liquid_volume,
    bubble_temperature,
    spline_rows,
)
