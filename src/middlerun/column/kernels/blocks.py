"""The derivative of the rates, block by block, and the solve of (shift I - J) k = r for column and head control.

Each block's state dz and the vapour leaving it dv = (vapour, ethanol, heat) obey
    dv_j = A_j dz_j + B_j dv_(j-1),    shift dz_j - D_j dz_j - U_j dz_(j+1) - E_j dv_(j-1) - G_j dv_j = r_j,
E_j and G_j being what vapour carries in and out (ones) and how it moves liquid and pressure (a few numbers).
Elimination runs from the pot up, carrying dv_j = a_j + C_j dz_(j+1), and back down. The dephlegmator's water flow acts
on several blocks: it is a border of one column.
"""

from __future__ import annotations

import numpy as np

from middlerun.column.kernels.basics import exchanger
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.hand import heater, opened, patient, relieved
from middlerun.column.kernels.layout import (
    BLOCK,
    C_FLOW,
    C_INTEGRAL,
    C_SENSOR,
    CP_WATER,
    F_COLD_SHARE,
    F_HEAD_GAIN,
    F_HEAD_RESET,
    F_HEAD_SET,
    F_HEAD_TRACK,
    F_HEATER,
    F_JACKET_SET,
    F_RELIEF_SET,
    G_DEPH_CELLS,
    G_DEPH_FLOOR,
    G_DEPH_MAX,
    G_DEPH_MIN,
    G_DEPH_UA,
    G_DEPH_WATER,
    G_FLUE,
    G_HALF_BOIL,
    G_HEAD_SENSOR,
    G_JACKET,
    G_JACKET_LOSS,
    G_PRESSURE_RATE,
    G_TOP_DROP,
    G_UA,
    G_VALVE,
    G_WATER,
    M_E,
    M_W,
    S_DRY,
    S_LEVEL_RATE,
    S_LOSS,
    S_WET,
    V_ETHANOL,
    V_T,
    V_VAPOUR,
    E,
    H,
    P,
    W,
    X,
)
from middlerun.column.kernels.stage import stage_slopes

# Rows of `loop`, the factors of the head's control loop
L_SENSOR = 0
L_RATE = 1
L_I = 2
L_I_SENSOR = 3
L_F = 4
L_F_WISH = 5
L_GAIN = 6
L_FLOW_BY_T = 7
L_CLOSE = 8
N_LOOP = 9


@jit
def invert(m):
    """Invert the 5 by 5 matrix m in place, without pivoting: the enthalpy row first, its pivot is always large."""
    for k in range(5):
        pivot = 1.0 / m[k, k]
        m[k, k] = 1.0
        for c in range(5):
            m[k, c] *= pivot
        for r in range(5):
            if r != k:
                factor = m[r, k]
                m[r, k] = 0.0
                for c in range(5):
                    m[r, c] -= factor * m[k, c]


