"""Hours of work by task, year and week."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.ledger.findings import ShortWeek
from topwire.values.arrays import Floats
from topwire.values.calendar import WEEKS, week_of_day


@dataclass(frozen=True)
class LabourRow:
    """One row of labour.csv: the rate of a task. When it is done stands in work_calendar.csv."""

    task: str
    basis: str  # “min/tree”, “h/ha”, “h/100 m”, “kg/h”, “h each”
    low: float
    middle: float
    high: float
    source: str | None
    mark: str
    remark: str | None


def spread_over_weeks(first_day: float, last_day: float) -> Floats:
    """Share of the work in each of the 52 weeks when it is spread evenly from `first_day` to `last_day`.

    Parameters
    ----------
    first_day, last_day : float
        Day of year; may run beyond 365 into the next year's first weeks.

    Returns
    -------
    ndarray
        Shape (52,), sums to 1.
    """
    if not (np.isfinite(first_day) and np.isfinite(last_day)):
        raise ValueError("work without a date cannot be spread over weeks")
    first, last = int(np.floor(first_day)), int(np.floor(max(first_day, last_day)))
    weeks = week_of_day(np.arange(first, last + 1))
    return np.bincount(weeks - 1, minlength=WEEKS) / len(weeks)


def per_tree_hours(minutes: float, trees: npt.ArrayLike) -> Floats:
    """Hours for a task of so many minutes a tree."""
    return np.asarray(np.asarray(trees, dtype=float) * minutes / 60)


def crop_hours(kilograms: npt.ArrayLike, rate: float) -> Floats:
    """Hours for a crop at a rate [kg/h]."""
    if rate <= 0:
        raise ValueError("a rate of work is above 0 kg/h")
    return np.asarray(np.asarray(kilograms, dtype=float) / rate)


def short_weeks(hours: Floats, there_are: float) -> tuple[ShortWeek, ...]:
    """Weeks that need more hours than there are, in order of time.

    Parameters
    ----------
    hours : ndarray
        Of all tasks together, shape (years, 52). [h]
    there_are : float
        Hours the hands give in a week. [h]
    """
    beyond = hours - there_are
    return tuple(
        ShortWeek(int(year), int(week) + 1, float(beyond[year, week]))
        for year, week in np.argwhere(beyond > 0.05)
    )
