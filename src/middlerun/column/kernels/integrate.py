"""Steps through the phases of a run: adaptive Rosenbrock steps, ends located in time, reports on an even grid."""

from __future__ import annotations

import math

import numpy as np

from middlerun.column.kernels.blocks import factor, solve_column
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.downstream import N_SLOPES, downstream_slopes, solve_downstream
from middlerun.column.kernels.hand import set_by_hand
from middlerun.column.kernels.layout import (
    BLOCK,
    C_FLOW,
    C_INTEGRAL,
    C_SENSOR,
    D_COLLECTED_E,
    D_COLLECTED_W,
    D_FLOW,
    D_INTEGRAL,
    D_PARROT_E,
    D_PARROT_W,
    D_POT_SENSOR,
    D_STRENGTH_SENSOR,
    D_TOP,
    D_WATER,
    F_AT_MOST,
    F_COND_FLOW,
    F_COND_GAIN,
    F_COND_SET,
    F_DEPH_FLOW,
    F_HEAD_GAIN,
    F_HEAD_SET,
    F_HEAD_START,
    G_CHARGE_LPA,
    G_COND_MAX,
    G_COND_MIN,
    G_DEPH_MAX,
    G_DEPH_MIN,
    G_PARROT,
    G_POT_DRY,
    G_ROOM,
    G_SOFT_V,
    G_WATER,
    M_E,
    M_W,
    N_CONTROL,
    N_VALUES,
    E,
    W,
    X,
)
from middlerun.column.kernels.rates import rates, spirit
from middlerun.column.kernels.report import report

# why a phase ended, where no end condition did
AT_MOST = -1
NO_PRODUCT = -2
BOILED_DRY = -3
# how a run ended
FINISHED = 0
STUCK = 1  # steps became too small
TOO_LONG = 2  # report or step budget used up

_ETHANOL_DENSITY = 789.24  # kg/m3 at 20 Cel, OIML R 22
_SAFETY = 0.9
_SHRINK = 0.2
_GROW = 6.0
_SMALLEST = 1e-7  # s
_ALIKE = 0.05
_REPEATS = 6
_COLDER = 0.02  # K
_MISSED = 8.0  # error norm of a step refused for it
_NEAR = 2.0  # K, within which a hand takes over without a bump
_FAINT = 40e3 * 5.0  # J/mol times soft widths: below this heat flow the head counts as shut
_QUIET = 1800.0  # s without product, head held, after which a phase is given up


@jit
def end_value(channel, elapsed, z, d0, c0, world, strengths):
    """What an end condition looks at: see `settings.END_CHANNELS`; temperatures in Cel."""
    if channel == 0:
        return elapsed
    if channel == 1:
        return z[d0 + D_POT_SENSOR]
    if channel == 2:
        return z[c0 + C_SENSOR]
    if channel == 3:
        held = 58.4e-6 * z[d0 + D_PARROT_E] + 18.05e-6 * z[d0 + D_PARROT_W]
        if held < 0.8 * world[G_PARROT]:
            return 1.0
        return z[d0 + D_STRENGTH_SENSOR]
    ethanol = z[d0 + D_COLLECTED_E]
    if channel == 4:
        water = z[d0 + D_COLLECTED_W]
        rho, _, _ = spirit(ethanol + 1e-12, water + 1e-12, strengths)
        return (ethanol * M_E + water * M_W) / rho
    return ethanol * M_E / _ETHANOL_DENSITY / world[G_CHARGE_LPA]


@jit
def between(z0, z1, q0, q1, theta, out):
    """State at the share theta of a step, by the method's own dense output."""
    left = 1.0 - theta
    for i in range(z0.shape[0]):
        out[i] = z0[i] * left + theta * (z1[i] + left * (q0[i] + theta * q1[i]))


@jit
def begin(z, phase, world, nb):
    """What happens at the start of a phase: its collecting begins at nought, both hands take over without a bump."""
    c0 = nb * BLOCK
    d0 = c0 + N_CONTROL
    z[d0 + D_COLLECTED_E] = 0.0
    z[d0 + D_COLLECTED_W] = 0.0
    if not math.isnan(phase[F_DEPH_FLOW]):
        z[c0 + C_INTEGRAL] = phase[F_DEPH_FLOW]
    else:
        z[c0 + C_INTEGRAL] = z[c0 + C_FLOW]
    if not math.isnan(phase[F_COND_FLOW]):
        z[d0 + D_INTEGRAL] = phase[F_COND_FLOW]
    else:
        z[d0 + D_INTEGRAL] = z[d0 + D_FLOW]
    z[c0 + C_INTEGRAL] = min(z[c0 + C_INTEGRAL], phase[F_HEAD_START])
    error = min(max(z[c0 + C_SENSOR] - phase[F_HEAD_SET], -_NEAR), _NEAR)
    z[c0 + C_INTEGRAL] -= phase[F_HEAD_GAIN] * error
    error = min(max(z[d0 + D_WATER] - phase[F_COND_SET], -_NEAR), _NEAR)
    z[d0 + D_INTEGRAL] -= phase[F_COND_GAIN] * error
    if phase[F_HEAD_GAIN] == 0.0:
        z[c0 + C_INTEGRAL] = set_by_hand(z[c0 + C_INTEGRAL], world[G_DEPH_MIN], world[G_DEPH_MAX])
    if phase[F_COND_GAIN] == 0.0:
        z[d0 + D_INTEGRAL] = set_by_hand(z[d0 + D_INTEGRAL], world[G_COND_MIN], world[G_COND_MAX])


