"""Does a weather record look right? Impossible days are taken out, doubtful units are faults."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from topwire.values.fault import Faults, FileNotice, fault, warning

Array = npt.NDArray[np.float64]

COLDEST, HOTTEST = -65.0, 56.0  # [deg C] beyond the extremes ever measured where apples grow
WETTEST = 700.0  # [mm/d]
STUCK_DAYS = 6  # the same two numbers on so many days running: the sensor hangs
SPIKE_SPREADS = 7.0  # robust standard deviations from the running median
WINDOW = 15  # [d] of that running median
FEWEST_JUDGED = 30  # days before a unit is doubted
TOO_WARM, TOO_COOL = 50.0, 12.0  # [deg C] of a year's warmest days: above, below, another unit
MARK_APART, MARK_DAYS = 20.0, 3  # [K], [d] the highest value stands so far off, so often: no weather, a mark
DESERT = 80.0  # [mm/year] less rain than that is doubted
DATES_TOLD = 3  # of the days taken out
# Lowest and highest that a mean of a day or an hour can be: m/s, MJ/m2 (a day's; an hour's is less), deg C,
# per cent (a sensor of the air's moisture may show a little above 100).
_CAN_BE = {
    "wind": (0.0, 75.0, "wind"),
    "sun": (0.0, 50.0, "sun"),
    "dew_point": (-90.0, 36.0, "dew point"),
    "humidity": (1.0, 105.0, "humidity"),
}
STRAY = 0.05  # share of values up to which they strayed
AT_NIGHT = -0.05  # [MJ/m2 h] what a sensor of the sun may show in the dark: it is none
# Column, what nine days in ten stay under, what it looks like, what to do.
_OTHER_UNITS = (
    (
        "sun",
        45.0,
        "{:.0f} MJ/m2 of sun a day cannot be; watts may have been read as megajoules.",
        "Call it sun_w_m2.",
    ),
    (
        "wind",
        18.0,
        "a daily wind of {:.0f} m/s cannot be; km/h may have been read as m/s.",
        "Call it wind_km_h.",
    ),
    (
        "dew_point",
        35.0,
        "a dew point of {:.0f} °C cannot be; this looks like Fahrenheit.",
        "Call it dew_point_f.",
    ),
)
_JUDGED = {name for name, *_ in _OTHER_UNITS}


def unit_notices(columns: Mapping[str, Array], where: str) -> list[FileNotice]:
    """What looks like a wrong unit or swapped columns: faults where nothing else can be, warnings where it may be.

    Parameters
    ----------
    columns : names of the house -> (days,); those it has not are not judged
    where : file, for the messages
    """
    tmin, tmax, rain = (known_of(columns, name) for name in ("tmin", "tmax", "rain"))
    notices = []
    warmest: float | None = None
    if tmax.size >= FEWEST_JUDGED:
        mark, marked, measured = _marked(tmax)
        warmest, middle = float(np.percentile(measured, 98)), float(np.median(measured))
        if _mostly_crossed(columns):
            return [
                fault(where, "the lowest temperatures lie above the highest.", "Are the columns swapped?")
            ]
        many = float(np.percentile(tmax, 98)) > TOO_WARM  # a few impossible days are left out further on
        if marked and (many or mark <= HOTTEST):
            says = f"{_both(mark)} stands on {marked} days, far above all others: a mark of missing days."
            notices.append(fault(where, says, "Leave those cells empty, or write NA."))
        if warmest > TOO_WARM:
            seems, remedy = _too_warm(np.concatenate([measured, tmin[tmin != mark]]), warmest, middle)
            notices.append(fault(where, f"a warm day of {warmest:.0f} °C cannot be{seems}.", remedy))
        elif tmax.size > 300 and warmest < TOO_COOL and middle > -25:
            says = (
                f"the warmest days reach only {warmest:.0f} °C; this looks like Celsius read as Fahrenheit."
            )
            notices.append(fault(where, says, "Call the columns tmin_c and tmax_c."))
    if rain.size > 300:
        yearly = float(np.mean(rain) * 365.25)
        finest = float(np.min(rain[rain > 0], initial=np.inf))
        if yearly > 8000:
            says = f"{yearly:,.0f} mm of rain a year cannot be; millimetres may have been read as inches."
            notices.append(fault(where, says, "Call the column rain_mm."))
        elif 0 < yearly < DESERT and (warmest is None or warmest < 40):
            says = f"{yearly:,.0f} mm of rain a year is a desert's; inches may have been read as millimetres."
            # gauges in millimetres show tenths at the finest, gauges in inches hundredths
            tell = fault if finest < 0.05 else warning
            notices.append(tell(where, says, "If so, call the column rain_in."))
    for name, most, says, remedy in _OTHER_UNITS:
        values = known_of(columns, name)
        if values.size >= FEWEST_JUDGED and float(np.percentile(values, 90)) > most:
            notices.append(fault(where, says.format(float(np.percentile(values, 90))), remedy))
    if tmin.size == 0 and tmax.size == 0 and rain.size == 0:
        notices.append(warning(where, "holds neither temperature nor rain that could be read."))
    return notices


def _marked(values: Array) -> tuple[float, int, Array]:
    """The highest value where it marks missing days, on how many it stands, and the values without it."""
    highest = float(values.max())
    below = values[values < highest]
    days = int(values.size - below.size)
    if days < MARK_DAYS or below.size < FEWEST_JUDGED or highest - float(below.max()) < MARK_APART:
        return highest, 0, values
    return highest, days, below


def _too_warm(values: Array, warmest: float, middle: float) -> tuple[str, str]:
    """What temperatures that cannot be look like, and what to do: another unit only where all of them fit it.

    Parameters
    ----------
    values : lowest and highest of all days [deg C], as they were read
    warmest, middle : of the days' highest
    """
    least, most = (float(one) for one in np.percentile(values, [0.5, 99.5]))
    for low, high in ((200.0, 330.0), tuple((bound - 32) / 1.8 for bound in (200.0, 330.0))):
        if low <= least and most <= high:  # called °C, or °F
            return "; this looks like Kelvin", "Take 273.15 away, and call the columns tmin_c and tmax_c."
    coldest, hottest = (bound * 1.8 + 32 for bound in (COLDEST, HOTTEST))
    # wherever apples grow, the middle day's highest is above freezing: as 15 °C, read so, would not be
    if coldest <= least and most <= hottest and warmest <= TOO_WARM * 1.8 + 32 and middle > 32:
        return "; this looks like Fahrenheit read as Celsius", "Call the columns tmin_f and tmax_f."
    if least >= 10 * COLDEST and most <= 10 * hottest and middle > HOTTEST:
        return "; this looks like tenths of a degree", "Divide the temperatures by ten."
    return "", f"Look for temperatures above {_both(HOTTEST)}, and leave those cells empty."


def _both(temperature: float) -> str:
    """In both units: files are read before the plan's units are known."""
    return f"{temperature:.4g} °C ({temperature * 1.8 + 32:.4g} °F)"


