"""When to run: hours a week over all weather years, storage, and the year's water jobs."""

import numpy as np
import numpy.typing as npt

from topwire.values.calendar import WEEKS, week_of_day
from topwire.water.climate import DAYS
from topwire.water.findings import WaterDay, WaterJob

Array = npt.NDArray[np.float64]

LEAST_FLUSH = 0.3  # [m/s] at the end of a line, source KB90
WORTH_RUNNING = 0.25  # [h a week] less is not told
_MIDDLE_AND_NINE = (50.0, 90.0)
_EVENED = {-2: 1, -1: 2, 0: 3, 1: 2, 2: 1}  # weights of the weeks about one


def weekly(daily: Array, begins: float = 1.0, empties: float = 365.0) -> Array:
    """Sums by week of the year along the first axis, (days, ...) to (52, ...), evened over five weeks.

    The soil does not care in which week of a few its water comes; the evening keeps the season's sum, and no water
    is moved out of the weeks between the first and the last day on which it is given.
    """
    week = week_of_day(np.arange(1, DAYS + 1)) - 1
    sums = np.zeros((WEEKS, *daily.shape[1:]))
    np.add.at(sums, week, daily)
    within = np.zeros(WEEKS, dtype=bool)
    within[int(week_of_day(max(begins, 1.0))) - 1 : int(week_of_day(min(empties, 365.0)))] = True
    moved = sum((part * np.eye(WEEKS, k=by) for by, part in _EVENED.items()), np.zeros((WEEKS, WEEKS)))
    moved[~within] = 0.0
    moved[:, within] /= moved[:, within].sum(axis=0)
    evened: Array = np.tensordot(moved, sums, axes=1)
    return evened


def middle_and_nine_in_ten(by_year: Array) -> Array:
    """(weeks, years, leaves) to (leaves, 2, weeks): the middle of the years, and what is enough in nine of ten."""
    found: Array = np.percentile(by_year, _MIDDLE_AND_NINE, axis=1).transpose(2, 0, 1)
    return found


def calendar(
    *, opens: float, begins: float, empties: float, hours: Array, tested: bool, flush_every: int
) -> tuple[WaterDay, ...]:
    """The year's jobs with the water, by the middle year's days.

    Parameters
    ----------
    opens, begins, empties : [d] of the year, when the lines are filled, water is first given, the lines are emptied
    hours : (weeks,) [h] the most of any zone and leaf, in nine years of ten
    flush_every : [d]
    tested : the guard against backflow is one that is tested every year
    """
    running = np.flatnonzero(hours > WORTH_RUNNING)
    begin, last = (int(running[0]) * 7 + 1, int(running[-1]) * 7 + 7) if running.size else (152, 244)
    opening, empty = round(opens), round(empties)
    begin, last = max(begin, round(begins)), min(last, empty)
    days = [
        WaterDay(WaterJob.OPEN, opening),
        WaterDay(WaterJob.BEGIN, begin),
        *(
            WaterDay(WaterJob.FLUSH, day)
            for day in range(begin + flush_every, max(last, begin + flush_every + 1), flush_every)
        ),
        WaterDay(WaterJob.LAST, last),
        WaterDay(WaterJob.EMPTY, empty),
    ]
    if tested:
        days.append(WaterDay(WaterJob.TEST_BACKFLOW, opening))
    order = list(WaterJob)
    return tuple(sorted(days, key=lambda entry: (entry.day, order.index(entry.job))))
