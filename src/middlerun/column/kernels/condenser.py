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
    taken = 0.5 * (latent + most - root)
    escaped = vapour * 0.5 * (latent - most + root) / (latent + 1e-9)
    capacity = ethanol * (AE + 2.0 * BE * t) + (vapour - ethanol) * (AW + 2.0 * BW * t)
    share = taken / most
    product_t = world[G_WATER] + (t - world[G_WATER]) * math.exp(-world[G_COND_UA] * (1.0 - share) / (capacity + 1e-6))
    cooled = capacity * (t - product_t) * (1.0 - escaped / (vapour + 1e-12))
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