@jit
def attempt(
    z, f, h, escaped, n_plates, stages, levels, world, phase, table, strengths, method, scale, tol, work, values,
    others, scratch, ds, j36, u_all, dense, z_new,
):  # fmt: skip
    """Try one step of size h from z, where the rates are f and `values` those of z; `others` is scratch.

    Fills z_new and the dense output, returns the error norm; infinity when a stage would run out of a substance.
    """
    gamma, a, c, m, e, fresh, _, d = method
    nb = stages.shape[0]
    nz = z.shape[0]
    shift = 1.0 / (h * gamma)
    factor(z, n_plates, shift, stages, world, phase, table, values, work)
    downstream_slopes(z, nb, world, phase, strengths, values, escaped, j36, ds)
    count = m.shape[0]
    z_stage = scratch[0]
    rate = scratch[1]
    v_top = scratch[2]
    for i in range(nz):
        rate[i] = f[i]
    for s in range(count):
        u = u_all[s]
        if s > 0 and fresh[s] > 0.0:
            for i in range(nz):
                z_stage[i] = z[i]
            for k in range(s):
                weight = a[s, k]
                if weight != 0.0:
                    for i in range(nz):
                        z_stage[i] += weight * u_all[k, i]
            for j in range(nb):
                k = j * BLOCK
                if z_stage[k + E] <= 0.0 or z_stage[k + W] <= 0.0:
                    return math.inf
            rates(z_stage, n_plates, stages, levels, world, phase, table, strengths, others, rate)
        for i in range(nz):
            u[i] = rate[i]
        for k in range(s):
            weight = c[s, k] / h
            for i in range(nz):
                u[i] += weight * u_all[k, i]
        solve_column(u, nb, work, v_top)
        solve_downstream(u, z, nb, n_plates + 1, shift, stages, world, phase, work[6], v_top, ds)
    for i in range(nz):
        total = z[i]
        for s in range(count):
            total += m[s] * u_all[s, i]
        z_new[i] = total
    for i in range(nz):
        low = 0.0
        high = 0.0
        for s in range(count):
            low += d[0, s] * u_all[s, i]
            high += d[1, s] * u_all[s, i]
        dense[0, i] = low
        dense[1, i] = high
    coldest = min(world[G_WATER], world[G_ROOM]) - _COLDER
    norm = 0.0
    used = 0
    for i in range(scale.shape[0]):
        size = scale[i, 0] + scale[i, 1] * max(abs(z[i]), abs(z_new[i]))
        if size > 0.0:
            wrong = 0.0
            for s in range(count):
                wrong += e[s] * u_all[s, i]
            wrong /= tol * size
            norm += wrong * wrong
            used += 1
    for j in range(nb):
        k = j * BLOCK
        if z_new[k + E] <= 0.0 or z_new[k + W] <= 0.0:
            return math.inf
        # Nothing cools water below inlet and room: a step that says so has missed a kink.
        if j > n_plates and z_new[k + X] < coldest:
            return _MISSED
    if z_new[nb * BLOCK + N_CONTROL + D_WATER] < coldest:
        return _MISSED
    return math.sqrt(norm / used)