@jit
def factor(z, n_plates, shift, stages, world, phase, table, values, work):
    """Derivatives at z and the elimination for `shift` = 1/(step gamma). `work` is the tuple made by `make_work`."""
    inv, up, gain, b_all, flow_all, c_all, dt_all, column, v_column, loop, a_all, lz_all, lv_all = work
    nb = stages.shape[0]
    first = n_plates + 1
    c0 = nb * BLOCK
    v_in = 0.0
    f_in = 0.0
    for j in range(nb):
        stage_slopes(z, j, v_in, f_in, stages, world, table, a_all, b_all, lz_all, lv_all, dt_all)
        v_in = values[j, V_VAPOUR]
        f_in = values[j, V_ETHANOL]
    flow_heat = z[c0 + C_FLOW] * CP_WATER
    exchange, exchange_m = exchanger(world[G_DEPH_UA], world[G_DEPH_CELLS], world[G_DEPH_FLOOR], flow_heat)
    water_heat = world[G_DEPH_WATER] * CP_WATER
    rate = world[G_PRESSURE_RATE]
    for j in range(nb):
        v = values[j, V_VAPOUR]
        t = values[j, V_T]
        m = inv[j]
        dt = dt_all[j]
        u = up[j]
        lz = lz_all[j]
        for r in range(5):
            for c in range(5):
                m[r, c] = 0.0
                u[r, c] = 0.0
        by_pressure = 0.0
        by_liquid_e = 0.0
        by_liquid_w = 0.0
        by_heat = 0.0
        by_jacket = 0.0
        if j > 0:
            for c in range(5):
                m[E, c] += lz[0, c]
                m[W, c] += lz[1, c]
                m[H, c] += lz[2, c]
        if j < nb - 1:
            higher = lz_all[j + 1]
            for c in range(5):
                u[E, c] = higher[0, c]
                u[W, c] = higher[1, c]
                u[H, c] = higher[2, c]
            u[P, P] = rate
            u[P, E] = rate * stages[j + 1, S_WET] * M_E
            u[P, W] = rate * stages[j + 1, S_WET] * M_W
            by_pressure = rate * 2.0 * stages[j + 1, S_DRY] * v
            by_liquid_e = lv_all[j + 1, 0]
            by_liquid_w = lv_all[j + 1, 1]
            by_heat = lv_all[j + 1, 2]
        else:
            by_pressure = rate * 2.0 * world[G_TOP_DROP] * v
        m[P, P] += rate
        leak = stages[j, S_LOSS]
        if j == 0:
            half = world[G_HALF_BOIL]
            stirred = phase[F_COLD_SHARE] + (1.0 - phase[F_COLD_SHARE]) * v / (v + half)
            by_v = world[G_UA] * (1.0 - phase[F_COLD_SHARE]) * half / ((v + half) * (v + half)) * (z[X] - t)
            ua = world[G_UA] * stirred
            _, given_t = heater(phase[F_HEATER], phase[F_JACKET_SET], z[X])
            _, blown_t = relieved(z[X], phase[F_RELIEF_SET], world)
            cj = 1.0 / world[G_JACKET]
            leak += ua
            m[H, X] -= ua
            for c in range(5):
                m[X, c] -= ua * dt[c] * cj
            m[X, X] -= (given_t * (1.0 - world[G_FLUE]) - ua - world[G_JACKET_LOSS] - blown_t) * cj
            by_heat += by_v
            by_jacket = -by_v * cj
        elif j < first:
            m[X, X] += stages[j, S_LEVEL_RATE]
        else:
            leak += exchange
            m[H, X] -= exchange
            for c in range(5):
                m[X, c] -= exchange * dt[c] / water_heat
            m[X, X] += (exchange + flow_heat) / water_heat
            if j < nb - 1:
                u[X, X] = flow_heat / water_heat
        for c in range(5):
            m[H, c] += leak * dt[c]
            m[c, c] += shift
        # eliminate
        a = a_all[j]
        b = b_all[j]
        for r in range(3):
            for c in range(5):
                gain[j, r, c] = a[r, c]
        if j > 0:
            before = c_all[j - 1]
            for c in range(5):
                p0 = before[0, c]
                p1 = before[1, c]
                for r in range(3):
                    gain[j, r, c] += b[r, 0] * p0 + b[r, 1] * p1
                m[E, c] -= p1 - lv_all[j, 0] * p0
                m[W, c] -= p0 - p1 - lv_all[j, 1] * p0
                m[H, c] -= before[2, c] - lv_all[j, 2] * p0
        for c in range(5):
            q0 = gain[j, 0, c]
            q1 = gain[j, 1, c]
            m[E, c] += q1 - by_liquid_e * q0
            m[W, c] += q0 - q1 - by_liquid_w * q0
            m[H, c] += gain[j, 2, c] - by_heat * q0
            m[P, c] -= by_pressure * q0
            m[X, c] -= by_jacket * q0
        flow_all[j, 0] = by_liquid_e
        flow_all[j, 1] = by_liquid_w
        flow_all[j, 2] = by_heat
        flow_all[j, 3] = by_pressure
        flow_all[j, 4] = by_jacket
        invert(m)
        if j < nb - 1:
            for c in range(5):
                u0 = u[0, c]
                u1 = u[1, c]
                u2 = u[2, c]
                u3 = u[3, c]
                u4 = u[4, c]
                for r in range(5):
                    u[r, c] = m[r, 0] * u0 + m[r, 1] * u1 + m[r, 2] * u2 + m[r, 3] * u3 + m[r, 4] * u4
            for r in range(3):
                for c in range(5):
                    total = 0.0
                    for i in range(5):
                        total += gain[j, r, i] * u[i, c]
                    c_all[j, r, c] = total
    # the border: how the dephlegmator's water flow acts
    for i in range(nb * BLOCK):
        column[i] = 0.0
    for j in range(nb):
        if j >= first:
            warm = values[j, V_T] - z[j * BLOCK + X]
            inlet = world[G_WATER]
            if j < nb - 1:
                inlet = z[(j + 1) * BLOCK + X]
            column[j * BLOCK + H] = -exchange_m * CP_WATER * warm
            column[j * BLOCK + X] = CP_WATER * (exchange_m * warm + inlet - z[j * BLOCK + X]) / water_heat
    sweep(column, nb, first, work, v_column)
    # the loop: head thermometer, integral, valve
    error, seen = patient(z[c0 + C_SENSOR] - phase[F_HEAD_SET])
    wish = z[c0 + C_INTEGRAL] + phase[F_HEAD_GAIN] * error
    _, opening = opened(wish, world[G_DEPH_MIN], world[G_DEPH_MAX])
    track = (opening - 1.0) * phase[F_HEAD_TRACK]
    kp = phase[F_HEAD_GAIN] * seen
    loop[L_RATE] = world[G_HEAD_SENSOR]
    loop[L_SENSOR] = 1.0 / (shift + world[G_HEAD_SENSOR])
    loop[L_I] = 1.0 / (shift - track)
    loop[L_I_SENSOR] = phase[F_HEAD_RESET] * seen + track * kp
    loop[L_F] = 1.0 / (shift + world[G_VALVE])
    loop[L_F_WISH] = opening * world[G_VALVE]
    loop[L_GAIN] = kp
    by_t = loop[L_SENSOR] * loop[L_RATE]  # sensor by head temperature
    loop[L_FLOW_BY_T] = loop[L_F] * loop[L_F_WISH] * (loop[L_I] * loop[L_I_SENSOR] * by_t + kp * by_t)
    top = nb - 1
    moved = 0.0
    for c in range(5):
        moved += dt_all[top, c] * column[top * BLOCK + c]
    loop[L_CLOSE] = 1.0 / (1.0 - loop[L_FLOW_BY_T] * moved)


