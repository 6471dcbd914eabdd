"""From report rows to the series that a run gives: strengths, volumes at 20 Cel, gauges, margins; in one pass."""

from __future__ import annotations

import math

from middlerun.column.kernels.basics import steam_pressure
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.layout import (
    C_FLOW,
    C_SENSOR,
    D_COLLECTED_E,
    D_COLLECTED_W,
    D_FLOW,
    D_PARROT_E,
    D_PARROT_T,
    D_PARROT_W,
    D_POT_SENSOR,
    D_WATER,
    F_HEAD_GAIN,
    F_HEAD_SET,
    F_RELIEF_SET,
    G_PARROT,
    G_PRESSURE,
    G_SOFT_V,
    M_E,
    M_W,
    N_CONTROL,
    N_REPORT,
    PER_STAGE,
    Q_EFFICIENCY,
    Q_ETHANOL,
    Q_LEVEL,
    Q_LIQUID,
    Q_PRESSURE,
    Q_T,
    Q_VAPOUR,
    Q_VOLUME,
    Q_X,
    R_COND_HEAT,
    R_COND_SHARE,
    R_DEPH_HEAT,
    R_DEPH_OUT,
    R_HEATER,
    R_JACKET,
    R_LOSS,
    R_PHASE,
    R_PRODUCT_E,
    R_PRODUCT_T,
    R_PRODUCT_W,
    R_RELIEF,
    R_STATE,
    R_TIME,
    R_TO_POT,
    R_UNCONDENSED,
    ZERO_C,
)
from middlerun.column.kernels.rates import spirit

_ETHANOL_DENSITY = 789.24  # kg/m3 at 20 Cel, OIML R 22
_FAINT = 0.5  # of the vapour's rounding width: below this the head counts as shut

# Order of the series that do not belong to a plate; `unpack` names them.
N_FIXED = 41
PER_PLATE = 9


@jit
def _strength(x, strengths):
    """Volume strength of a mole fraction."""
    _, q, _ = spirit(x, 1.0 - x, strengths)
    return q