@jit
def simulate(
    z, n_plates, stage_sets, level_sets, world, phases, end_channel, end_threshold, end_sign, table, strengths, method,
    scale, tol, most_steps, work, nodes, phase_ends, phase_causes, phase_states, phase_rows, counts,
):  # fmt: skip
    """Run all phases. z is changed in place to the last state.

    stage_sets (phases, blocks, N_STAGE), level_sets (phases, blocks) m3, end_* (phases, conditions; channel -1: none),
    nodes (rows, columns): a report at the start of every phase and after every step; phase_rows: the row that ends a
    phase. counts: rows, steps, rejected steps, status, phase reached.
    """
    nz = z.shape[0]
    nb = stage_sets.shape[1]
    c0 = nb * BLOCK
    d0 = c0 + N_CONTROL
    n_phases = phases.shape[0]
    count = method[2].shape[0]
    values = np.zeros((nb, N_VALUES))
    others = np.zeros((nb, N_VALUES))
    scratch = np.zeros((4, nz))
    ds = np.zeros(N_SLOPES)
    j36 = np.zeros((3, 6))
    u_all = np.zeros((count, nz))
    dense = np.zeros((2, nz))
    z_new = np.zeros(nz)
    f_new = np.zeros(nz)
    f = np.zeros(nz)
    z_mid = scratch[3]
    t = 0.0
    h = 5.0
    rows = 0
    steps = 0
    rejected = 0
    exponent = 1.0 / method[6]
    counts[3] = FINISHED
    for index in range(n_phases):
        phase = phases[index]
        stages = stage_sets[index]
        levels = level_sets[index]
        counts[4] = index
        begin(z, phase, world, nb)
        started = t
        quiet = 0.0
        cause = -9
        for k in range(end_channel.shape[1]):
            if end_channel[index, k] >= 0 and cause == -9:
                g = end_value(end_channel[index, k], 0.0, z, d0, c0, world, strengths) - end_threshold[index, k]
                if end_sign[index, k] * g >= 0.0:
                    cause = k
        h = min(h, 2.0)
        h_before = h
        norm_before = 0.0
        just_rejected = False
        same = 0
        escaped = rates(z, n_plates, stages, levels, world, phase, table, strengths, values, f)
        if rows < nodes.shape[0]:
            report(t, index, z, n_plates, stages, world, phase, values, f, nodes[rows])
            rows += 1
        while cause == -9:
            if steps >= most_steps:
                counts[3] = TOO_LONG
                break
            left = started + phase[F_AT_MOST] - t
            last = h >= left
            if last:
                h = left
            norm = attempt(
                z, f, h, escaped, n_plates, stages, levels, world, phase, table, strengths, method, scale, tol, work,
                values, others, scratch, ds, j36, u_all, dense, z_new,
            )  # fmt: skip
            steps += 1
            if not norm <= 1.0:
                rejected += 1
                just_rejected = True
                h *= max(_SHRINK, _SAFETY * norm**-exponent) if norm < math.inf else _SHRINK
                if h < _SMALLEST:
                    counts[3] = STUCK
                    break
                continue
            escaped_new = rates(z_new, n_plates, stages, levels, world, phase, table, strengths, others, f_new)
            # does an end condition fire within the step?
            theta = 2.0
            fired = -1
            for k in range(end_channel.shape[1]):
                channel = end_channel[index, k]
                if channel < 0:
                    continue
                sign = end_sign[index, k]
                bound = end_threshold[index, k]
                if sign * (end_value(channel, t + h - started, z_new, d0, c0, world, strengths) - bound) < 0.0:
                    continue
                low = 0.0
                high = 1.0
                for _ in range(40):
                    middle = 0.5 * (low + high)
                    between(z, z_new, dense[0], dense[1], middle, z_mid)
                    g = end_value(channel, t + middle * h - started, z_mid, d0, c0, world, strengths) - bound
                    if sign * g >= 0.0:
                        high = middle
                    else:
                        low = middle
                if high < theta:
                    theta = high
                    fired = k
            if fired >= 0 and theta * h > _SMALLEST and theta < 1.0 - 1e-9:
                h *= theta
                attempt(
                    z, f, h, escaped, n_plates, stages, levels, world, phase, table, strengths, method, scale, tol,
                    work, values, others, scratch, ds, j36, u_all, dense, z_new,
                )  # fmt: skip
                steps += 1
                escaped_new = rates(z_new, n_plates, stages, levels, world, phase, table, strengths, others, f_new)
            for j in range(nb):
                for i in range(N_VALUES):
                    values[j, i] = others[j, i]
            if phase[F_HEAD_GAIN] > 0.0:
                quiet = quiet + h if f_new[d0 + D_TOP] < _FAINT * world[G_SOFT_V] else 0.0
            t += h
            for i in range(nz):
                z[i] = z_new[i]
                f[i] = f_new[i]
            escaped = escaped_new
            if rows >= nodes.shape[0]:
                counts[3] = TOO_LONG
                break
            report(t, index, z, n_plates, stages, world, phase, values, f, nodes[rows])
            rows += 1
            if fired >= 0:
                cause = fired
            elif z[E] + z[W] < world[G_POT_DRY]:
                cause = BOILED_DRY
            elif quiet > _QUIET:
                cause = NO_PRODUCT
            elif last:
                cause = AT_MOST
            # Gustafsson's predictive step control: a step that got harder promises another one that does
            growth = _SAFETY * max(norm, 1e-8) ** -exponent
            if norm_before > 0.0 and fired < 0:
                growth = min(growth, _SAFETY * h / h_before * (norm_before / max(norm * norm, 1e-16)) ** exponent)
            growth = min(_GROW, max(_SHRINK, growth))
            if just_rejected:
                growth = min(growth, 1.0)
            # A step map can have a fixed point off the slow manifold: the same step again and again. Break it.
            same = same + 1 if abs(h * growth - h) < _ALIKE * h else 0
            if same >= _REPEATS:
                growth = _SHRINK
                same = 0
            norm_before = max(norm, 1e-2)
            h_before = h
            just_rejected = False
            h *= growth
        phase_ends[index] = t
        phase_causes[index] = cause
        for i in range(nz):
            phase_states[index, i] = z[i]
        phase_rows[index] = rows - 1
        if counts[3] != FINISHED or cause in (AT_MOST, BOILED_DRY):
            break
    counts[0] = rows
    counts[1] = steps
    counts[2] = rejected