def known_of(columns: Mapping[str, Array], name: str) -> Array:
    """The measured values of a column; none where the file has no such column."""
    values = columns.get(name, np.array([]))
    return values[np.isfinite(values)]


def _mostly_crossed(columns: Mapping[str, Array]) -> bool:
    if "tmin" not in columns or "tmax" not in columns:
        return False
    known = np.isfinite(columns["tmin"]) & np.isfinite(columns["tmax"])
    crossed = columns["tmin"][known] > columns["tmax"][known]
    return bool(known.sum() >= FEWEST_JUDGED and np.mean(crossed) > 0.5)


def take_out_beyond(
    day: npt.NDArray[np.datetime64], columns: Mapping[str, Array], where: str
) -> tuple[dict[str, Array], list[FileNotice]]:
    """Columns without values of wind, sun, dew point and humidity that cannot be, and what was taken out.

    Parameters
    ----------
    day : (values,) dates, each day once or once for each of its hours
    columns : names of the house, and humidity [%] -> (values,)
    where : file, for the messages

    Raises
    ------
    Faults
        When most of a column cannot be.
    """
    kept, notices = dict(columns), []
    for name, (least, most, called) in _CAN_BE.items():
        if name not in columns:
            continue
        values = columns[name]
        known = int(np.isfinite(values).sum())
        with np.errstate(invalid="ignore"):
            low, high = values < least, values > most
        if name in _JUDGED and high.sum() > STRAY * known:
            high[:] = False  # not a few that strayed: another unit, which is told by its name
        beyond = low | high
        if not beyond.any():
            continue
        if known >= FEWEST_JUDGED and beyond.sum() > known / 2:
            says = f"{called} runs from {np.nanmin(values):.4g} to {np.nanmax(values):.4g}, most of which cannot be."
            raise Faults(
                [fault(where, says, f"Is its unit another one? {called.capitalize()} may be left out.")]
            )
        kept[name] = np.where(beyond, np.nan, values)
        notices.append(_taken_out(np.unique(day[beyond]), f"impossible {called}", where))
    return kept, notices