@jit
def sweep(r, nb, start, work, v_top):
    """Solve the blocks for flat r in place; r is nought below block `start`. v_top gets dv at the top."""
    inv, up, gain, b_all, flow_all, lv_all = work[0], work[1], work[2], work[3], work[4], work[12]
    a0 = 0.0
    a1 = 0.0
    a2 = 0.0
    b0 = 0.0
    b1 = 0.0
    b2 = 0.0
    for j in range(start, nb):
        k = j * BLOCK
        m = inv[j]
        if j > start:
            b = b_all[j]
            b0 = b[0, 0] * a0 + b[0, 1] * a1
            b1 = b[1, 0] * a0 + b[1, 1] * a1
            b2 = b[2, 0] * a0 + b[2, 1] * a1
            r[k + E] += a1 - lv_all[j, 0] * a0 - b1 + flow_all[j, 0] * b0
            r[k + W] += a0 - a1 - lv_all[j, 1] * a0 - b0 + b1 + flow_all[j, 1] * b0
            r[k + H] += a2 - lv_all[j, 2] * a0 - b2 + flow_all[j, 2] * b0
            r[k + P] += flow_all[j, 3] * b0
            r[k + X] += flow_all[j, 4] * b0
        q0 = r[k]
        q1 = r[k + 1]
        q2 = r[k + 2]
        q3 = r[k + 3]
        q4 = r[k + 4]
        for i in range(5):
            r[k + i] = m[i, 0] * q0 + m[i, 1] * q1 + m[i, 2] * q2 + m[i, 3] * q3 + m[i, 4] * q4
        q0 = r[k]
        q1 = r[k + 1]
        q2 = r[k + 2]
        q3 = r[k + 3]
        q4 = r[k + 4]
        w = gain[j]
        a0 = b0 + w[0, 0] * q0 + w[0, 1] * q1 + w[0, 2] * q2 + w[0, 3] * q3 + w[0, 4] * q4
        a1 = b1 + w[1, 0] * q0 + w[1, 1] * q1 + w[1, 2] * q2 + w[1, 3] * q3 + w[1, 4] * q4
        a2 = b2 + w[2, 0] * q0 + w[2, 1] * q1 + w[2, 2] * q2 + w[2, 3] * q3 + w[2, 4] * q4
    v_top[0] = a0
    v_top[1] = a1
    v_top[2] = a2
    for j in range(nb - 2, -1, -1):
        k = j * BLOCK
        u = up[j]
        q0 = r[k + 5]
        q1 = r[k + 6]
        q2 = r[k + 7]
        q3 = r[k + 8]
        q4 = r[k + 9]
        for i in range(5):
            r[k + i] += u[i, 0] * q0 + u[i, 1] * q1 + u[i, 2] * q2 + u[i, 3] * q3 + u[i, 4] * q4


