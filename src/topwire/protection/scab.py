"""Apple scab: hours of wetness that infect, by temperature; how many of the year's spores are ripe; days to lesions.

Plain functions; tables as published. Linear between the rows of a table, which is our choice: the sources step.
"""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

# Hours of wetness for light, moderate and severe infection by ascospores, and for conidia (ONT-SCAB, after
# STENSVAND1997). Rows of a range stand under both its ends. The source's rows at 24 to 25 overlap: 24.0 takes the
# lower row, anything above it the next. Of conidia's ranges the lower end stands.
_TEMPERATURE = np.array(
    [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 15.5, 16, 24, 24.5, 24.9, 25, 25.5]
)
_LIGHT = np.array([40, 34, 30, 27, 21, 18, 15, 13, 12, 11, 9, 8, 8, 7, 7, 6.5, 6, 6, 6.5, 6.5, 8, 10])
_MODERATE = np.array([69, 69, 52, 42, 34, 27, 23, 21, 17, 16, 14, 12, 12, 11, 11, 10, 9, 9, 9, 9, 11, 14])
_SEVERE = np.array([93, 93, 65, 57, 50, 44, 37, 34, 27, 26, 22, 20, 20, 19, 19, 17, 16, 16, 16, 16, 18, 23])
_CONIDIA = np.array([37, 33, 30, 26, 23, 20, 17, 15, 13, 10, 9.5, 9, 9, 9, 9, 9, 7, 7, 9, 9, 11, 13])
HOTTEST = 26.0  # [deg C] above it no infection to be relied on (the reproduced table of Mills says the same)

# Least hours for ascospores, a second table of the same descent (WV-SCAB after MACHARDY1989 and GADOURY1998), F -> h.
_SECOND_F = np.array([34, 36, 37, 39, 41, 43, 45, 46, 48, 50, 52, 54, 55, 57, 59, 61, 75, 77, 79])
_SECOND = np.array([41, 35, 30, 28, 21, 18, 15, 13, 12, 11, 9, 8, 8, 7, 7, 6, 6, 8, 11])

# Days from infection to lesions (ONT-SCAB), least and most.
_LESIONS_AT = np.array([6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 15.5, 16, 24])
_LESIONS_LOW = np.array([17, 17, 17, 17, 16, 15, 14, 14, 12, 12, 10, 9, 9])
_LESIONS_HIGH = np.array([17, 17, 17, 17, 16, 15, 14, 14, 13, 13, 11, 10, 10])
TOO_HOT_FOR_LESIONS = 27.0  # [deg C] of a day's high, each of which delays lesions by about a day (VT-NOTES)

MATURITY_INTERCEPT, MATURITY_SLOPE = (
    2.51,
    0.01,
)  # probit; per K d above 0 deg C (GADOURY1982, constants remembered)
SEASON_OVER = 0.95  # share ripe, after which one more rain ends the season
LAST_RAIN, LAST_RAIN_WARMTH = 2.5, 10.0  # [mm], [deg C] of that rain (remembered)
DRY_WEEK, DRY_DAY = 7, 0.2  # [d], [mm]: after so many dry days ripening halts until rain (STENSVAND2005)
STAGES_TO_RIPE = 7.0  # of development, from 1 February to the first ripe spores (JAMES1982)
WET_ENOUGH, HUMID_ENOUGH = (
    0.25,
    12.0,
)  # [mm] of rain, [h] at saturation: else a day does not count (JAMES1982)


def hours_needed(temperature: npt.ArrayLike) -> tuple[Array, Array, Array]:
    """Hours of wetness for light, moderate and severe infection by ascospores; inf where there is none.

    Parameters
    ----------
    temperature : [deg C] half way between lowest and highest of the wet hours

    Source: ONT-SCAB.
    """
    light, moderate, severe = (_needed(temperature, hours) for hours in (_LIGHT, _MODERATE, _SEVERE))
    return light, moderate, severe


def conidia_hours(temperature: npt.ArrayLike) -> Array:
    """The same for the summer spores, out of lesions."""
    return _needed(temperature, _CONIDIA)


def _needed(temperature: npt.ArrayLike, hours: Array) -> Array:
    air = np.asarray(temperature, dtype=float)
    with np.errstate(invalid="ignore"):
        none = ~((air >= 0.0) & (air <= HOTTEST))
    return np.where(none, np.inf, np.interp(np.nan_to_num(air), _TEMPERATURE, hours))


