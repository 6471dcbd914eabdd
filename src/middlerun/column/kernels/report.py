"""The report: a row of everything that an instrument or a page could show, a row a step; and its even grid in time."""

from __future__ import annotations

from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.condenser import condense
from middlerun.column.kernels.hand import heater, relieved, spilled
from middlerun.column.kernels.layout import (
    BLOCK,
    C_FLOW,
    CP_WATER,
    D_FLOW,
    D_LOSS,
    D_PARROT_E,
    D_PARROT_W,
    D_WATER,
    F_COLD_SHARE,
    F_HEATER,
    F_JACKET_SET,
    F_RELIEF_SET,
    G_HALF_BOIL,
    G_PARROT,
    G_PARROT_RATE,
    G_UA,
    G_WATER,
    N_CONTROL,
    N_DOWN,
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
    R_OUT_E,
    R_OUT_W,
    R_PHASE,
    R_PRODUCT_E,
    R_PRODUCT_T,
    R_PRODUCT_W,
    R_RELIEF,
    R_STATE,
    R_TIME,
    R_TO_POT,
    R_UNCONDENSED,
    S_LEVEL,
    S_LEVEL_X,
    V_EFFICIENCY,
    V_ETHANOL,
    V_HEAT,
    V_LIQUID,
    V_T,
    V_VAPOUR,
    V_VOLUME,
    V_X,
    P,
    X,
)


@jit
def report(time, index, z, n_plates, stages, world, phase, values, dz, row):
    """Fill `row` with the moment's values; `values` and `dz` are those of `rates` at z."""
    nb = stages.shape[0]
    c0 = nb * BLOCK
    d0 = c0 + N_CONTROL
    top = nb - 1
    v = values[top, V_VAPOUR]
    f = values[top, V_ETHANOL]
    heat, escaped, product_t, share = condense(
        v, f, values[top, V_HEAT], values[top, V_T], z[d0 + D_FLOW], z[d0 + D_WATER], world
    )
    given, _ = heater(phase[F_HEATER], phase[F_JACKET_SET], z[X])
    blown, _ = relieved(z[X], phase[F_RELIEF_SET], world)
    v0 = values[0, V_VAPOUR]
    stirred = phase[F_COLD_SHARE] + (1.0 - phase[F_COLD_SHARE]) * v0 / (v0 + world[G_HALF_BOIL])
    spill, _, _ = spilled(z[d0 + D_PARROT_E], z[d0 + D_PARROT_W], world[G_PARROT], world[G_PARROT_RATE])
    row[R_TIME] = time
    row[R_PHASE] = index
    row[R_HEATER] = given
    row[R_TO_POT] = world[G_UA] * stirred * (z[X] - values[0, V_T])
    row[R_LOSS] = dz[d0 + D_LOSS]
    row[R_RELIEF] = blown
    row[R_DEPH_HEAT] = z[c0 + C_FLOW] * CP_WATER * (z[(n_plates + 1) * BLOCK + X] - world[G_WATER])
    row[R_JACKET] = z[X]
    row[R_DEPH_OUT] = z[(n_plates + 1) * BLOCK + X]
    row[R_COND_HEAT] = heat
    row[R_COND_SHARE] = share
    row[R_UNCONDENSED] = escaped
    row[R_PRODUCT_T] = product_t
    row[R_PRODUCT_E] = f - escaped * f / v
    row[R_PRODUCT_W] = v - f - escaped * (1.0 - f / v)
    row[R_OUT_E] = spill * z[d0 + D_PARROT_E]
    row[R_OUT_W] = spill * z[d0 + D_PARROT_W]
    for k in range(N_CONTROL + N_DOWN):
        row[R_STATE + k] = z[c0 + k]
    for j in range(nb):
        q = N_REPORT + j * PER_STAGE
        row[q + Q_T] = values[j, V_T]
        row[q + Q_X] = values[j, V_X]
        row[q + Q_VOLUME] = values[j, V_VOLUME]
        row[q + Q_LEVEL] = stages[j, S_LEVEL] + stages[j, S_LEVEL_X] * z[j * BLOCK + X]
        row[q + Q_VAPOUR] = values[j, V_VAPOUR]
        row[q + Q_ETHANOL] = values[j, V_ETHANOL]
        row[q + Q_LIQUID] = values[j, V_LIQUID]
        row[q + Q_PRESSURE] = z[j * BLOCK + P]
        row[q + Q_EFFICIENCY] = values[j, V_EFFICIENCY]


@jit
def resample(nodes, count, every, slopes, grid):
    """Fill `grid` from the first `count` rows of `nodes`: a row every `every` s and one at the end; returns how many.

    Cubic Hermite between the nodes of one phase with slopes that never overshoot (harmonic means: Fritsch & Carlson,
    SIAM J. Numer. Anal. 17 (1980) 238, in Butland's form). Nodes of two phases at one time are a jump: the later holds.
    """
    columns = nodes.shape[1]
    for i in range(count):
        before = i > 0 and nodes[i - 1, R_PHASE] == nodes[i, R_PHASE] and nodes[i, R_TIME] > nodes[i - 1, R_TIME]
        after = i < count - 1 and nodes[i + 1, R_PHASE] == nodes[i, R_PHASE]
        after = after and nodes[i + 1, R_TIME] > nodes[i, R_TIME]
        if before and after:
            h0 = nodes[i, R_TIME] - nodes[i - 1, R_TIME]
            h1 = nodes[i + 1, R_TIME] - nodes[i, R_TIME]
            w0 = (2.0 * h1 + h0) / (3.0 * (h0 + h1))
            for c in range(columns):
                d0 = (nodes[i, c] - nodes[i - 1, c]) / h0
                d1 = (nodes[i + 1, c] - nodes[i, c]) / h1
                slopes[i, c] = d0 * d1 / (w0 * d1 + (1.0 - w0) * d0) if d0 * d1 > 0.0 else 0.0
        elif before:
            h0 = nodes[i, R_TIME] - nodes[i - 1, R_TIME]
            for c in range(columns):
                slopes[i, c] = (nodes[i, c] - nodes[i - 1, c]) / h0
        elif after:
            h1 = nodes[i + 1, R_TIME] - nodes[i, R_TIME]
            for c in range(columns):
                slopes[i, c] = (nodes[i + 1, c] - nodes[i, c]) / h1
        else:
            for c in range(columns):
                slopes[i, c] = 0.0
    rows = 0
    i = 0
    last = nodes[count - 1, R_TIME]
    while rows < grid.shape[0]:
        time = rows * every
        if time > last:
            break
        while i < count - 2 and nodes[i + 1, R_TIME] <= time:
            i += 1
        h = nodes[i + 1, R_TIME] - nodes[i, R_TIME]
        q = (time - nodes[i, R_TIME]) / h if h > 0.0 else 1.0
        p = 1.0 - q
        a = p * p * (1.0 + 2.0 * q)
        b = q * q * (3.0 - 2.0 * q)
        ha = h * q * p * p
        hb = -h * q * q * p
        for c in range(columns):
            grid[rows, c] = a * nodes[i, c] + b * nodes[i + 1, c] + ha * slopes[i, c] + hb * slopes[i + 1, c]
        grid[rows, R_TIME] = time
        grid[rows, R_PHASE] = nodes[i, R_PHASE] if q < 1.0 else nodes[i + 1, R_PHASE]
        rows += 1
    if rows < grid.shape[0] and last > (rows - 1) * every + 1e-6:
        for c in range(columns):
            grid[rows, c] = nodes[count - 1, c]
        rows += 1
    return rows
