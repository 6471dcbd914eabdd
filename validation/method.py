"""The engine's Rosenbrock coefficients in a few lines of NumPy, on a published column."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from middlerun.column.kernels.method import RODAS4, Method

# Hahn & Edgar, Comput. Chem. Eng. 26 (2002) 1379; read in a public modelling tutorial, which swaps the labels.
TOP, BOTTOM = 0.935420, 0.064581
STAGES, FEED = 32, 16
_VOLATILITY, _RATIO, _FEED_FLOW, _FEED_X = 1.6, 3.0, 2.0, 0.5

Function = Callable[[np.ndarray], np.ndarray]


def step(
    f: Function, jacobian: np.ndarray, y: np.ndarray, h: float, method: Method = RODAS4
) -> tuple[np.ndarray, np.ndarray]:
    """Take one step of size h; return the new state and the error estimate.

    (1/(h gamma) I - J) U_i = f(y + sum a_ij U_j) + sum c_ij U_j / h: Hairer & Wanner, Solving Ordinary Differential
    Equations II (Springer 1996), section IV.7, for a system that does not depend on time by itself.
    """
    stages = len(method.m)
    u = np.zeros((stages, len(y)))
    matrix = np.eye(len(y)) / (h * method.gamma) - jacobian
    for i in range(stages):
        u[i] = np.linalg.solve(matrix, f(y + method.a[i, :i] @ u[:i]) + method.c[i, :i] @ u[:i] / h)
    return y + method.m @ u, method.e @ u


def column(x: np.ndarray) -> np.ndarray:
    """Return dx/dt (1/min) of the column: condenser (0), trays, feed tray, trays, reboiler; constant molar overflow."""
    distillate = 0.5 * _FEED_FLOW
    above, vapour = _RATIO * distillate, (_RATIO + 1.0) * distillate
    below = above + _FEED_FLOW
    y = _VOLATILITY * x / (1.0 + (_VOLATILITY - 1.0) * x)
    rate = np.empty_like(x)
    rate[0] = vapour * (y[1] - x[0]) / 0.5
    for i in range(1, STAGES - 1):
        down = above if i < FEED else below
        came = above if i <= FEED else below
        fed = _FEED_FLOW * _FEED_X if i == FEED else 0.0
        rate[i] = (came * x[i - 1] - down * x[i] + vapour * (y[i + 1] - y[i]) + fed) / 0.25
    rate[-1] = (below * x[-2] - (below - vapour) * x[-1] - vapour * y[-1]) / 0.1
    return rate


def slopes(x: np.ndarray) -> np.ndarray:
    """Return the Jacobian of `column` by central differences, exact enough: it is nearly linear."""
    steps = 1e-6 * np.eye(STAGES)
    return np.column_stack([(column(x + d) - column(x - d)) / 2e-6 for d in steps])


def hahn_edgar(h: float = 0.25) -> tuple[float, float]:
    """Return x in condenser and reboiler after 120 min with steps of h min."""
    x = np.full(STAGES, 0.3)
    for _ in range(round(120.0 / h)):
        x, _ = step(column, slopes(x), x, h)
    return float(x[0]), float(x[-1])