def least_hours(temperature: npt.ArrayLike) -> Array:
    """Least hours for ascospores by the second table; inf above it. Source: WV-SCAB.

    Parameters
    ----------
    temperature : [deg C]
    """
    air = np.asarray(temperature, dtype=float) * 1.8 + 32.0
    with np.errstate(invalid="ignore"):
        none = ~((air >= 32.0) & (air <= _SECOND_F[-1] + 0.5))
    return np.where(none, np.inf, np.interp(np.nan_to_num(air), _SECOND_F, _SECOND))


def infection(temperature: npt.ArrayLike, hours: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """0 none, 1 light, 2 moderate, 3 severe, by ascospores."""
    wet = np.asarray(hours, dtype=float)
    classes: npt.NDArray[np.int64] = np.sum(
        [wet >= needed for needed in hours_needed(temperature)], axis=0, dtype=np.int64
    )
    return classes


def lesion_days(temperature: npt.ArrayLike, hot_days: int = 0) -> tuple[Array, Array]:
    """Days from infection to lesions, least and most.

    Parameters
    ----------
    temperature : [deg C] mean of the first five days
    hot_days : days above TOO_HOT_FOR_LESIONS among them, each of which delays by one

    Source: ONT-SCAB; below 6 deg C and above 24 its end rows stand.
    """
    air = np.asarray(temperature, dtype=float)
    low, high = (np.interp(air, _LESIONS_AT, days) for days in (_LESIONS_LOW, _LESIONS_HIGH))
    return np.asarray(low + hot_days), np.asarray(high + hot_days)


def ripe_share(heat: npt.ArrayLike) -> Array:
    """Share of the year's ascospores that are ripe.

    Parameters
    ----------
    heat : [K d] above 0 deg C since the first ripe ones

    Source: GADOURY1982; its two constants are remembered, and hold against two published anchors.
    """
    from scipy.special import ndtr  # late: what was found is read without a sum

    share: Array = ndtr(MATURITY_INTERCEPT + MATURITY_SLOPE * np.asarray(heat, dtype=float) - 5.0)
    return share


def ripening_heat(mean: npt.ArrayLike, rain: npt.ArrayLike) -> Array:
    """Heat of each day that ripens spores [K d]: above 0 deg C, none once a week has been dry, until it rains.

    Parameters
    ----------
    mean, rain : (days,) [deg C], [mm]; missing rain counts as rain: a season is not drawn out by a gap

    Source: STENSVAND2005.
    """
    warmth = np.maximum(np.nan_to_num(np.asarray(mean, dtype=float)), 0.0)
    fallen = np.asarray(rain, dtype=float)
    with np.errstate(invalid="ignore"):
        dry = fallen < DRY_DAY
    counted = np.empty_like(warmth)
    running = 0
    for day, one in enumerate(dry):
        running = running + 1 if one else 0
        counted[day] = 0.0 if running > DRY_WEEK else warmth[day]
    return np.asarray(counted)


def development(mean: npt.ArrayLike, rain: npt.ArrayLike, saturated: npt.ArrayLike) -> Array:
    """Progress of the fruit bodies each day [stages]; ascospores are ripe at STAGES_TO_RIPE from 1 February.

    Parameters
    ----------
    mean, rain : (days,) [deg C], [mm]
    saturated : (days,) [h] at a humidity of 100 %

    Source: JAMES1982 (North Carolina).
    """
    air = np.asarray(mean, dtype=float)
    wet = (np.nan_to_num(np.asarray(rain, dtype=float)) > WET_ENOUGH) | (
        np.asarray(saturated, dtype=float) > HUMID_ENOUGH
    )
    with np.errstate(invalid="ignore"):
        grows = wet & (air > 0.0)
    return np.where(grows, np.maximum(0.0031 + 0.0546 * air - 0.00175 * air**2, 0.0), 0.0)


def ripe_day(progress: npt.ArrayLike) -> int | None:
    """Index of the first day by whose end the first spores are ripe; None where the days end before.

    Parameters
    ----------
    progress : (days,) from `development`
    """
    running = np.cumsum(progress)
    reached = np.flatnonzero(running >= STAGES_TO_RIPE - 1e-9)
    return int(reached[0]) if reached.size else None
