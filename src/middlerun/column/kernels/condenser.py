"""The product condenser: heat taken, vapour that escapes, temperature of the product.

Condensing first, in the hot part of the surface; what surface is left cools the product towards the water coming in.
"""

from __future__ import annotations

import math

from middlerun.column.kernels.basics import AE, AW, BE, BW, exchanger, liquid_enthalpies
from middlerun.column.kernels.compiled import jit
from middlerun.column.kernels.layout import CP_WATER, G_COND_CELLS, G_COND_FLOOR, G_COND_UA, G_WATER

_SHARP = 4e-6  # square of the relative rounding where heat to be taken meets heat that can be taken


@jit
def condense(vapour, ethanol, heat, t, flow, out_t, world):
    """Heat to the water W, vapour that escapes mol/s, product temperature Cel, share of the surface that condenses.

    vapour, ethanol mol/s and the enthalpy W that they bring at t Cel; water flow kg/s leaving at out_t Cel.
    """
    le, lw = liquid_enthalpies(t)
    latent = heat - ethanol * le - (vapour - ethanol) * lw
    k, _ = exchanger(world[G_COND_UA], world[G_COND_CELLS], world[G_COND_FLOOR], flow * CP_WATER)
    most = k * max(t - out_t, 1e-6) + 1e-9
    latent = max(latent, 0.0)
    root = math.sqrt((latent - most) ** 2 + _SHARP * latent * most)
    # The rounded minimum of latent and most, and what is left of latent, in forms that do not cancel.
    taken = 2.0 * latent * most * (1.0 - 0.25 * _SHARP) / (latent + most + root)
    left = 0.5 * (latent - most + root) if latent > most else 0.5 * _SHARP * latent * most / (root + most - latent)
    escaped = vapour * left / (latent + 1e-9)
    inlet = world[G_WATER]
    capacity = ethanol * (AE + BE * (t + inlet)) + (vapour - ethanol) * (AW + BW * (t + inlet))
    product_t = inlet + (t - inlet) * math.exp(-world[G_COND_UA] * (1.0 - taken / most) / (capacity + 1e-6))
    mean = ethanol * (AE + BE * (t + product_t)) + (vapour - ethanol) * (AW + BW * (t + product_t))
    cooled = mean * (t - product_t) * (1.0 - escaped / (vapour + 1e-12))
    return taken + cooled, escaped, product_t, latent / most


@jit
def condenser_slopes(vapour, ethanol, heat, t, flow, out_t, world, j):
    """Fill j (3, 6): derivatives of heat, escaping vapour, product temperature by the six inputs, by differences."""
    q0, u0, p0, _ = condense(vapour, ethanol, heat, t, flow, out_t, world)
    for k in range(6):
        size = 1e-7
        if k == 0:
            d = size * max(abs(vapour), 1e-6)
            q, u, p, _ = condense(vapour + d, ethanol, heat, t, flow, out_t, world)
        elif k == 1:
            d = size * max(abs(ethanol), 1e-6)
            q, u, p, _ = condense(vapour, ethanol + d, heat, t, flow, out_t, world)
        elif k == 2:
            d = size * max(abs(heat), 1e-1)
            q, u, p, _ = condense(vapour, ethanol, heat + d, t, flow, out_t, world)
        elif k == 3:
            d = size * 100.0
            q, u, p, _ = condense(vapour, ethanol, heat, t + d, flow, out_t, world)
        elif k == 4:
            d = size * max(abs(flow), 1e-3)
            q, u, p, _ = condense(vapour, ethanol, heat, t, flow + d, out_t, world)
        else:
            d = size * 100.0
            q, u, p, _ = condense(vapour, ethanol, heat, t, flow, out_t + d, world)
        j[0, k] = (q - q0) / d
        j[1, k] = (u - u0) / d
        j[2, k] = (p - p0) / d
