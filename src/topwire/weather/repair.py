"""Filling short gaps by a stated rule; long ones stay open and make their season unusable."""

import numpy as np
import numpy.typing as npt

from topwire.values.fault import FileNotice, assumption, warning

Array = npt.NDArray[np.float64]
Booleans = npt.NDArray[np.bool_]

LONGEST_FILLED = 7  # [d] the longest gap that is filled
SMOOTHED_OVER = 31  # [d] width of the mean that makes the ordinary course of the year


def ordinary_year(day_of_year: npt.NDArray[np.int64], values: Array) -> Array:
    """The ordinary value of each day of the record: mean over the years within 15 days either side.

    Shape (days,); the overall mean where a time of year was never measured.
    """
    total, count = np.zeros(367), np.zeros(367)
    known = np.isfinite(values)
    np.add.at(total, day_of_year[known], values[known])
    np.add.at(count, day_of_year[known], 1)
    window = np.ones(SMOOTHED_OVER)
    half = SMOOTHED_OVER // 2

    def around(series: Array) -> Array:
        ring = np.concatenate([series[367 - half : 367], series[1:367], series[1 : half + 1]])
        return np.convolve(ring, window, mode="valid")

    sums, counts = around(total), around(count)
    overall = float(np.mean(values[known])) if known.any() else np.nan
    course = np.where(counts > 0, sums / np.maximum(counts, 1), overall)
    ordinary: Array = course[day_of_year - 1]
    return ordinary


def fill_temperature(
    tmin: Array, tmax: Array, day_of_year: npt.NDArray[np.int64]
) -> tuple[Array, Array, Booleans]:
    """Fill gaps of up to seven days in either temperature.

    A missing value is the ordinary one of that day plus the departure of the days on both sides, drawn straight across
    the gap. A day is filled only when that makes it whole, so a filled day lacks neither end.

    Parameters
    ----------
    tmin, tmax : (days,) [deg C], NaN where missing
    day_of_year : (days,) [d]

    Returns
    -------
    tmin, tmax, filled : longer gaps stay NaN; the mask is True where either was filled
    """
    low, high = _bridged(tmin, day_of_year), _bridged(tmax, day_of_year)
    made = ~(np.isfinite(tmin) & np.isfinite(tmax)) & np.isfinite(low) & np.isfinite(high)
    # where one end was measured, the made one gives way to it
    made_low = np.where(np.isfinite(tmax), np.minimum(low, tmax), low)
    made_high = np.where(np.isfinite(tmin), np.maximum(high, tmin), np.maximum(high, made_low))
    new_low = np.where(made & ~np.isfinite(tmin), made_low, tmin)
    new_high = np.where(made & ~np.isfinite(tmax), made_high, tmax)
    return new_low, new_high, made


def fill_rain(rain: Array, day_of_year: npt.NDArray[np.int64], *, where: Booleans) -> tuple[Array, Booleans]:
    """Fill gaps of up to seven days in rain by the ordinary amount of that time of year. [mm]

    Many small amounts stand for a few large ones, so sums over a season come out and single days do not.

    Parameters
    ----------
    rain : (days,) [mm], NaN where missing
    day_of_year : (days,) [d]
    where : (days,) days whose temperature is known; others are of no use and stay as they are
    """
    missing = ~np.isfinite(rain)
    if not missing.any() or missing.all():
        return rain, np.zeros(rain.size, dtype=bool)
    made = missing & _short(missing) & where
    return np.where(made, ordinary_year(day_of_year, rain), rain), made


def _bridged(values: Array, day_of_year: npt.NDArray[np.int64]) -> Array:
    missing = ~np.isfinite(values)
    if not missing.any() or missing.all():
        return values
    ordinary = ordinary_year(day_of_year, values)
    known = np.flatnonzero(~missing)
    across = np.interp(np.arange(values.size), known, (values - ordinary)[known])
    bridged: Array = np.where(_short(missing), ordinary + across, values)
    return bridged


def _short(missing: Booleans) -> Booleans:
    """True on missing days of gaps that are short and have a measured day on both sides."""
    short = np.zeros(missing.size, dtype=bool)
    for start, end in gaps(missing):
        if end - start <= LONGEST_FILLED and start > 0 and end < missing.size:
            short[start:end] = True
    return short


def gaps(missing: Booleans) -> list[tuple[int, int]]:
    """Runs of missing days as (first, one past the last)."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], missing, [False]]).astype(np.int8)))
    return [(int(start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)]


def gap_notices(
    day: npt.NDArray[np.datetime64],
    open_days: Booleans,
    rain: Array,
    filled: Booleans,
    rain_filled: Booleans,
    where: str,
) -> list[FileNotice]:
    """What was filled, and which gaps stay open.

    Parameters
    ----------
    day : (days,) dates
    open_days : (days,) True where a temperature is still missing
    rain : (days,) [mm] after filling
    filled, rain_filled : (days,) what was filled
    where : file, for the messages
    """
    notices = []
    for made, what, how in (
        (filled, "temperature", "the ordinary course of the year and the days around them"),
        (rain_filled, "rain", "the ordinary rain of the time of year"),
    ):
        if made.any():
            says = (
                f"{what} was missing on {int(made.sum())} of {made.size:,} days in gaps of up to "
                f"{LONGEST_FILLED} days; they were filled from {how}."
            )
            notices.append(assumption(where, says))
    if open_days.any():
        runs = gaps(open_days)
        longest = sorted(runs, key=lambda gap: gap[0] - gap[1])[:5]
        told = "; ".join(f"{day[start]} to {day[end - 1]}" for start, end in sorted(longest))
        total = int(open_days.sum())
        says = f"temperature is missing on {total:,} days in longer gaps ({len(runs)}; the longest {told})."
        remedy = "Seasons with such a gap are not used; a second station's file can fill it."
        notices.append(warning(where, says, remedy))
    dry = ~np.isfinite(rain)
    if dry.all():
        says = "no file has rain: water needs are worked out as if none fell."
        notices.append(warning(where, says, "Bring a file with rain."))
    elif dry.any():
        notices.append(
            warning(where, f"rain is missing on {int(dry.sum()):,} days and was not filled there.")
        )
    return notices
