"""Yang et al., J. Phys. Chem. 83 (1979), 298.15 K: pressure has a limit; y contradicts the better table next to it."""

import numpy as np

from middlerun import substances
from validation import vle_scores as vle

TABLE = vle.load("Yang et al. 1979, 298.15 K")


def test_pressure():
    p, _ = substances.bubble_pressure(TABLE.x, TABLE.T)
    assert len(TABLE.x) == 9
    assert np.abs(p / TABLE.p - 1.0).mean() <= 0.016


def test_vapour_contradicts_pemberton_and_mash_more_than_five_kelvin_can():
    other = vle.load("Pemberton & Mash 1978, 303.15 K")
    inside = TABLE.x > 0.1
    found_higher_up = np.interp(TABLE.x[inside], other.x, other.y)
    gap = TABLE.y[inside] - found_higher_up
    _, at_25 = substances.bubble_pressure(TABLE.x[inside], 298.15)
    _, at_30 = substances.bubble_pressure(TABLE.x[inside], 303.15)
    assert np.abs(at_25 - at_30).max() < 0.005
    assert gap.min() > 3 * np.abs(at_25 - at_30).max()
