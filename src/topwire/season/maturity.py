"""When fruit is ripe by its tests: starch and firmness move the day of the first pick.

Starch goes on the scale of 1 to 8 as the tables of maturity have it, firmness falls; each at its own pace, learnt from
the readings as far as there are several. What the tests say and what the forecast says weigh by their errors.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from topwire.ledger.findings import Maturity
from topwire.season.asked import GrownCultivar
from topwire.season.dates import SeasonDates, day_of
from topwire.season.findings import SeasonStage
from topwire.season.seen import RipeTest

# Paces of ripening near harvest and how far they differ: planning figures from memory, no source.
STARCH_A_DAY, STARCH_PACE_ERROR = 0.13, 0.04  # [1/d] steps of the scale
FIRMNESS_A_DAY, FIRMNESS_PACE_ERROR = 0.35, 0.15  # [N/d] about half a pound a week
STARCH_ERROR, FIRMNESS_ERROR = 1.3, 6.0  # of one fruit: steps of the scale, [N]
TABLE_ERROR = 4.0  # [d] that what the table calls ripe is off for one orchard: assumption
GRAVITY = 9.80665  # [m/s2]


@dataclass(frozen=True)
class RipeDay:
    """Day of the year of the first pick and its error, one standard deviation [d]."""

    day: float
    error: float


def by_tests(tests: Sequence[RipeTest], ripe: Maturity) -> RipeDay | None:
    """What the tests of one cultivar in one year say; None where they say nothing."""
    found = []
    starch = [(day_of(one.day), one.starch, one.fruits) for one in tests if one.starch is not None]
    if starch:
        found.append(_reached(starch, ripe.starch_mature, STARCH_A_DAY, STARCH_PACE_ERROR, STARCH_ERROR))
    firm = [(day_of(one.day), -one.firmness, one.fruits) for one in tests if one.firmness is not None]
    if firm and ripe.firmness_long is not None:
        wanted = -ripe.firmness_long * GRAVITY
        found.append(_reached(firm, wanted, FIRMNESS_A_DAY, FIRMNESS_PACE_ERROR, FIRMNESS_ERROR))
    if not found:
        return None
    weights = np.array([one.error**-2 for one in found])
    day = float(np.average([one.day for one in found], weights=weights))
    return RipeDay(day, float(np.hypot(weights.sum() ** -0.5, TABLE_ERROR)))


def _reached(
    readings: Sequence[tuple[float, float, int]], wanted: float, pace: float, pace_error: float, error: float
) -> RipeDay:
    """Day on which a reading that rises reaches `wanted`: a line through the readings, its slope about `pace`."""
    day, value, fruits = (np.array(column, dtype=float) for column in zip(*readings, strict=True))
    weight = fruits / error**2
    middle = float(np.average(day, weights=weight))
    level = float(np.average(value, weights=weight))
    spread = float((weight * (day - middle) ** 2).sum())
    slope_weight = spread + pace_error**-2
    slope = (float((weight * (day - middle) * (value - level)).sum()) + pace / pace_error**2) / slope_weight
    slope = max(slope, pace / 4)
    away = (wanted - level) / slope
    unsure = np.hypot(weight.sum() ** -0.5, away * slope_weight**-0.5) / slope
    return RipeDay(middle + away, float(unsure))


def joined(forecast: RipeDay, tested: RipeDay) -> RipeDay:
    """Forecast and tests together, by their errors."""
    weights = np.array([forecast.error**-2, tested.error**-2])
    return RipeDay(
        float(np.average([forecast.day, tested.day], weights=weights)), float(weights.sum() ** -0.5)
    )


def with_tests(
    dates: SeasonDates, cultivars: Sequence[GrownCultivar], tests: Sequence[RipeTest]
) -> SeasonDates:
    """The season's dates with the first pick of every tested cultivar moved; one that was picked keeps its day."""
    ripe, over = (dates.reached[stage].copy() for stage in (SeasonStage.RIPE, SeasonStage.OVER))
    error = dates.pick_error.copy()
    moved = False
    for line in cultivars:
        own = [one for one in tests if one.cultivar == line.name]
        if not own or line.maturity is None or line.name not in dates.names:
            continue
        at = dates.names.index(line.name)
        tested, days = by_tests(own, line.maturity), ripe[:, at]
        known = days[np.isfinite(days)]
        if tested is None or np.isfinite(dates.pick_seen[at]) or not known.size:
            continue
        forecast = RipeDay(float(np.median(known)), float(np.hypot(error[at], known.std())))
        found = joined(forecast, tested)
        over[:, at] += found.day - days
        ripe[:, at] = found.day
        error[at] = found.error
        moved = True
    if not moved:
        return dates
    reached = dates.reached | {SeasonStage.RIPE: ripe, SeasonStage.OVER: over}
    return replace(dates, reached=reached, pick_error=error)