def _taken_out(days: npt.NDArray[np.datetime64], says: str, where: str) -> FileNotice:
    dates = ", ".join(str(one) for one in days[:DATES_TOLD]) + (" …" if days.size > DATES_TOLD else "")
    told = f"{says} on {days.size} day{'s' if days.size > 1 else ''} ({dates})."
    return warning(where, told, "Left out; counts as missing.")


def take_out_impossible(
    day: npt.NDArray[np.datetime64], tmin: Array, tmax: Array, rain: Array, where: str
) -> tuple[Array, Array, Array, list[FileNotice]]:
    """The record without days that cannot be, and what was taken out.

    Taken out: values beyond the extremes, a lowest above the highest, single-day spikes, days on which a sensor
    hangs, negative rain.

    Parameters
    ----------
    day : (days,) dates, in order
    tmin, tmax, rain : (days,) [deg C], [deg C], [mm]
    where : file, for the messages
    """
    tmin, tmax, rain = tmin.copy(), tmax.copy(), rain.copy()
    notices = []

    def drop(days: npt.NDArray[np.bool_], says: str, *columns: Array) -> None:
        if days.any():
            notices.append(_taken_out(day[days], says, where))
            for column in columns:
                column[days] = np.nan

    with np.errstate(invalid="ignore"):
        beyond = (tmin < COLDEST) | (tmin > HOTTEST) | (tmax < COLDEST) | (tmax > HOTTEST)
        drop(beyond, "a temperature no thermometer has shown where apples grow", tmin, tmax)
        drop((rain < 0) | (rain > WETTEST), "impossible rain", rain)
        drop(tmin > tmax, "a lowest temperature above the highest", tmin, tmax)
        running = f"the same two temperatures on {STUCK_DAYS} or more days running (the sensor hung),"
        drop(_stuck(day, tmin, tmax), running, tmin, tmax)
        for column, name in ((tmin, "lowest"), (tmax, "highest")):
            drop(_spikes(column), f"a {name} temperature far from those of the days around it", column)
    return tmin, tmax, rain, notices


def _stuck(day: npt.NDArray[np.datetime64], tmin: Array, tmax: Array) -> npt.NDArray[np.bool_]:
    same = np.zeros(tmin.size, dtype=bool)
    same[1:] = (np.diff(tmin) == 0) & (np.diff(tmax) == 0) & (np.diff(day) == np.timedelta64(1, "D"))
    stuck = np.zeros(tmin.size, dtype=bool)
    starts = np.flatnonzero(~same)
    lengths = np.diff(starts, append=tmin.size)
    for start, days in zip(starts[lengths >= STUCK_DAYS], lengths[lengths >= STUCK_DAYS], strict=True):
        stuck[start : start + days] = True
    return stuck


def _spikes(values: Array) -> npt.NDArray[np.bool_]:
    if values.size < WINDOW:
        return np.zeros(values.size, dtype=bool)
    padded = np.pad(values, WINDOW // 2, mode="edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)
    few = np.isfinite(windows).sum(axis=1) < WINDOW // 2
    filled = np.where(few[:, None], 0.0, windows)
    middle = np.empty(values.size)
    whole = np.isfinite(filled).all(axis=1)  # nearly all; the general way takes much longer
    middle[whole], middle[~whole] = np.median(filled[whole], axis=1), np.nanmedian(filled[~whole], axis=1)
    departure = values - middle
    spread = 1.4826 * np.nanmedian(np.abs(departure)) if np.isfinite(departure).any() else np.inf
    spikes: npt.NDArray[np.bool_] = (np.abs(departure) > SPIKE_SPREADS * max(spread, 1.0)) & ~few
    return spikes
