"""The kitchen's week: 52 weeks of the calendar year, the last one a day or two longer.

Week 1 is 1 to 7 January; week 52 runs to 31 December. A harvest after New Year keeps counting days (day of
year above 365) and wraps to the weeks of the next year.
"""

from datetime import date, timedelta

import numpy as np
import numpy.typing as npt

WEEKS = 52


def week_of_day(day_of_year: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """Week 1 to 52 of a day of the year (1 = 1 January; days beyond 365 wrap).

    Parameters
    ----------
    day_of_year : array_like
        [d], any shape, finite.
    """
    day = np.floor(np.asarray(day_of_year, dtype=float)).astype(np.int64)
    week: npt.NDArray[np.int64] = np.minimum(((day - 1) % 365) // 7, WEEKS - 1) + 1
    return week


def first_day(week: int) -> date:
    """First day of the week in a common year (2001), for labels."""
    return date(2001, 1, 1) + timedelta(days=7 * (int(week) - 1))


def week_label(week: int) -> str:
    """ "27 Aug" for week 35: the week's first day."""
    day = first_day(week)
    return f"{day.day} {day:%b}"


def day_label(day_of_year: float) -> str:
    """ "12 May" for day 132 of a common year; days beyond 365 run into the next year."""
    day = date(2001, 1, 1) + timedelta(days=round(day_of_year) - 1)
    return f"{day.day} {day:%b}"


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
DAYS_IN_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_STARTS = (
    0,
    31,
    59,
    90,
    120,
    151,
    181,
    212,
    243,
    273,
    304,
    334,
    365,
)  # days before each month of a common year
