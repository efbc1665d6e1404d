"""A grid cell's temperatures beside a station's: what the cell is off, month by month, where both have days.

A cell of tens of kilometres has no hollows: its nights are mostly too warm (sources LOPES2024, BETTS2017, IRANPOWER).
A monthly step takes the mean error away, not the nights that differ: of the frosts about a quarter to a third stay
missed (source CELLTRIAL). So a cell's lowest never carries a frost verdict alone.
"""

import numpy as np

from topwire.values.arrays import Days, Floats

FEWEST_COMMON = 90  # [d] of a month in which both have a value, before the cell is moved in it
CLEARLY = 0.1  # of a correlation, from which another day fits better
CELL_MATTERS = 0.1  # share of spring nights from a cell, from which frost figures rest on it


def monthly_steps(day: Days, cell: Floats, station: Floats) -> Floats:
    """What has to be added to the cell in each month. (12,) [K]; NaN in months with too few common days.

    Parameters
    ----------
    day : (days,)
    cell, station : (days,) [deg C]; NaN where missing
    """
    month = month_of(day)
    apart = station - cell
    known = np.isfinite(apart)
    count = np.bincount(month[known], minlength=12)
    total = np.bincount(month[known], weights=apart[known], minlength=12)
    steps: Floats = np.where(count >= FEWEST_COMMON, total / np.maximum(count, 1), np.nan)
    return steps


def moved(day: Days, cell: Floats, steps: Floats) -> Floats:
    """The cell's values with its months' steps; months without one stay as they are. (days,) [deg C]"""
    found: Floats = cell + np.nan_to_num(steps)[month_of(day)]
    return found


def day_shift(day: Days, cell: Floats, station: Floats) -> int:
    """Days by which the station's values lag behind the cell's, as where a day's highest is read the next morning.

    Looked for among -1, 0 and 1 by the correlation of the changes from day to day; 0 unless another is clearly better.
    """
    found = {}
    for shift in (-1, 0, 1):
        one, other = np.diff(np.roll(cell, shift)), np.diff(station)
        known = np.isfinite(one) & np.isfinite(other)
        if known.sum() < FEWEST_COMMON or one[known].std() == 0 or other[known].std() == 0:
            return 0
        found[shift] = float(np.corrcoef(one[known], other[known])[0, 1])
    best = max(found, key=lambda shift: found[shift])
    return best if found[best] > found[0] + CLEARLY else 0


def month_of(day: Days) -> np.ndarray:
    """0 = January. (days,)"""
    return day.astype("datetime64[M]").astype(np.int64) % 12


def spring_share(day: Days, from_cell: np.ndarray) -> float:
    """Share of the nights of April and May whose lowest comes from a cell."""
    spring = np.isin(month_of(day), (3, 4))
    return float(from_cell[spring].mean()) if spring.any() else 0.0
