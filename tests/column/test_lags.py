"""The lag of an instrument against the exact response of a first-order system (any control textbook)."""

from __future__ import annotations

import numpy as np
import pytest

from middlerun.column.kernels.lags import lagged

TIME = np.arange(0.0, 301.0, 10.0)


def _shown(values: np.ndarray, lag: float) -> np.ndarray:
    out = np.empty_like(values)
    lagged(TIME, values, lag, out)
    return out


@pytest.mark.parametrize("lag", [2.0, 15.0, 120.0])
def test_a_ramp_is_followed_one_lag_behind(lag):
    """y = r (t - lag (1 - exp(-t/lag))) for x = r t."""
    assert _shown(0.3 * TIME, lag) == pytest.approx(0.3 * (TIME - lag * (1.0 - np.exp(-TIME / lag))), abs=1e-12)


def test_a_step_dies_away_exponentially():
    """A rise from 0 to 1 between two rows, then constant: what is missing falls by exp(-dt/lag) a row."""
    shown = _shown(np.where(TIME >= 10.0, 1.0, 0.0), 20.0)
    assert (1.0 - shown[2:]) / (1.0 - shown[1:-1]) == pytest.approx(np.exp(-0.5))


def test_no_lag_shows_the_truth_and_a_gap_starts_anew():
    values = np.sin(TIME / 50.0)
    assert _shown(values, 0.0) == pytest.approx(values)
    values[10:15] = np.nan
    shown = _shown(values, 30.0)
    assert np.isnan(shown[10:15]).all()
    assert shown[15] == values[15]
    assert np.isfinite(shown[15:]).all()
