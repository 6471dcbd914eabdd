"""The right-hand side: the rate of every state. Bottom to top for vapour, top to bottom for liquid, then downstream."""

from __future__ import annotations

from middlerun.column.kernels.basics import exchanger
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.condenser import condense
from middlerun.column.kernels.hand import heater, opened, patient, relieved, spilled, wary
from middlerun.column.kernels.layout import (
    BLOCK,
    C_FLOW,
    C_INTEGRAL,
    C_SENSOR,
    CP_WATER,
    D_COLLECTED_E,
    D_COLLECTED_W,
    D_CONDENSER,
    D_DEPHLEGMATOR,
    D_FLOW,
    D_HEATER,
    D_INTEGRAL,
    D_LOSS,
    D_LOST_E,
    D_LOST_W,
    D_PARROT_E,
    D_PARROT_T,
    D_PARROT_W,
    D_POT_SENSOR,
    D_RELIEF,
    D_STRENGTH_SENSOR,
    D_TOP,
    D_WATER,
    D_WATER_CONDENSER,
    D_WATER_DEPHLEGMATOR,
    F_COLD_SHARE,
    F_COND_GAIN,
    F_COND_RESET,
    F_COND_SET,
    F_COND_TRACK,
    F_HEAD_GAIN,
    F_HEAD_RESET,
    F_HEAD_SET,
    F_HEAD_TRACK,
    F_HEATER,
    F_JACKET_SET,
    F_RELIEF_SET,
    G_COND_MAX,
    G_COND_MIN,
    G_COND_WATER,
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
    G_PARROT,
    G_PARROT_HEAT,
    G_PARROT_RATE,
    G_POT_SENSOR,
    G_PRESSURE,
    G_PRESSURE_RATE,
    G_ROOM,
    G_STRENGTH_SENSOR,
    G_TOP_DROP,
    G_UA,
    G_VALVE,
    G_WATER,
    M_E,
    M_W,
    N_CONTROL,
    S_DRY,
    S_LEVEL_RATE,
    S_LOSS,
    S_WET,
    V_ETHANOL,
    V_HEAT,
    V_LIQUID_E,
    V_LIQUID_H,
    V_LIQUID_W,
    V_T,
    V_VAPOUR,
    E,
    H,
    P,
    W,
    X,
)
from middlerun.column.kernels.stage import stage_values


@jit
def spirit(n_ethanol, n_water, table):
    """Density at 20 Cel kg/m3, volume strength, and its derivative by the mass fraction, of moles held."""
    me = max(n_ethanol, 0.0) * M_E
    w = me / (me + max(n_water, 0.0) * M_W + 1e-12)
    n = table.shape[0]
    r = w * n
    i = min(max(int(r), 0), n - 1)
    u = r - i
    rho = table[i, 0, 0] + u * (table[i, 0, 1] + u * (table[i, 0, 2] + u * table[i, 0, 3]))
    q = table[i, 1, 0] + u * (table[i, 1, 1] + u * (table[i, 1, 2] + u * table[i, 1, 3]))
    return rho, q, (table[i, 1, 1] + u * (2.0 * table[i, 1, 2] + u * 3.0 * table[i, 1, 3])) * n


