"""When to run: hours a week over all weather years, storage, and the year's water jobs."""

import numpy as np
import numpy.typing as npt

from topwire.values.calendar import WEEKS, week_of_day
from topwire.water.climate import DAYS
from topwire.water.findings import WaterDay, WaterJob

Array = npt.NDArray[np.float64]

LEAST_FLUSH = 0.3  # [m/s] at the end of a line, source KB90
WORTH_RUNNING = 0.05  # [h a week] less is not told
_MIDDLE_AND_NINE = (50.0, 90.0)
_FLUSH_EVERY = 28  # [d] common practice
_EMPTY_AFTER_FROST = (
    7  # [d] after the first light frost, before the ground or a pipe freezes; common practice
)


def weekly(daily: Array) -> Array:
    """Sums by week of the year along the first axis, (days, ...) to (52, ...), evened over five weeks.

    The soil does not care in which week of a few its water comes; the evening keeps the season's sum.
    """
    week = week_of_day(np.arange(1, DAYS + 1)) - 1
    sums = np.zeros((WEEKS, *daily.shape[1:]))
    np.add.at(sums, week, daily)
    shares = zip((-2, -1, 0, 1, 2), (1 / 9, 2 / 9, 3 / 9, 2 / 9, 1 / 9), strict=True)
    evened: Array = sum((share * np.roll(sums, by, axis=0) for by, share in shares), np.zeros_like(sums))
    return evened


def middle_and_nine_in_ten(by_year: Array) -> Array:
    """(weeks, years, leaves) to (leaves, 2, weeks): the middle of the years, and what is enough in nine of ten."""
    found: Array = np.percentile(by_year, _MIDDLE_AND_NINE, axis=1).transpose(2, 0, 1)
    return found


def calendar(
    *, bud_break: float, first_frost: float, hours: Array, drinking_water: bool
) -> tuple[WaterDay, ...]:
    """The year's jobs with the water, by the middle year's days.

    Parameters
    ----------
    bud_break, first_frost : [d] of the year
    hours : (weeks,) [h] of the middle of the years, trees full grown
    """
    running = np.flatnonzero(hours > WORTH_RUNNING)
    begin, last = (int(running[0]) * 7 + 1, int(running[-1]) * 7 + 7) if running.size else (152, 244)
    empty = max(round(first_frost) + _EMPTY_AFTER_FROST, begin)
    last = min(last, empty)
    days = [
        WaterDay(WaterJob.OPEN, round(bud_break)),
        WaterDay(WaterJob.BEGIN, begin),
        *(
            WaterDay(WaterJob.FLUSH, day)
            for day in range(begin + _FLUSH_EVERY, max(last, begin + _FLUSH_EVERY + 1), _FLUSH_EVERY)
        ),
        WaterDay(WaterJob.LAST, last),
        WaterDay(WaterJob.EMPTY, empty),
    ]
    if drinking_water:
        days.append(WaterDay(WaterJob.TEST_BACKFLOW, round(bud_break)))
    order = list(WaterJob)
    return tuple(sorted(days, key=lambda entry: (entry.day, order.index(entry.job))))
