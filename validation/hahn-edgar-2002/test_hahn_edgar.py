"""The engine's method on the dynamic binary column of Hahn & Edgar, Comput. Chem. Eng. 26 (2002) 1379."""

import numpy as np
import pytest

from validation import method


def test_column_after_two_hours():
    """Printed to six digits; other implicit solvers give 0.9354194 and 0.0645806."""
    top, bottom = method.hahn_edgar()
    assert top == pytest.approx(method.TOP, abs=2e-6)
    assert bottom == pytest.approx(method.BOTTOM, abs=2e-6)
    assert top + bottom == pytest.approx(1.0, abs=1e-6)  # half of a feed of one half goes each way


def test_steps_of_any_size_end_at_the_same_place():
    coarse, fine = method.hahn_edgar(1.0), method.hahn_edgar(0.25)
    assert coarse == pytest.approx(fine, abs=1e-7)


def test_order_four_on_a_nonlinear_oscillator():
    """Van der Pol's equation, not stiff: halving the step divides the error by sixteen."""

    def f(y):
        return np.array([y[1], -y[0] - 0.3 * y[1] * (y[0] ** 2 - 1.0)])

    def slopes(y):
        return np.array([[0.0, 1.0], [-1.0 - 0.6 * y[0] * y[1], -0.3 * (y[0] ** 2 - 1.0)]])

    def run(steps):
        y = np.array([1.0, 0.0])
        for _ in range(steps):
            y, _ = method.step(f, slopes(y), y, 4.0 / steps)
        return y

    exact = run(2000)
    errors = [abs(run(steps) - exact).max() for steps in (40, 80, 160)]
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert orders.min() > 3.6


def test_error_estimate_is_of_order_three():
    """So that the step follows the fourth root of the estimate."""

    def f(y):
        return np.array([-(y[0] ** 2)])

    estimates = []
    for h in (0.02, 0.01):
        y = np.array([1.0])
        _, error = method.step(f, np.array([[-2.0]]), y, h)
        estimates.append(abs(error[0]))
    assert np.log2(estimates[0] / estimates[1]) == pytest.approx(4.0, abs=0.2)


def test_fast_modes_die_within_a_step():
    """L-stable: the answer to a fast decay goes to nought as one over its rate."""

    def answer(rate):
        y, _ = method.step(lambda y: -rate * y, np.array([[-rate]]), np.array([1.0]), 1.0)
        return float(y[0])

    assert abs(answer(1e4)) < 1e-3
    assert answer(1e8) == pytest.approx(1e-2 * answer(1e6), rel=1e-3)
    assert answer(0.01) == pytest.approx(np.exp(-0.01), abs=1e-11)
