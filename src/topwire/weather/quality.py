"""Does a weather record look right? Impossible days are taken out, doubtful units are faults."""

import numpy as np
import numpy.typing as npt

from topwire.notices import Notice, fault, warning

Array = npt.NDArray[np.float64]

COLDEST, HOTTEST = -65.0, 56.0  # [deg C] beyond the extremes ever measured where apples grow
WETTEST = 700.0  # [mm/d]
STUCK_DAYS = 6  # the same two numbers on so many days running: the sensor hangs
SPIKE_SPREADS = 7.0  # robust standard deviations from the running median
WINDOW = 15  # [d] of that running median


def unit_faults(tmin: Array, tmax: Array, rain: Array, where: str) -> list[Notice]:
    """Faults of a whole column that can only be a wrong unit or swapped columns.

    Parameters
    ----------
    tmin, tmax : [deg C] as read, shape (days,)
    rain : [mm]
    """
    faults = []
    known = np.isfinite(tmin) & np.isfinite(tmax)
    if known.sum() < 30:
        return []
    if np.mean(tmin[known] > tmax[known]) > 0.5:
        faults.append(
            fault(where, "the lowest temperatures lie above the highest.", "Are the columns swapped?")
        )
        return faults
    warmest, middle = float(np.percentile(tmax[known], 98)), float(np.median(tmax[known]))
    if warmest > 50:
        says = f"a warm day of {warmest:.0f} °C cannot be; this looks like Fahrenheit read as Celsius."
        faults.append(fault(where, says, "Call the columns tmin_f and tmax_f."))
    elif known.sum() > 300 and warmest < 12 and middle > -25:
        says = f"the warmest days reach only {warmest:.0f} °C; this looks like Celsius read as Fahrenheit."
        faults.append(fault(where, says, "Call the columns tmin_c and tmax_c."))
    wet = np.isfinite(rain)
    if wet.sum() > 300:
        yearly = float(np.mean(rain[wet]) * 365.25)
        if yearly > 8000:
            says = f"{yearly:,.0f} mm of rain a year cannot be; millimetres may have been read as inches."
            faults.append(fault(where, says, "Call the column rain_mm."))
        elif 0 < yearly < 80 and warmest < 40:
            says = f"{yearly:,.0f} mm of rain a year is a desert's; inches may have been read as millimetres."
            faults.append(fault(where, says, "Call the column rain_in."))
    return faults


def take_out_impossible(
    tmin: Array, tmax: Array, rain: Array, where: str
) -> tuple[Array, Array, Array, list[Notice]]:
    """The record without days that cannot be, and what was taken out.

    Taken out: values beyond the extremes, a lowest above the highest, single-day spikes, days on which a sensor
    hangs, negative rain.
    """
    tmin, tmax, rain = tmin.copy(), tmax.copy(), rain.copy()
    notices = []

    def drop(days: npt.NDArray[np.bool_], says: str, *columns: Array) -> None:
        if days.any():
            notices.append(
                warning(where, f"{int(days.sum())} {says}", "They were left out and count as missing.")
            )
            for column in columns:
                column[days] = np.nan

    with np.errstate(invalid="ignore"):
        beyond = (tmin < COLDEST) | (tmin > HOTTEST) | (tmax < COLDEST) | (tmax > HOTTEST)
        drop(beyond, "days have a temperature no thermometer has shown here.", tmin, tmax)
        drop((rain < 0) | (rain > WETTEST), "days have impossible rain.", rain)
        drop(tmin > tmax, "days have a lowest temperature above the highest.", tmin, tmax)
        drop(
            _stuck(tmin, tmax),
            f"days belong to runs of {STUCK_DAYS} or more with the same two temperatures.",
            tmin,
            tmax,
        )
        for column, name in ((tmin, "lowest"), (tmax, "highest")):
            drop(_spikes(column), f"days have a {name} temperature far from the days around it.", column)
    return tmin, tmax, rain, notices


def _stuck(tmin: Array, tmax: Array) -> npt.NDArray[np.bool_]:
    same = np.zeros(tmin.size, dtype=bool)
    same[1:] = (np.diff(tmin) == 0) & (np.diff(tmax) == 0)
    stuck = np.zeros(tmin.size, dtype=bool)
    start = 0
    for day in range(1, tmin.size + 1):
        if day == tmin.size or not same[day]:
            if day - start >= STUCK_DAYS:
                stuck[start:day] = True
            start = day
    return stuck


def _spikes(values: Array) -> npt.NDArray[np.bool_]:
    if values.size < WINDOW:
        return np.zeros(values.size, dtype=bool)
    padded = np.pad(values, WINDOW // 2, mode="edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)
    few = np.isfinite(windows).sum(axis=1) < WINDOW // 2
    filled = np.where(few[:, None], 0.0, windows)
    departure = values - np.nanmedian(filled, axis=1)
    spread = 1.4826 * np.nanmedian(np.abs(departure)) if np.isfinite(departure).any() else np.inf
    spikes: npt.NDArray[np.bool_] = (np.abs(departure) > SPIKE_SPREADS * max(spread, 1.0)) & ~few
    return spikes
