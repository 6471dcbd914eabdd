"""The balances of one stage: what leaves it, and the derivatives of that. The pot is a stage without vapour arriving.

Vapour out V follows the overheat dT = T - Tb(x, p): V = soft(V_in + g dT), g and the softness falling to nothing with
the last film of liquid; that film also clings and does not run down. So a cold stage condenses what arrives, a boiling
one passes it on, and none goes below empty.
Murphree's efficiency follows the liquid held: E = 1 - exp(-wall - transfer * volume).
"""

from __future__ import annotations

import math

from middlerun.column.kernels.basics import (
    AE,
    AW,
    BE,
    BW,
    C1E,
    C1W,
    C2E,
    C2W,
    liquid_enthalpies,
    place,
    slope,
    soft,
    soft_slope,
    temperature,
    value,
    vapour_enthalpies,
)
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.layout import (
    BLOCK,
    G_PRESSURE,
    G_SOFT_V,
    S_BOIL_RISE,
    S_CAPACITY,
    S_ENTRAIN,
    S_FILM,
    S_FLASH,
    S_FLOOD,
    S_LEAK,
    S_LEVEL,
    S_LEVEL_X,
    S_OVERFLOW,
    S_SOFT,
    S_TRANSFER,
    S_UNDRAINED,
    S_WALL,
    S_WEEP,
    V_EFFICIENCY,
    V_ETHANOL,
    V_HEAT,
    V_LIQUID,
    V_LIQUID_E,
    V_LIQUID_H,
    V_LIQUID_W,
    V_T,
    V_VAPOUR,
    V_VOLUME,
    V_X,
    E,
    H,
    P,
    W,
    X,
)

_ROUND = 1e-4  # square of the relative rounding between passing vapour on and evaporating or condensing some of it


@jit
def stage_values(z, j, v_in, f_in, stages, world, table, values):
    """Fill row j of `values` for the stage of block j of z, with vapour v_in and f_in of ethanol in it arriving."""
    at = j * BLOCK
    h = z[at + H]
    p = z[at + P]
    aux = z[at + X]
    ne = z[at + E]
    nw = z[at + W]
    n = ne + nw
    x = ne / n
    t, _ = temperature(h, ne, nw, stages[j, S_CAPACITY])
    i, u, _ = place(x, table.shape[0])
    boil = value(table, i, 0, u) - 273.15 + value(table, i, 2, u) * (p - world[G_PRESSURE])
    boil += stages[j, S_BOIL_RISE] / nw
    y = value(table, i, 1, u)
    v = value(table, i, 3, u)
    film = stages[j, S_FILM]
    wet = n * n / (n * n + film * film)
    vapour = soft(v_in + wet * stages[j, S_FLASH] * (t - boil), wet * world[G_SOFT_V])
    gone = vapour - v_in
    kept = 0.5 * (vapour + v_in - math.sqrt(gone * gone + _ROUND * vapour * v_in))
    volume = n * v
    r = v_in * stages[j, S_FLOOD]
    r2 = r * r
    r8 = r2 * r2 * r2 * r2
    efficiency = (1.0 - math.exp(-stages[j, S_WALL] - stages[j, S_TRANSFER] * volume)) / (
        1.0 + stages[j, S_ENTRAIN] * r8
    )
    mix = y
    if v_in > 0.0:
        arriving = f_in / v_in
        mix = arriving + efficiency * (y - arriving)
    ethanol = kept * mix + (vapour - kept) * y
    he, hw = vapour_enthalpies(t)
    liquid = 0.0
    if stages[j, S_OVERFLOW] > 0.0:
        level = stages[j, S_LEVEL] + stages[j, S_LEVEL_X] * aux
        b = v_in * stages[j, S_UNDRAINED]
        b2 = b * b
        b8 = b2 * b2 * b2 * b2
        w = v_in * stages[j, S_WEEP]
        w2 = w * w
        w8 = w2 * w2 * w2 * w2
        over = soft(volume - level, stages[j, S_SOFT])
        free = max(n - film, 0.0)
        clings = free * free / (free * free + film * film)
        liquid = clings * (over * stages[j, S_OVERFLOW] / ((1.0 + b8 * b8) * v) + n * stages[j, S_LEAK] / (1.0 + w8))
    le, lw = liquid_enthalpies(t)
    values[j, V_VAPOUR] = vapour
    values[j, V_ETHANOL] = ethanol
    values[j, V_HEAT] = ethanol * he + (vapour - ethanol) * hw
    values[j, V_LIQUID] = liquid
    values[j, V_LIQUID_E] = liquid * x
    values[j, V_LIQUID_W] = liquid * (1.0 - x)
    values[j, V_LIQUID_H] = liquid * (x * le + (1.0 - x) * lw)
    values[j, V_T] = t
    values[j, V_X] = x
    values[j, V_VOLUME] = volume
    values[j, V_EFFICIENCY] = efficiency


