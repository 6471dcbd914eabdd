"""Rosenbrock methods as tables of numbers, handed to the one stepper in `integrate`.

Transformed form of Hairer & Wanner, Solving Ordinary Differential Equations II, section IV.7 (Springer 1996):
(1/(h gamma) I - J) U_i = f(y + sum a_ij U_j) + sum c_ij U_j / h; y_new = y + sum m_i U_i; error = sum e_i U_i.
The coefficients are those of the authors' RODAS, described there; digits from memory (high): order of solution and
error estimate and L-stability are tested against what the method must do.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np


class Method(NamedTuple):
    """A Rosenbrock method: a, c (s, s); m, e (s); `fresh` (s): 1 where a stage needs a new evaluation of the rates."""

    gamma: float
    a: np.ndarray
    c: np.ndarray
    m: np.ndarray
    e: np.ndarray
    fresh: np.ndarray
    order: float  # of the error estimate plus one
    d: np.ndarray  # (2, s), dense output: y0 (1-q) + q (y1 + (1-q) (d0.U + q d1.U)), q the share of the step


def _lower(rows: list[list[float]], size: int) -> np.ndarray:
    table = np.zeros((size, size))
    for i, row in enumerate(rows):
        table[i + 1, : len(row)] = row
    return table


def _rodas4() -> Method:
    last = [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950]
    a = _lower(
        [
            [1.544],
            [0.9466785280815826, 0.2557011698983284],
            [3.314825187068521, 2.896124015972201, 0.9986419139977817],
            last,
            [*last, 1.0],
        ],
        6,
    )
    c = _lower(
        [
            [-5.6688],
            [-2.430093356833875, -0.2063599157091915],
            [-0.1073529058151375, -9.594562251023355, -20.47028614809616],
            [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160],
            [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
        ],
        6,
    )
    m = np.array([*last, 1.0, 1.0])
    d = np.array(
        [
            [10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0.0],
            [-0.6762803392806353, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0.0],
        ]
    )
    return Method(0.25, a, c, m, np.array([0.0, 0, 0, 0, 0, 1.0]), np.ones(6), 4.0, d)


RODAS4 = _rodas4()