@jit
def rates(z, n_plates, stages, levels, world, phase, table, strengths, values, dz):
    """Fill dz with the rates of z, `values` with what leaves every stage; return the vapour that escapes, mol/s."""
    nb = stages.shape[0]
    first = n_plates + 1  # first block of the dephlegmator
    v_in = 0.0
    f_in = 0.0
    for j in range(nb):
        stage_values(z, j, v_in, f_in, stages, world, table, values)
        v_in = values[j, V_VAPOUR]
        f_in = values[j, V_ETHANOL]
    c0 = nb * BLOCK
    flow_heat = z[c0 + C_FLOW] * CP_WATER
    exchange, _ = exchanger(world[G_DEPH_UA], world[G_DEPH_CELLS], world[G_DEPH_FLOOR], flow_heat)
    water_heat = world[G_DEPH_WATER] * CP_WATER
    loss = 0.0
    for j in range(nb):
        k = j * BLOCK
        v = values[j, V_VAPOUR]
        f = values[j, V_ETHANOL]
        de = -f - values[j, V_LIQUID_E]
        dw = -(v - f) - values[j, V_LIQUID_W]
        dh = -values[j, V_HEAT] - values[j, V_LIQUID_H]
        if j > 0:
            de += values[j - 1, V_ETHANOL]
            dw += values[j - 1, V_VAPOUR] - values[j - 1, V_ETHANOL]
            dh += values[j - 1, V_HEAT]
        if j < nb - 1:
            de += values[j + 1, V_LIQUID_E]
            dw += values[j + 1, V_LIQUID_W]
            dh += values[j + 1, V_LIQUID_H]
            above = z[k + BLOCK + P] + stages[j + 1, S_DRY] * v * v
            above += stages[j + 1, S_WET] * (M_E * z[k + BLOCK + E] + M_W * z[k + BLOCK + W])
        else:
            above = world[G_PRESSURE] + world[G_TOP_DROP] * v * v
        t = values[j, V_T]
        lost = stages[j, S_LOSS] * (t - world[G_ROOM])
        loss += lost
        dh -= lost
        if j == 0:
            stirred = phase[F_COLD_SHARE] + (1.0 - phase[F_COLD_SHARE]) * v / (v + world[G_HALF_BOIL])
            to_pot = world[G_UA] * stirred * (z[X] - t)
            given, _ = heater(phase[F_HEATER], phase[F_JACKET_SET], z[X])
            blown, _ = relieved(z[X], phase[F_RELIEF_SET], world)
            jacket_loss = world[G_JACKET_LOSS] * (z[X] - world[G_ROOM])
            dz[X] = (given * (1.0 - world[G_FLUE]) - to_pot - jacket_loss - blown) / world[G_JACKET]
            dh += to_pot
            loss += jacket_loss + given * world[G_FLUE]
        elif j < first:
            dz[k + X] = (levels[j] - z[k + X]) * stages[j, S_LEVEL_RATE]
        else:
            taken = exchange * (t - z[k + X])
            dh -= taken
            inlet = world[G_WATER]
            if j < nb - 1:
                inlet = z[k + BLOCK + X]
            dz[k + X] = (taken + flow_heat * (inlet - z[k + X])) / water_heat
        dz[k + H] = dh
        dz[k + P] = (above - z[k + P]) * world[G_PRESSURE_RATE]
        dz[k + E] = de
        dz[k + W] = dw

    # the hand on the dephlegmator's valve
    top = nb - 1
    t_top = values[top, V_T]
    error, _ = patient(z[c0 + C_SENSOR] - phase[F_HEAD_SET])
    wish = z[c0 + C_INTEGRAL] + phase[F_HEAD_GAIN] * error
    flow, _ = opened(wish, world[G_DEPH_MIN], world[G_DEPH_MAX])
    dz[c0 + C_SENSOR] = (t_top - z[c0 + C_SENSOR]) * world[G_HEAD_SENSOR]
    dz[c0 + C_INTEGRAL] = phase[F_HEAD_RESET] * error + (flow - wish) * phase[F_HEAD_TRACK]
    dz[c0 + C_FLOW] = (flow - z[c0 + C_FLOW]) * world[G_VALVE]

    # downstream
    d0 = c0 + N_CONTROL
    v = values[top, V_VAPOUR]
    f = values[top, V_ETHANOL]
    q, escaped, product_t, _ = condense(v, f, values[top, V_HEAT], t_top, z[d0 + D_FLOW], z[d0 + D_WATER], world)
    cond_heat = z[d0 + D_FLOW] * CP_WATER * (z[d0 + D_WATER] - world[G_WATER])
    dz[d0 + D_WATER] = (q - cond_heat) / (world[G_COND_WATER] * CP_WATER)
    error, _ = wary(z[d0 + D_WATER] - phase[F_COND_SET])
    wish = z[d0 + D_INTEGRAL] + phase[F_COND_GAIN] * error
    flow, _ = opened(wish, world[G_COND_MIN], world[G_COND_MAX])
    dz[d0 + D_INTEGRAL] = phase[F_COND_RESET] * error + (flow - wish) * phase[F_COND_TRACK]
    dz[d0 + D_FLOW] = (flow - z[d0 + D_FLOW]) * world[G_VALVE]
    escaped_e = escaped * f / v
    pe = z[d0 + D_PARROT_E]
    pw = z[d0 + D_PARROT_W]
    spill, _, _ = spilled(pe, pw, world[G_PARROT], world[G_PARROT_RATE])
    dz[d0 + D_PARROT_E] = f - escaped_e - spill * pe
    dz[d0 + D_PARROT_W] = (v - f) - (escaped - escaped_e) - spill * pw
    dz[d0 + D_PARROT_T] = (product_t - z[d0 + D_PARROT_T]) * world[G_PARROT_HEAT]
    dz[d0 + D_POT_SENSOR] = (values[0, V_T] - z[d0 + D_POT_SENSOR]) * world[G_POT_SENSOR]
    _, strength, _ = spirit(pe, pw, strengths)
    dz[d0 + D_STRENGTH_SENSOR] = (strength - z[d0 + D_STRENGTH_SENSOR]) * world[G_STRENGTH_SENSOR]
    dz[d0 + D_COLLECTED_E] = spill * pe
    dz[d0 + D_COLLECTED_W] = spill * pw
    dz[d0 + D_LOST_E] = escaped_e
    dz[d0 + D_LOST_W] = escaped - escaped_e
    dz[d0 + D_HEATER] = given
    dz[d0 + D_LOSS] = loss
    dz[d0 + D_RELIEF] = blown
    dz[d0 + D_DEPHLEGMATOR] = flow_heat * (z[first * BLOCK + X] - world[G_WATER])
    dz[d0 + D_TOP] = values[top, V_HEAT]
    dz[d0 + D_CONDENSER] = cond_heat
    dz[d0 + D_WATER_DEPHLEGMATOR] = z[c0 + C_FLOW]
    dz[d0 + D_WATER_CONDENSER] = z[d0 + D_FLOW]
    return escaped
