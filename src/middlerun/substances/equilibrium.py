"""Vapour-liquid equilibrium of ethanol and water.

Takes: mole fractions of ethanol, temperatures in K, pressures in Pa; arrays welcome and broadcast. Gives: bubble and
dew points, activity coefficients, the azeotrope. Never: compiles anything; the run's kernel has its table from the same
functions (`equilibrium_table`).

Model: modified Raoult, ideal vapour, y p = x gamma p_sat(T), gamma from NRTL with tau = a + b/T. Choice and residuals
against every published table: docs/adr/0003-equilibrium.md and docs/validation/vle.md.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from middlerun.substances._scalar import bubble_state, ln_gamma, ln_pressure_ethanol, ln_pressure_water
from middlerun.substances.constants import values
from middlerun.substances.ranges import checked

__all__ = [
    "PRESSURE_RANGE",
    "activity_coefficients",
    "azeotrope",
    "boiling_point_rise",
    "bubble_point",
    "bubble_pressure",
    "dew_point",
]

Array = NDArray[np.float64]

PRESSURE_RANGE = (20e3, 120e3)
_MODEL = values("equilibrium.toml", "wagner_ethanol", "saturation_water", "nrtl")
(_EBULLIOSCOPIC,) = values("surface.toml", "ebullioscopic_water")


def _fraction(what: str, value: ArrayLike) -> Array:
    return checked(what, value, 0.0, 1.0, "mol/mol", "Give a mole fraction, not a strength by volume.")


def _pressure(pressure: ArrayLike) -> Array:
    remedy = "Give the absolute pressure of the day in pascal, not a gauge reading."
    return checked("pressure", pressure, *PRESSURE_RANGE, "Pa", remedy)


def _temperature(temperature: ArrayLike) -> Array:
    return checked("temperature", temperature, 273.16, 383.15, "K", "The equilibrium model holds from 0.01 to 110 Cel.")


def activity_coefficients(x_ethanol: ArrayLike, temperature: ArrayLike) -> tuple[Array, Array]:
    """Activity coefficients of ethanol and water at x_ethanol 0 to 1 and 273.16 to 383.15 K, else OutOfRangeError.

    Fitted range of the NRTL set: 303 to 373 K.

    >>> ethanol, water = activity_coefficients(0.0, 373.15)
    >>> round(float(ethanol), 3), round(float(water), 3)
    (5.697, 1.0)
    """
    one, _, two, _ = ln_gamma(_temperature(temperature), _fraction("x_ethanol", x_ethanol), _MODEL[2])
    return np.exp(one), np.exp(two)


def bubble_pressure(x_ethanol: ArrayLike, temperature: ArrayLike) -> tuple[Array, Array]:
    """Pressure (Pa) at which a liquid boils at a temperature (K, 273.16 to 383.15), and its vapour's mole fraction.

    >>> pressure, y = bubble_pressure(0.50492, 303.15)  # Pemberton and Mash (1978) measured 9663 Pa, 0.6797
    >>> round(float(pressure)), round(float(y), 4)
    (9669, 0.6851)
    """
    p, _, y = bubble_state(_temperature(temperature), _fraction("x_ethanol", x_ethanol), *_MODEL)
    return np.asarray(p), np.asarray(y)


def _bubble(x: Array, p: Array) -> tuple[Array, Array]:
    x, p = np.broadcast_arrays(x, p)
    T = np.full(x.shape, 355.0)
    for _ in range(20):
        at, slope, _y = bubble_state(T, x, *_MODEL)
        step = np.log(p / at) * at / (slope * T)
        T = T / (1.0 - step)
        if np.max(np.abs(step), initial=0.0) < 1e-11:
            break
    return np.asarray(T), np.asarray(bubble_state(T, x, *_MODEL)[2])


def bubble_point(x_ethanol: ArrayLike, pressure: ArrayLike) -> tuple[Array, Array]:
    """Temperature (K) at which a liquid boils, and the mole fraction of ethanol in its vapour.

    `x_ethanol` 0 to 1, `pressure` Pa 20e3 to 120e3; they broadcast. Raises OutOfRangeError outside. Uncertainty near
    101.325 kPa about 0.2 K and 0.006 in y, as published tables differ among themselves.

    >>> temperature, y = bubble_point(0.1, 101325.0)
    >>> round(float(temperature) - 273.15, 2), round(float(y), 4)
    (86.25, 0.446)
    """
    return _bubble(_fraction("x_ethanol", x_ethanol), _pressure(pressure))


@cache
def _dew_guesses() -> tuple[Array, Array]:
    u = np.linspace(0.0, 1.0, 257)
    x = 0.2 * u / (1.2 - u)
    return x, _bubble(x, np.asarray(60e3))[1]


def dew_point(y_ethanol: ArrayLike, pressure: ArrayLike) -> tuple[Array, Array]:
    """Temperature (K) at which a vapour begins to condense, and the mole fraction of ethanol in the first liquid.

    Arguments, range and errors as for `bubble_point`. Below the azeotrope the first liquid is weaker than the vapour,
    above it stronger; the vapour's strength rises all the way with the liquid's, so that there is one answer.

    >>> temperature, x = dew_point(0.95, 101325.0)
    >>> round(float(temperature) - 273.15, 3), round(float(x), 4)
    (78.175, 0.9531)
    """
    y, p = np.broadcast_arrays(_fraction("y_ethanol", y_ethanol), _pressure(pressure))
    grid_x, grid_y = _dew_guesses()
    x = np.interp(y, grid_y, grid_x)
    T, _ = _bubble(x, p)
    h = 1e-30
    for _ in range(40):
        # Slopes by complex step: exact to rounding, and no second set of formulas to keep right.
        at, in_T, at_y = bubble_state(T, x, *_MODEL)
        by_x, _, y_by_x = bubble_state(T, x + 1j * h, *_MODEL)
        _, _, y_by_T = bubble_state(T + 1j * h, x, *_MODEL)
        p_x, y_x, y_T = by_x.imag / h, y_by_x.imag / h, y_by_T.imag / h
        miss_p, miss_y = p - at, y - at_y
        along = y_x - y_T * p_x / in_T
        step = (miss_y - y_T * miss_p / in_T) / along
        new = np.clip(x + step, 0.5 * x, 0.5 * (1.0 + x))
        T = T + (miss_p - p_x * (new - x)) / in_T
        moved = np.max(np.abs(new - x), initial=0.0)
        x = new
        if moved < 1e-14:
            break
    x = np.where(y <= 0.0, 0.0, np.where(y >= 1.0, 1.0, x))
    return _bubble(x, p)[0], x


def azeotrope(pressure: ArrayLike) -> tuple[Array, Array]:
    """Mole fraction of ethanol and temperature (K) of the azeotrope at a pressure, Pa, 20e3 to 120e3.

    Stronger as the pressure falls. Raises OutOfRangeError outside the range.

    >>> x, temperature = azeotrope(101325.0)
    >>> round(float(x), 3), round(float(temperature) - 273.15, 2)
    (0.895, 78.13)
    """
    p = _pressure(pressure)
    low, high = np.full(p.shape, 0.7), np.full(p.shape, 0.999)
    for _ in range(50):
        x = 0.5 * (low + high)
        T, _ = _bubble(x, p)
        one, _, two, _ = ln_gamma(T, x, _MODEL[2])
        # At the azeotrope ethanol and water are equally volatile; below it ethanol is the more volatile one.
        richer = one + ln_pressure_ethanol(T, _MODEL[0])[0] > two + ln_pressure_water(T, _MODEL[1])[0]
        low, high = np.where(richer, x, low), np.where(richer, high, x)
    x = 0.5 * (low + high)
    return x, _bubble(x, p)[0]


def boiling_point_rise(molality: ArrayLike) -> Array:
    """Rise of the boiling point (K) by dissolved extract, mol of solute per kg of water, 0 to 10.

    0.51 K kg/mol, the ebullioscopic constant of water, ideal solution: 0.1 to 0.2 K for a usual mash. It moves the
    pot's temperature, not the vapour's composition.

    >>> round(float(boiling_point_rise(0.3)), 3)
    0.153
    """
    m = checked("molality", molality, 0.0, 10.0, "mol/kg", "Give moles of dissolved extract per kg of water.")
    return np.asarray(_EBULLIOSCOPIC * m)
