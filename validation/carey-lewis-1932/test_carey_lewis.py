"""Carey & Lewis, Ind. Eng. Chem. 24 (1932) 882: the public functions against all 15 rows."""

import numpy as np

from middlerun import substances
from validation import vle_scores as vle

TABLE = vle.load("Carey & Lewis 1932, 101.3 kPa")


def test_mean_errors():
    T, y = substances.bubble_point(TABLE.x, TABLE.p)
    assert len(TABLE.x) == 15
    assert np.abs(T - TABLE.T).mean() <= 0.3
    assert np.abs(y - TABLE.y).mean() <= 0.007


def test_azeotrope_row():
    x, T = substances.azeotrope(101325.0)
    assert abs(x - TABLE.x[-1]) <= 0.003
    assert abs(T - TABLE.T[-1]) <= 0.05


def test_dew_points_from_the_vapour_column():
    """Backwards: 0.007 in y is 0.03 in x where y is flattest (slope 0.25), and 0.3 K more at 40 K per 1."""
    T, x = substances.dew_point(TABLE.y, TABLE.p)
    assert np.abs(T - TABLE.T).mean() <= 0.6
    assert np.abs(x - TABLE.x).mean() <= 0.03
