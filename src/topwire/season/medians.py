"""The middle of days over the years."""

import numpy as np

from topwire.phenology.forecast import Array


def medians(days: Array) -> Array:
    """Of each column, over the days there are; NaN where there is none."""
    rows = np.sort(days, axis=0)  # NaN last
    count = np.isfinite(days).sum(axis=0)
    at = np.arange(days.shape[1])
    low, high = (rows[np.clip(one, 0, days.shape[0] - 1), at] for one in ((count - 1) // 2, count // 2))
    return np.where(count > 0, (low + high) / 2, np.nan)
