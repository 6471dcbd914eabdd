"""What an instrument shows of a series: a first-order lag, exact for values that run straight between the rows."""

from __future__ import annotations

import math

from middlerun.column.kernels.compiled import jit


@jit
def lagged(time, values, lag, out):
    """Fill `out` with what an instrument of time constant `lag` (s) shows of `values` at `time` (s), all of shape (n,).

    It begins by showing the first value, and again after a gap of NaN.
    """
    shown = math.nan
    for i in range(time.shape[0]):
        x = values[i]
        if math.isnan(x) or math.isnan(shown) or lag <= 0.0:
            shown = x
        else:
            dt = time[i] - time[i - 1]
            if dt > 0.0:
                behind = (x - values[i - 1]) / dt * lag  # what a steady climb leaves the instrument behind
                low = min(shown, values[i - 1], x)
                high = max(shown, values[i - 1], x)
                shown = x - behind + (shown - values[i - 1] + behind) * math.exp(-dt / lag)
                shown = min(max(shown, low), high)  # rounding only: a lag never leaves what it has seen
        out[i] = shown
