"""Kirschbaum & Gerstner 1939, 740 and 250 mmHg: the public functions against every row."""

import numpy as np
import pytest

from middlerun import substances
from validation import vle_scores as vle


@pytest.mark.parametrize(
    ("title", "rows", "limit_y"),
    [("Kirschbaum & Gerstner 1939, 98.7 kPa", 18, 0.007), ("Kirschbaum & Gerstner 1939, 33.3 kPa", 28, 0.015)],
)
def test_mean_errors(title, rows, limit_y):
    table = vle.load(title)
    T, y = substances.bubble_point(table.x, table.p)
    assert len(table.x) == rows
    assert np.abs(T - table.T).mean() <= 0.3
    assert np.abs(y - table.y).mean() <= limit_y


def test_pressure_is_carried_right():
    """Between 98.7 and 33.3 kPa the mean temperature error changes by less than 0.3 K over a fall of 25 K."""
    errors = []
    for title in ("Kirschbaum & Gerstner 1939, 98.7 kPa", "Kirschbaum & Gerstner 1939, 33.3 kPa"):
        table = vle.load(title)
        errors.append(np.mean(substances.bubble_point(table.x, table.p)[0] - table.T))
    assert abs(errors[0] - errors[1]) < 0.3


def test_azeotrope_in_thin_air():
    assert 0.91 <= substances.azeotrope(33330.6)[0] <= 0.925
