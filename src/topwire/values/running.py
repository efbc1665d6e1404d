"""Sums that remember what went before."""

from itertools import accumulate

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def running_sum(values: Array, keeps: float, axis: int = -1) -> Array:
    """Each value and `keeps` times the sum before it, along an axis. Same unit and shape as `values`."""
    along = np.moveaxis(values, axis, 0)
    return np.moveaxis(np.array(list(accumulate(along, lambda before, now: keeps * before + now))), 0, axis)
