"""The operator's hand on a valve, and other small parts: controller, jacket, parrot."""

from __future__ import annotations

from middlerun.column.kernels.basics import soft, soft_slope, steam_pressure
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.layout import G_PRESSURE, G_RELIEF, G_RELIEF_SOFT, G_STEAM

_MOST = 4.0  # K
_EDGE = 0.5  # K
_NO_STEAM = 80.0  # Cel, below which water boils at no ambient pressure that a plan may have (60 kPa)
_THERMOSTAT = 2.0  # K, band over which the jacket's thermostat closes


@jit
def opened(u, low, high):
    """A wish u kg/s limited to what the valve can do, rounded over a five-hundredth of its range; and its slope."""
    width = 0.002 * (high - low) + 1e-9
    flow = low + soft(u - low, width) - soft(u - high, width)
    return flow, soft_slope(u - low, width) - soft_slope(u - high, width)


@jit
def patient(error):
    """A deviation in K as a patient hand takes it: no more than some kelvins at a time; and its slope."""
    seen = soft(error + _MOST, _EDGE) - soft(error - _MOST, _EDGE) - _MOST
    return seen, soft_slope(error + _MOST, _EDGE) - soft_slope(error - _MOST, _EDGE)


@jit
def wary(error):
    """A deviation in K as the hand on the condenser's valve takes it: opens at once, closes patiently; its slope."""
    return soft(error + _MOST, _EDGE) - _MOST, soft_slope(error + _MOST, _EDGE)


@jit
def set_by_hand(flow, low, high):
    """The wish kg/s at which `opened` gives this flow, also at the ends of the valve's range."""
    width = 0.002 * (high - low) + 1e-9
    if flow < low + 2.0 * width:
        return low - 20.0 * width
    if flow > high - 2.0 * width:
        return high + 20.0 * width
    return flow


@jit
def heater(power, jacket_set, jacket_t):
    """Heat given, W, and its derivative by the jacket's temperature."""
    u = (jacket_set - jacket_t) / _THERMOSTAT
    share = soft(u, 0.05) - soft(u - 1.0, 0.05)
    return power * share, -power / _THERMOSTAT * (soft_slope(u, 0.05) - soft_slope(u - 1.0, 0.05))


@jit
def relieved(jacket_t, setting, world):
    """Heat that leaves through vent or relief valve, W, and its derivative by the jacket's temperature (Cel).

    Only steam carries heat worth counting: what the shut-in air takes along is left out (its heat is below 1 %).
    """
    if world[G_STEAM] <= 0.0 or jacket_t < _NO_STEAM:
        return 0.0, 0.0
    steam = steam_pressure(jacket_t)
    steam_t = steam * 3864.5909 / ((jacket_t + 229.04190) * (jacket_t + 229.04190))
    above = max(steam - world[G_PRESSURE] - setting, 0.0)
    rounding = world[G_RELIEF_SOFT]
    opened_by = above / (above + rounding)
    return world[G_RELIEF] * above * opened_by, world[G_RELIEF] * opened_by * (2.0 - opened_by) * steam_t


@jit
def spilled(n_ethanol, n_water, size, rate):
    """Rate 1/s at which the parrot's content runs over, and its derivatives by the moles held."""
    v = 58.4e-6 * n_ethanol + 18.05e-6 * n_water
    lip = 0.02 * size
    above = max(v - size, 0.0)  # nothing runs off below the lip
    over = above * above / (above + lip)
    so = above * (above + 2.0 * lip) / ((above + lip) * (above + lip))
    held = v + 0.05 * size  # keeps the rate finite while the parrot is empty
    k = rate * over / held
    by_v = rate * (so - over / held) / held
    return k, 58.4e-6 * by_v, 18.05e-6 * by_v
