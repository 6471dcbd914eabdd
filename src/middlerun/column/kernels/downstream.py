"""Derivatives and solve for what follows the column without acting back: condenser, parrot, sensors, integrals."""

from __future__ import annotations

from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.condenser import condenser_slopes
from middlerun.column.kernels.hand import heater, opened, relieved, spilled, wary
from middlerun.column.kernels.layout import (
    BLOCK,
    C_FLOW,
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
    F_COND_GAIN,
    F_COND_RESET,
    F_COND_SET,
    F_COND_TRACK,
    F_HEATER,
    F_JACKET_SET,
    F_RELIEF_SET,
    G_COND_MAX,
    G_COND_MIN,
    G_COND_WATER,
    G_FLUE,
    G_JACKET_LOSS,
    G_PARROT,
    G_PARROT_HEAT,
    G_PARROT_RATE,
    G_POT_SENSOR,
    G_STRENGTH_SENSOR,
    G_VALVE,
    G_WATER,
    M_E,
    M_W,
    N_CONTROL,
    S_LOSS,
    V_ETHANOL,
    V_HEAT,
    V_T,
    V_VAPOUR,
    X,
)
from middlerun.column.kernels.rates import spirit

# places in the array of derivatives that `downstream_slopes` fills
_J = 0  # 18: condenser's heat, escape, product temperature by six inputs
_OPENING = 18
_SPILL = 19
_SPILL_E = 20
_SPILL_W = 21
_STRENGTH_E = 22
_STRENGTH_W = 23
_HEATER_T = 24
_RELIEF_T = 25
_ETHANOL = 26  # mole fraction of ethanol in the distillate
_ESCAPED = 27  # escaping over arriving vapour
_SEEN = 28  # slope of what the hand on the condenser's valve sees
N_SLOPES = 29


@jit
def downstream_slopes(z, nb, world, phase, strengths, values, escaped, j36, ds):
    """Fill ds with the derivatives that `solve_downstream` needs. j36 (3, 6) is scratch; `escaped` mol/s at z."""
    d0 = nb * BLOCK + N_CONTROL
    top = nb - 1
    v = values[top, V_VAPOUR]
    f = values[top, V_ETHANOL]
    condenser_slopes(v, f, values[top, V_HEAT], values[top, V_T], z[d0 + D_FLOW], z[d0 + D_WATER], world, j36)
    for r in range(3):
        for c in range(6):
            ds[_J + 6 * r + c] = j36[r, c]
    error, ds[_SEEN] = wary(z[d0 + D_WATER] - phase[F_COND_SET])
    wish = z[d0 + D_INTEGRAL] + phase[F_COND_GAIN] * error
    _, ds[_OPENING] = opened(wish, world[G_COND_MIN], world[G_COND_MAX])
    pe = z[d0 + D_PARROT_E]
    pw = z[d0 + D_PARROT_W]
    ds[_SPILL], ds[_SPILL_E], ds[_SPILL_W] = spilled(pe, pw, world[G_PARROT], world[G_PARROT_RATE])
    _, _, by_w = spirit(pe, pw, strengths)
    mass = pe * M_E + pw * M_W
    ds[_STRENGTH_E] = by_w * M_E * pw * M_W / (mass * mass)
    ds[_STRENGTH_W] = -by_w * M_W * pe * M_E / (mass * mass)
    _, ds[_HEATER_T] = heater(phase[F_HEATER], phase[F_JACKET_SET], z[X])
    _, ds[_RELIEF_T] = relieved(z[X], phase[F_RELIEF_SET], world)
    ds[_ETHANOL] = f / v
    ds[_ESCAPED] = escaped / v


