"""Derivatives by differences: an independent way to what the kernels derive by hand."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np


def jacobian(f: Callable[[np.ndarray], np.ndarray], z: np.ndarray, step: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return df/dz (n, n) and an estimate of its error, from central differences with steps halved six times.

    Richardson's extrapolation in Ridders' form (Ridders, Adv. Eng. Software 4 (1982) 75): of all entries of the
    triangle the one that agrees best with its neighbours is taken, so that rounding and curvature both show.
    """
    n = len(z)
    best, error = np.zeros((n, n)), np.full((n, n), np.inf)
    for i in range(n):
        before: list[np.ndarray] = []
        for k in range(7):
            high, low = z.copy(), z.copy()
            high[i] += step[i] / 2**k
            low[i] -= step[i] / 2**k
            row = [(f(high) - f(low)) / (high[i] - low[i])]
            for m, older in enumerate(before):
                better = (4.0 ** (m + 1) * row[m] - older) / (4.0 ** (m + 1) - 1.0)
                gap = np.maximum(abs(better - row[m]), abs(better - older))
                closer = gap < error[:, i]
                best[closer, i], error[closer, i] = better[closer], gap[closer]
                row.append(better)
            before = row
    return best, error