@jit
def stage_slopes(z, j, v_in, f_in, stages, world, table, a, b, lz, lv, dt):
    """Derivatives of what leaves a stage.

    a (3, 5): of (vapour, ethanol, heat) by the block's state; b (3, 2): by (v_in, f_in); lz (3, 5): of the liquid's
    (ethanol, water, enthalpy) by the state; lv (3): by v_in; dt (5): of the temperature by the state. Each array has a
    first axis of blocks; block j is filled.
    """
    at = j * BLOCK
    h = z[at + H]
    p = z[at + P]
    aux = z[at + X]
    ne = z[at + E]
    nw = z[at + W]
    n = ne + nw
    x = ne / n
    xe = (1.0 - x) / n
    xw = -x / n
    t, cp = temperature(h, ne, nw, stages[j, S_CAPACITY])
    le, lw = liquid_enthalpies(t)
    th = 1.0 / cp
    te = -le * th
    tw = -lw * th
    i, u, du = place(x, table.shape[0])
    c = value(table, i, 2, u)
    dp = p - world[G_PRESSURE]
    boil = value(table, i, 0, u) - 273.15 + c * dp + stages[j, S_BOIL_RISE] / nw
    boil_x = (slope(table, i, 0, u) + slope(table, i, 2, u) * dp) * du
    y = value(table, i, 1, u)
    y_x = slope(table, i, 1, u) * du
    v = value(table, i, 3, u)
    v_x = slope(table, i, 3, u) * du
    over_t = t - boil
    film = stages[j, S_FILM]
    both = 1.0 / (n * n + film * film)
    wet = n * n * both
    wet_n = 2.0 * n * film * film * both * both
    g = stages[j, S_FLASH] * wet
    arg = v_in + g * over_t
    width = world[G_SOFT_V] * wet
    vapour = soft(arg, width)
    sv = soft_slope(arg, width)
    sw = 0.5 * width / math.sqrt(arg * arg + width * width)
    by_n = wet_n * (sv * stages[j, S_FLASH] * over_t + sw * world[G_SOFT_V])
    vh = sv * g * th
    vp = -sv * g * c
    ve = by_n + sv * g * (te - boil_x * xe)
    vw = by_n + sv * g * (tw - boil_x * xw + stages[j, S_BOIL_RISE] / (nw * nw))
    gone = vapour - v_in
    root = math.sqrt(gone * gone + _ROUND * vapour * v_in)
    kept = 0.5 * (vapour + v_in - root)
    kept_v = 0.5 - 0.5 * (gone + 0.5 * _ROUND * v_in) / root
    kept_vin = 0.5 - 0.5 * (0.5 * _ROUND * vapour - gone) / root
    volume = n * v
    vol_e = v + n * v_x * xe
    vol_w = v + n * v_x * xw
    r = v_in * stages[j, S_FLOOD]
    r2 = r * r
    r7 = r2 * r2 * r2 * r
    den = 1.0 + stages[j, S_ENTRAIN] * r7 * r
    decay = math.exp(-stages[j, S_WALL] - stages[j, S_TRANSFER] * volume)
    efficiency = (1.0 - decay) / den
    eff_vol = decay * stages[j, S_TRANSFER] / den
    y_e = y_x * xe
    y_w = y_x * xw
    risen = vapour - kept
    if v_in > 0.0:
        arriving = f_in / v_in
        gap = y - arriving
        mix = arriving + efficiency * gap
        mix_e = gap * eff_vol * vol_e + efficiency * y_e
        mix_w = gap * eff_vol * vol_w + efficiency * y_w
        eff_v = -efficiency * 8.0 * stages[j, S_ENTRAIN] * r7 * stages[j, S_FLOOD] / den
        mix_vin = -(1.0 - efficiency) * arriving / v_in + gap * eff_v
        mix_fin = (1.0 - efficiency) / v_in
    else:
        mix = y
        mix_e = y_e
        mix_w = y_w
        mix_vin = 0.0
        mix_fin = 0.0
    ethanol = kept * mix + risen * y
    lean = kept_v * mix + (1.0 - kept_v) * y  # d(ethanol)/d(vapour) at given compositions
    fh = lean * vh
    fp = lean * vp
    fe = lean * ve + kept * mix_e + risen * y_e
    fw = lean * vw + kept * mix_w + risen * y_w
    v_vin = sv
    f_vin = lean * sv + kept_vin * (mix - y) + kept * mix_vin
    f_fin = kept * mix_fin
    he, hw = vapour_enthalpies(t)
    heat_t = ethanol * (C1E + 2.0 * C2E * t) + (vapour - ethanol) * (C1W + 2.0 * C2W * t)
    a[j, 0, 0] = vh
    a[j, 0, 1] = vp
    a[j, 0, 3] = ve
    a[j, 0, 4] = vw
    a[j, 1, 0] = fh
    a[j, 1, 1] = fp
    a[j, 1, 3] = fe
    a[j, 1, 4] = fw
    a[j, 2, 0] = fh * he + (vh - fh) * hw + heat_t * th
    a[j, 2, 1] = fp * he + (vp - fp) * hw
    a[j, 2, 3] = fe * he + (ve - fe) * hw + heat_t * te
    a[j, 2, 4] = fw * he + (vw - fw) * hw + heat_t * tw
    b[j, 0, 0] = v_vin
    b[j, 0, 1] = 0.0
    b[j, 1, 0] = f_vin
    b[j, 1, 1] = f_fin
    b[j, 2, 0] = f_vin * he + (v_vin - f_vin) * hw
    b[j, 2, 1] = f_fin * (he - hw)
    dt[j, 0] = th
    dt[j, 3] = te
    dt[j, 4] = tw
    if stages[j, S_OVERFLOW] > 0.0:
        b1 = v_in * stages[j, S_UNDRAINED]
        b2 = b1 * b1
        b15 = b2 * b2 * b2 * b2 * b2 * b2 * b2 * b1
        open_way = 1.0 / (1.0 + b15 * b1)
        w1 = v_in * stages[j, S_WEEP]
        w2 = w1 * w1
        w7 = w2 * w2 * w2 * w1
        wept = 1.0 / (1.0 + w7 * w1)
        d = volume - stages[j, S_LEVEL] - stages[j, S_LEVEL_X] * aux
        over = soft(d, stages[j, S_SOFT])
        so = soft_slope(d, stages[j, S_SOFT])
        free = max(n - film, 0.0)
        each = 1.0 / (free * free + film * film)
        clings = free * free * each
        clings_n = 2.0 * free * film * film * each * each
        k = stages[j, S_OVERFLOW] * open_way / v
        free_run = k * over + n * stages[j, S_LEAK] * wept
        liquid = clings * free_run
        by_n = clings * stages[j, S_LEAK] * wept + clings_n * free_run
        l_e = clings * k * (so * vol_e - over * v_x * xe / v) + by_n
        l_w = clings * k * (so * vol_w - over * v_x * xw / v) + by_n
        l_x = -clings * k * so * stages[j, S_LEVEL_X]
        l_v = -k * over * open_way * 16.0 * b15 * stages[j, S_UNDRAINED]
        l_v -= n * stages[j, S_LEAK] * wept * wept * 8.0 * w7 * stages[j, S_WEEP]
        l_v *= clings
        mean = x * le + (1.0 - x) * lw
        cl = x * (AE + 2.0 * BE * t) + (1.0 - x) * (AW + 2.0 * BW * t)
        lz[j, 0, 2] = l_x * x
        lz[j, 0, 3] = l_e * x + liquid * xe
        lz[j, 0, 4] = l_w * x + liquid * xw
        lz[j, 1, 2] = l_x * (1.0 - x)
        lz[j, 1, 3] = l_e * (1.0 - x) - liquid * xe
        lz[j, 1, 4] = l_w * (1.0 - x) - liquid * xw
        lz[j, 2, 0] = liquid * cl * th
        lz[j, 2, 2] = l_x * mean
        lz[j, 2, 3] = l_e * mean + liquid * (xe * (le - lw) + cl * te)
        lz[j, 2, 4] = l_w * mean + liquid * (xw * (le - lw) + cl * tw)
        lv[j, 0] = l_v * x
        lv[j, 1] = l_v * (1.0 - x)
        lv[j, 2] = l_v * mean