@jit
def finish(
    grid, rows, n_plates, nb, world, phases, vents, before, closed_jacket, fill_t, solids, dry, plates, strengths, out
):
    """Fill `out` (series, rows). SI.

    grid (rows, columns) from `resample`; vents (phases) 1 where the jacket's vent is open; before (phases, 2) moles
    collected before each phase; solids m3 in the pot; dry (plates, 2) dry and wet pressure drop; plates (plates, 3)
    flooding, weep-point vapour mol/s, and pressure that fills the downcomer Pa.
    """
    ambient = world[G_PRESSURE]
    air = 0.0
    if closed_jacket:
        air = max(ambient - steam_pressure(fill_t), 0.0) / (fill_t + ZERO_C)
    faint = _FAINT * world[G_SOFT_V]
    top = N_REPORT + (nb - 1) * PER_STAGE
    for i in range(rows):
        row = grid[i]
        index = int(row[R_PHASE])
        phase = phases[index]
        c = R_STATE
        d = R_STATE + N_CONTROL
        pot = N_REPORT
        jacket_t = row[R_JACKET]
        gauge = 0.0
        if closed_jacket:
            steam = steam_pressure(jacket_t)
            kelvin = jacket_t + ZERO_C
            if vents[index] > 0.0:
                air = max(ambient - steam, 0.0) / kelvin
            total = steam + air * kelvin
            if total - ambient > phase[F_RELIEF_SET]:  # the relief lets air out first, then steam
                air = max(ambient + phase[F_RELIEF_SET] - steam, 0.0) / kelvin
            if total < ambient:  # the vacuum breaker lets air in
                air = (ambient - steam) / kelvin
            gauge = steam + air * kelvin - ambient
            if abs(gauge) < 1e-6:
                gauge = 0.0
        moles = row[R_PRODUCT_E] + row[R_PRODUCT_W]
        distillate = row[top + Q_VAPOUR]
        reflux = row[top + Q_LIQUID]
        held = 58.4e-6 * row[d + D_PARROT_E] + 18.05e-6 * row[d + D_PARROT_W]
        full = held > 0.5 * world[G_PARROT]
        ce = max(row[d + D_COLLECTED_E], 0.0)  # the solver may be out by its tolerance, far below a drop
        cw = max(row[d + D_COLLECTED_W], 0.0)
        te = ce + before[index, 0]
        tw = cw + before[index, 1]
        out[0, i] = row[R_TIME]
        out[1, i] = row[R_PHASE]
        out[2, i] = row[pot + Q_T] + ZERO_C
        out[3, i] = row[d + D_POT_SENSOR] + ZERO_C
        out[4, i] = _strength(row[pot + Q_X], strengths)
        out[5, i] = row[pot + Q_VOLUME] + solids
        out[6, i] = row[pot + Q_PRESSURE] - ambient
        out[7, i] = jacket_t + ZERO_C
        out[8, i] = gauge
        out[9, i] = row[R_HEATER]
        out[10, i] = row[R_TO_POT]
        out[11, i] = row[R_LOSS]
        out[12, i] = row[R_RELIEF]
        out[13, i] = row[pot + Q_VAPOUR]
        out[14, i] = row[top + Q_T] + ZERO_C
        out[15, i] = row[c + C_SENSOR] + ZERO_C
        out[16, i] = phase[F_HEAD_SET] + ZERO_C if phase[F_HEAD_GAIN] > 0.0 else math.nan
        out[17, i] = reflux
        out[18, i] = distillate
        out[19, i] = row[top + Q_ETHANOL] / distillate if distillate > faint else math.nan
        out[20, i] = reflux / distillate if distillate > faint else math.nan
        out[21, i] = max(row[c + C_FLOW], 0.0) * 1e-3
        out[22, i] = row[R_DEPH_OUT] + ZERO_C
        out[23, i] = row[R_DEPH_HEAT]
        out[24, i] = max(row[d + D_FLOW], 0.0) * 1e-3
        out[25, i] = row[d + D_WATER] + ZERO_C
        out[26, i] = row[R_COND_HEAT]
        out[27, i] = 1.0 / row[R_COND_SHARE] if row[R_COND_SHARE] > 1e-6 else 1e6
        out[28, i] = row[R_UNCONDENSED]
        if moles > faint:
            rho, q, _ = spirit(row[R_PRODUCT_E], row[R_PRODUCT_W], strengths)
            out[29, i] = q
            out[30, i] = (row[R_PRODUCT_E] * M_E + row[R_PRODUCT_W] * M_W) / rho
        else:
            out[29, i] = math.nan
            out[30, i] = 0.0
        out[31, i] = row[R_PRODUCT_T] + ZERO_C
        out[32, i] = row[d + D_PARROT_T] + ZERO_C
        out[33, i] = math.nan
        if full:
            _, q, _ = spirit(row[d + D_PARROT_E], row[d + D_PARROT_W], strengths)
            out[33, i] = q
        out[34, i] = 0.0
        out[35, i] = te * M_E / _ETHANOL_DENSITY
        out[36, i] = 0.0
        out[37, i] = math.nan
        if te + tw > 1e-6:
            rho, q, _ = spirit(te, tw, strengths)
            out[34, i] = (te * M_E + tw * M_W) / rho
        if ce + cw > 1e-3:
            rho, q, _ = spirit(ce, cw, strengths)
            out[36, i] = (ce * M_E + cw * M_W) / rho
            out[37, i] = q
        out[38, i] = row[d + D_PARROT_E]
        out[39, i] = row[d + D_PARROT_W]
        out[40, i] = row[R_PRODUCT_E] * M_E / _ETHANOL_DENSITY
        arriving = row[pot + Q_VAPOUR]
        for k in range(n_plates):
            q = N_REPORT + (k + 1) * PER_STAGE
            o = N_FIXED + k * PER_PLATE
            out[o, i] = row[q + Q_T] + ZERO_C
            out[o + 1, i] = row[q + Q_VOLUME]
            out[o + 2, i] = max(row[q + Q_LEVEL], 1e-12) - 1e-12
            out[o + 3, i] = _strength(row[q + Q_X], strengths)
            out[o + 4, i] = row[q + Q_VAPOUR]
            out[o + 5, i] = arriving / plates[k, 0]
            out[o + 6, i] = arriving / plates[k, 1] if plates[k, 1] > 0.0 else math.nan
            wet = dry[k, 1] * row[q + Q_VOLUME]
            out[o + 7, i] = (dry[k, 0] * arriving * arriving + 2.0 * wet) / plates[k, 2]
            out[o + 8, i] = row[q + Q_EFFICIENCY]
            arriving = row[q + Q_VAPOUR]
