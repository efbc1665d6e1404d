"""When to run: hours a week for a normal, a dry and a hot year, storage, and the year's water jobs."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.values.calendar import WEEKS, week_of_day
from topwire.water.climate import DAYS, GROWING, Climate
from topwire.water.result import CalendarEntry

Array = npt.NDArray[np.float64]

LOSSES_OF_A_POND = 1.25  # evaporation and seepage, common practice
LEAST_FLUSH = 0.3  # [m/s] at the end of a line, source KB90


def scenario_years(season: Array, climate: Climate) -> tuple[int, int, int]:
    """Positions of the years nearest to the middle need, to the need of the dry year in ten, and to the hot year.

    Hot: the year nearest to the 90th percentile of the growing season's reference evapotranspiration. Ties fall to
    the earlier year.

    Parameters
    ----------
    season : (years,) need for water, any unit
    """
    warmth = climate.reference[GROWING].sum(axis=0)
    return (
        int(np.abs(season - np.percentile(season, 50)).argmin()),
        int(np.abs(season - np.percentile(season, 90)).argmin()),
        int(np.abs(warmth - np.percentile(warmth, 90)).argmin()),
    )


def weekly(daily: Array) -> Array:
    """Sums by week of the year along the first axis, (days, ...) to (52, ...), evened over three weeks.

    The soil does not care in which of three weeks its water comes; the evening keeps the season's sum.
    """
    week = week_of_day(np.arange(1, DAYS + 1)) - 1
    sums = np.zeros((WEEKS, *daily.shape[1:]))
    np.add.at(sums, week, daily)
    third = sums / 3
    evened: Array = third + np.roll(third, 1, axis=0) + np.roll(third, -1, axis=0)
    return evened


def storage(daily: Array, supply: float) -> float:
    """Water a store must hold so that days which need more than the source gives are met. [m3]

    Parameters
    ----------
    daily : (days,) [m3] wanted
    supply : [m3/d] the source gives
    """
    missing, worst = 0.0, 0.0
    for wanted in daily.tolist():
        missing = max(missing + wanted - supply, 0.0)
        worst = max(worst, missing)
    return worst


def calendar(
    *,
    bud_break: float,
    leaf_fall: float,
    first_frost: float,
    starts: float,
    ends: float,
    drinking_water: bool,
    zones: Sequence[str],
) -> tuple[CalendarEntry, ...]:
    """The year's jobs with the water, by the middle year's days.

    Parameters
    ----------
    bud_break, leaf_fall, first_frost, starts, ends : float
        [d] of the year; the last two the first and last week of watering in a normal year.
    """
    entries = [
        CalendarEntry(
            round(bud_break),
            "open the irrigation",
            "Close the drains, clean the filter, fill slowly, open each line's end until it runs clear, look for "
            "leaks.",
        ),
        CalendarEntry(
            round(starts),
            "water from now on, normal year",
            f"Zones {', '.join(zones)}: hours in the schedule; go by this week's advice where weather is known.",
        ),
        *(
            CalendarEntry(
                round(day),
                "flush lines, read the meter",
                "Open the ends two or three lines at a time (0.3 m/s at the end); compare flow with the plan: less "
                "means clogging, more means a leak.",
            )
            for day in np.arange(starts + 28, max(ends, starts + 29), 28)
        ),
        CalendarEntry(
            round(ends),
            "last watering, normal year",
            "Trees harden for winter: water no longer than the soil asks.",
        ),
        CalendarEntry(
            round(min(first_frost + 14, leaf_fall + 14)),
            "empty the irrigation",
            "Open drains and line ends before hard frost; take in filter, gauges and controller. Compressed air above "
            "350 kPa (50 psi) breaks drip line and can hurt: stand clear of the ends.",
        ),
    ]
    if drinking_water:
        entries.append(
            CalendarEntry(
                round(bud_break),
                "have the backflow assembly tested",
                "By a certified tester, every year, before use.",
            )
        )
    return tuple(sorted(entries, key=lambda entry: (entry.day, entry.title)))