@jit
def solve_downstream(r, z, nb, first, shift, stages, world, phase, dt_all, v_top, ds):
    """Solve the downstream rows of (shift I - J) k = r in place; the column's part of r is solved already."""
    c0 = nb * BLOCK
    d0 = c0 + N_CONTROL
    top = nb - 1
    k_v = v_top[0]
    k_f = v_top[1]
    k_h = v_top[2]
    k_t = 0.0
    for c in range(5):
        k_t += dt_all[top, c] * r[top * BLOCK + c]
    per = 1.0 / shift
    # condenser water, its integral and its valve
    cw = 1.0 / (world[G_COND_WATER] * CP_WATER)
    pushed = ds[0] * k_v + ds[1] * k_f + ds[2] * k_h + ds[3] * k_t
    by_out = (ds[5] - z[d0 + D_FLOW] * CP_WATER) * cw
    by_flow = (ds[4] - CP_WATER * (z[d0 + D_WATER] - world[G_WATER])) * cw
    kp = phase[F_COND_GAIN] * ds[_SEEN]
    track = (ds[_OPENING] - 1.0) * phase[F_COND_TRACK]
    li = 1.0 / (shift - track)
    lf = 1.0 / (shift + world[G_VALVE])
    wf = ds[_OPENING] * world[G_VALVE]
    i_out = li * (phase[F_COND_RESET] * ds[_SEEN] + track * kp)
    base_i = li * r[d0 + D_INTEGRAL]
    base_f = lf * (r[d0 + D_FLOW] + wf * base_i)
    f_out = lf * wf * (i_out + kp)
    k_out = (r[d0 + D_WATER] + pushed * cw + by_flow * base_f) / (shift - by_out - by_flow * f_out)
    k_flow = base_f + f_out * k_out
    r[d0 + D_WATER] = k_out
    r[d0 + D_INTEGRAL] = base_i + i_out * k_out
    r[d0 + D_FLOW] = k_flow
    # vapour that escapes, product temperature
    k_u = ds[6] * k_v + ds[7] * k_f + ds[8] * k_h + ds[9] * k_t + ds[10] * k_flow + ds[11] * k_out
    k_p = ds[12] * k_v + ds[13] * k_f + ds[14] * k_h + ds[15] * k_t + ds[16] * k_flow + ds[17] * k_out
    y = ds[_ETHANOL]
    k_ue = y * k_u + ds[_ESCAPED] * (k_f - y * k_v)
    # parrot: two by two
    pe = z[d0 + D_PARROT_E]
    pw = z[d0 + D_PARROT_W]
    m11 = shift + ds[_SPILL] + pe * ds[_SPILL_E]
    m12 = pe * ds[_SPILL_W]
    m21 = pw * ds[_SPILL_E]
    m22 = shift + ds[_SPILL] + pw * ds[_SPILL_W]
    r1 = r[d0 + D_PARROT_E] + k_f - k_ue
    r2 = r[d0 + D_PARROT_W] + k_v - k_f - k_u + k_ue
    det = 1.0 / (m11 * m22 - m12 * m21)
    k_pe = (r1 * m22 - r2 * m12) * det
    k_pw = (r2 * m11 - r1 * m21) * det
    r[d0 + D_PARROT_E] = k_pe
    r[d0 + D_PARROT_W] = k_pw
    k_spill = ds[_SPILL_E] * k_pe + ds[_SPILL_W] * k_pw
    r[d0 + D_PARROT_T] = (r[d0 + D_PARROT_T] + world[G_PARROT_HEAT] * k_p) / (shift + world[G_PARROT_HEAT])
    strength = ds[_STRENGTH_E] * k_pe + ds[_STRENGTH_W] * k_pw
    rate = world[G_STRENGTH_SENSOR]
    r[d0 + D_STRENGTH_SENSOR] = (r[d0 + D_STRENGTH_SENSOR] + rate * strength) / (shift + rate)
    # temperatures of all stages: pot thermometer and losses
    lost = 0.0
    for j in range(nb):
        t = 0.0
        for c in range(5):
            t += dt_all[j, c] * r[j * BLOCK + c]
        if j == 0:
            rate = world[G_POT_SENSOR]
            r[d0 + D_POT_SENSOR] = (r[d0 + D_POT_SENSOR] + rate * t) / (shift + rate)
        lost += stages[j, S_LOSS] * t
    k_jacket = r[X]
    given = ds[_HEATER_T] * k_jacket
    lost += world[G_JACKET_LOSS] * k_jacket + given * world[G_FLUE]
    # integrals
    r[d0 + D_COLLECTED_E] = per * (r[d0 + D_COLLECTED_E] + ds[_SPILL] * k_pe + pe * k_spill)
    r[d0 + D_COLLECTED_W] = per * (r[d0 + D_COLLECTED_W] + ds[_SPILL] * k_pw + pw * k_spill)
    r[d0 + D_LOST_E] = per * (r[d0 + D_LOST_E] + k_ue)
    r[d0 + D_LOST_W] = per * (r[d0 + D_LOST_W] + k_u - k_ue)
    r[d0 + D_HEATER] = per * (r[d0 + D_HEATER] + given)
    r[d0 + D_LOSS] = per * (r[d0 + D_LOSS] + lost)
    r[d0 + D_RELIEF] = per * (r[d0 + D_RELIEF] + ds[_RELIEF_T] * k_jacket)
    water = r[first * BLOCK + X]
    k_deph = r[c0 + C_FLOW]
    warm = z[first * BLOCK + X] - world[G_WATER]
    r[d0 + D_DEPHLEGMATOR] = per * (r[d0 + D_DEPHLEGMATOR] + CP_WATER * (k_deph * warm + z[c0 + C_FLOW] * water))
    r[d0 + D_TOP] = per * (r[d0 + D_TOP] + k_h)
    warm = z[d0 + D_WATER] - world[G_WATER]
    r[d0 + D_CONDENSER] = per * (r[d0 + D_CONDENSER] + CP_WATER * (k_flow * warm + z[d0 + D_FLOW] * k_out))
    r[d0 + D_WATER_DEPHLEGMATOR] = per * (r[d0 + D_WATER_DEPHLEGMATOR] + k_deph)
    r[d0 + D_WATER_CONDENSER] = per * (r[d0 + D_WATER_CONDENSER] + k_flow)
