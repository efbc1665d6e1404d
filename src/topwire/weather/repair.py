"""Filling short gaps by a stated rule; long ones stay open and make their season unusable."""

import numpy as np
import numpy.typing as npt

from topwire.notices import Notice, assumption, warning

Array = npt.NDArray[np.float64]

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


def fill_gaps(
    values: Array, day_of_year: npt.NDArray[np.int64], *, rain: bool = False
) -> tuple[Array, Array]:
    """Fill gaps of up to seven days.

    A temperature is the ordinary one of that day plus the departure of the days on both sides, drawn straight across
    the gap. Rain is the ordinary amount of that time of year.

    Returns
    -------
    values, filled : (days,) and a mask (days,) of what was filled; longer gaps stay NaN.
    """
    missing = ~np.isfinite(values)
    filled = np.zeros(values.size, dtype=bool)
    if not missing.any() or missing.all():
        return values, filled
    ordinary = ordinary_year(day_of_year, values)
    departure = values - ordinary
    known = np.flatnonzero(~missing)
    across = np.interp(np.arange(values.size), known, departure[known])
    for start, end in gaps(missing):
        inside = start > 0 and end < values.size
        if end - start <= LONGEST_FILLED and inside:
            filled[start:end] = True
    made = ordinary if rain else ordinary + across
    return np.where(filled, made, values), filled


def gaps(missing: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Runs of missing days as (first, one past the last)."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], missing, [False]]).astype(np.int8)))
    return [(int(start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)]


def gap_notices(
    days: npt.NDArray[np.datetime64],
    tmin: Array,
    tmax: Array,
    rain: Array,
    filled: npt.NDArray[np.bool_],
    where: str,
) -> list[Notice]:
    """What was filled, and which gaps stay open."""
    notices = []
    if filled.any():
        says = (
            f"{int(filled.sum())} of {filled.size:,} days had a short gap (up to {LONGEST_FILLED} days) and were filled "
            "from the ordinary course of the year and the days around them."
        )
        notices.append(assumption(where, says))
    open_gaps = gaps(~(np.isfinite(tmin) & np.isfinite(tmax)))
    if open_gaps:
        longest = sorted(open_gaps, key=lambda gap: gap[0] - gap[1])[:5]
        told = "; ".join(f"{days[start]} to {days[end - 1]}" for start, end in sorted(longest))
        total = sum(end - start for start, end in open_gaps)
        says = f"temperature is missing for longer on {total:,} days in {len(open_gaps)} gaps, the longest {told}."
        notices.append(
            warning(where, says, "Seasons with such a gap are not used; a second station's file can fill it.")
        )
    dry = gaps(~np.isfinite(rain))
    if dry and len(dry) < rain.size:
        total = sum(end - start for start, end in dry)
        notices.append(warning(where, f"rain is missing on {total:,} days and not filled."))
    return notices
