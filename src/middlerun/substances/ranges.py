"""One range check for the public array functions of this room and the next."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from middlerun.errors import OutOfRangeError

__all__ = ["checked"]


def checked(what: str, value: ArrayLike, low: float, high: float, unit: str, remedy: str) -> NDArray[np.float64]:
    """Return `value` as a float array; OutOfRangeError names the first number outside low to high, or not finite.

    >>> checked("pressure", 101325, 20e3, 120e3, "Pa", "").item()
    101325.0
    """
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError) as error:
        raise OutOfRangeError.of(what, repr(value), low, high, unit, f"It must be a number. {remedy}") from error
    if np.all((array >= low) & (array <= high)):
        return array
    # -20 Cel as a sum is 253.14999999999998 K: what rounding alone puts outside is set on the end of the range.
    slack = 1e-12 * max(abs(low), abs(high))
    inside = (array >= low - slack) & (array <= high + slack)
    if not np.all(inside):
        bad = float(array[~inside].flat[0]) if array.ndim else float(array)
        raise OutOfRangeError.of(what, f"{bad:g}", f"{low:g}", f"{high:g}", unit, remedy)
    return np.asarray(np.clip(array, low, high))