@jit
def solve_column(r, nb, work, v_top):
    """Solve column and head control for the right-hand side r (flat, blocks then control) in place."""
    dt_all, column, v_column, loop = work[6], work[7], work[8], work[9]
    c0 = nb * BLOCK
    sweep(r, nb, 0, work, v_top)
    top = nb - 1
    t = 0.0
    for c in range(5):
        t += dt_all[top, c] * r[top * BLOCK + c]
    sensor = loop[L_SENSOR] * (r[c0 + C_SENSOR] + loop[L_RATE] * t)
    integral = loop[L_I] * (r[c0 + C_INTEGRAL] + loop[L_I_SENSOR] * sensor)
    flow = loop[L_F] * (r[c0 + C_FLOW] + loop[L_F_WISH] * (integral + loop[L_GAIN] * sensor))
    flow *= loop[L_CLOSE]
    moved = 0.0
    for c in range(5):
        moved += dt_all[top, c] * column[top * BLOCK + c]
    sensor += loop[L_SENSOR] * loop[L_RATE] * moved * flow
    integral = loop[L_I] * (r[c0 + C_INTEGRAL] + loop[L_I_SENSOR] * sensor)
    for i in range(c0):
        r[i] += column[i] * flow
    for i in range(3):
        v_top[i] += v_column[i] * flow
    r[c0 + C_SENSOR] = sensor
    r[c0 + C_INTEGRAL] = integral
    r[c0 + C_FLOW] = flow


def make_work(nb: int) -> tuple[np.ndarray, ...]:
    """Return the arrays that `factor` and `solve_column` share for nb blocks."""
    shapes = (
        (nb, 5, 5), (nb, 5, 5), (nb, 3, 5), (nb, 3, 2), (nb, 5), (nb, 3, 5), (nb, 5), (nb * 5,), (3,), (N_LOOP,),
        (nb, 3, 5), (nb, 3, 5), (nb, 3),
    )  # fmt: skip
    return tuple(np.zeros(shape) for shape in shapes)
