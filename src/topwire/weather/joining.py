"""Several readings of one place to one run of days: the longest leads, the others fill what it misses.

A grid cell's file never leads one that was measured: it fills, moved by what it is off month by month.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.values.fault import FileNotice, assumption, remark, warning
from topwire.weather.cell import day_shift, monthly_steps, moved
from topwire.weather.reading import DAY_NAMES, HOUR_NAMES, Array, Days, Reading, degrees
from topwire.weather.repair import ordinary_year

AGREES_WITHIN = 1.0  # [K] mean difference of two files on the days both have
FEWEST_SHARED = 30  # [d] from which a mean difference means something
STEP = 1.0  # [K] a change of level where one file takes over from another
STEP_ERRORS = 3.0  # and as many standard errors
ENOUGH_YEARS = 10  # of days measured, from which a cell fills gaps and adds no years before
LOOKED_AT = 3 * 365  # [d] either side of a change of file
_SAID = {"tmin": "lowest", "tmax": "highest"}


@dataclass(frozen=True)
class Joined:
    """One run of days.

    Attributes
    ----------
    day : (days,) unbroken
    columns : every name of DAY_NAMES -> (days,)
    hours : names of HOUR_NAMES that any file has -> (days, 24)
    source : (days,) index of the reading that gave the day's temperature, or its rain where no file has temperature;
        -1 where none has the day
    notices : how the files agree
    """

    day: Days
    columns: dict[str, Array]
    hours: dict[str, Array]
    source: npt.NDArray[np.int64]
    notices: list[FileNotice]


def join(readings: Sequence[Reading]) -> Joined:
    """All readings on one axis of days.

    The measured file with the most days leads, and then the one that begins first; names decide between equals; cells
    come last. So the order in which the files are named changes nothing but the numbers in `source`.
    """
    readings, notices = _without_years_before(readings)
    first = min(reading.day[0] for reading in readings)
    last = max(reading.day[-1] for reading in readings)
    day = np.arange(first, last + np.timedelta64(1, "D"))
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64) + 1
    columns = {name: np.full(day.size, np.nan) for name in DAY_NAMES}
    hours: dict[str, Array] = {}
    source = np.full(day.size, -1, dtype=np.int64)
    ranked = sorted(
        range(len(readings)), key=lambda at: (-readings[at].day.size, readings[at].day[0], readings[at].label)
    )
    cells = [at for at in ranked if readings[at].gridded]
    measured = [at for at in ranked if not readings[at].gridded]
    for at in measured:
        where = (readings[at].day - first).astype(np.int64)
        notices += _disagreement(columns, readings[at], where)
        _lay(columns, hours, source, readings[at], where, at)
    steps = _cell_steps(columns, [readings[at] for at in cells], day) if measured and cells else {}
    notices += _told_steps(steps, [readings[at].label for at in cells])
    notices += _told_shift(
        columns, [readings[at] for at in cells], day, [readings[at].label for at in measured]
    )
    for at in cells:
        reading = readings[at]
        beside = {name: moved(reading.day, reading.columns[name], known) for name, known in steps.items()}
        reading = replace(reading, columns={**reading.columns, **beside})
        _lay(columns, hours, source, reading, (reading.day - first).astype(np.int64), at)
    notices += _crossed(columns, day)
    notices += _steps(columns, of_year, source, [reading.label for reading in readings], day)
    return Joined(day, columns, hours, source, notices)


def _take_over(
    columns: dict[str, Array],
    source: npt.NDArray[np.int64],
    reading: Reading,
    where: npt.NDArray[np.int64],
    at: int,
) -> None:
    """Put the reading's values where nothing stands yet.

    The two temperatures of a day come from one file wherever one file has both: a lowest of one station and a highest
    of another make no day.
    """
    low = reading.columns.get("tmin", np.full(where.size, np.nan))
    high = reading.columns.get("tmax", np.full(where.size, np.nan))
    held_low, held_high = columns["tmin"][where], columns["tmax"][where]
    whole = np.isfinite(low) & np.isfinite(high) & ~(np.isfinite(held_low) & np.isfinite(held_high))
    new_low = np.where(whole | ~np.isfinite(held_low), low, held_low)
    new_high = np.where(whole | ~np.isfinite(held_high), high, held_high)
    gave = whole | (np.isfinite(low) & ~np.isfinite(held_low)) | (np.isfinite(high) & ~np.isfinite(held_high))
    columns["tmin"][where], columns["tmax"][where] = new_low, new_high
    for name, values in reading.columns.items():
        if name not in ("tmin", "tmax"):
            held = columns[name][where]
            columns[name][where] = np.where(np.isfinite(held), held, values)
            gave |= np.isfinite(values) & (source[where] < 0)
    source[where[gave & ((source[where] < 0) | whole)]] = at


def _lay(
    columns: dict[str, Array],
    hours: dict[str, Array],
    source: npt.NDArray[np.int64],
    reading: Reading,
    where: npt.NDArray[np.int64],
    at: int,
) -> None:
    """Days and hours of a reading where nothing stands yet."""
    _take_over(columns, source, reading, where, at)
    for name in HOUR_NAMES:
        if name in reading.hours:
            table = hours.setdefault(name, np.full((source.size, 24), np.nan))
            held = table[where]
            table[where] = np.where(np.isfinite(held), held, reading.hours[name])


def _without_years_before(readings: Sequence[Reading]) -> tuple[list[Reading], list[FileNotice]]:
    """Cells without the days before the first measured one, where ten years of days are measured."""
    measured = [_whole_days(reading) for reading in readings if not reading.gridded]
    known = np.unique(np.concatenate(measured)) if measured else np.zeros(0, dtype="datetime64[D]")
    if known.size < ENOUGH_YEARS * 365:
        return list(readings), []
    kept, notices = [], []
    for reading in readings:
        if reading.gridded and reading.day[0] < known[0] <= reading.day[-1]:
            notices.append(_told_left_out(reading, known[0]))
            reading = reading.taken(np.flatnonzero(reading.day >= known[0]))
        kept.append(reading)
    return kept, notices


def _whole_days(reading: Reading) -> Days:
    """Days with both temperatures."""
    nothing = np.full(reading.day.size, np.nan)
    low, high = (reading.columns.get(name, nothing) for name in ("tmin", "tmax"))
    days: Days = reading.day[np.isfinite(low) & np.isfinite(high)]
    return days


def _told_left_out(reading: Reading, begins: np.datetime64) -> FileNotice:
    says = (
        f"its days before {begins} were left out: the measured file has ten years of its own, and a cell's nights say "
        "little of frost."
    )
    return assumption(reading.label, says, source="LOPES2024")


def _cell_steps(columns: dict[str, Array], cells: Sequence[Reading], day: Days) -> dict[str, Array]:
    """What the cell's lowest and highest are moved by in each month, from the days the measured files have too."""
    steps = {name: monthly_steps(day, _of_cells(cells, name, day), columns[name]) for name in _SAID}
    return {
        name: known
        for name, known in steps.items()
        if np.isfinite(known).any() and all(name in reading.columns for reading in cells)
    }


def _of_cells(cells: Sequence[Reading], name: str, day: Days) -> Array:
    """A column of the cells' files on the axis of days."""
    cell = np.full(day.size, np.nan)
    for reading in cells:
        if name in reading.columns:
            where = (reading.day - day[0]).astype(np.int64)
            cell[where] = np.where(np.isfinite(cell[where]), cell[where], reading.columns[name])
    return cell


def _told_shift(
    columns: dict[str, Array], cells: Sequence[Reading], day: Days, labels: Sequence[str]
) -> list[FileNotice]:
    """Highest temperatures that belong to another day, as where a station is read in the morning."""
    if not cells or not labels:
        return []
    shift = day_shift(day, _of_cells(cells, "tmax", day), columns["tmax"])
    if not shift:
        return []
    whose = "the day before: it is read in the morning" if shift > 0 else "the day after"
    says = f"the highest temperature of a day is by the cell's record mostly that of {whose}."
    return [remark(" + ".join(sorted(labels)), says, "The lowest is that of the morning; nothing was moved.")]


def _told_steps(steps: dict[str, Array], labels: Sequence[str]) -> list[FileNotice]:
    notices = []
    for name, known in steps.items():
        low, high = float(np.nanmin(known)), float(np.nanmax(known))
        missing = int(np.isnan(known).sum())
        says = (
            f"the cell's {_SAID[name]} temperatures were moved to the measured file's level by {degrees(low)} to "
            f"{degrees(high)}, month by month"
            + (f"; {missing} months have too few common days and stay as they are." if missing else ".")
        )
        remedy = "A cell so moved still misses a quarter to a third of the frosts."
        told = remedy if name == "tmin" else ""
        notices.append(assumption(" + ".join(sorted(labels)), says, told, source="CELLTRIAL"))
    return notices


def _disagreement(
    columns: dict[str, Array], reading: Reading, where: npt.NDArray[np.int64]
) -> list[FileNotice]:
    """How far a further file lies from what is there already, on the days both have."""
    notices = []
    for name, said in _SAID.items():
        if name not in reading.columns:
            continue
        apart = reading.columns[name] - columns[name][where]
        apart = apart[np.isfinite(apart)]
        if apart.size >= FEWEST_SHARED and abs(float(np.mean(apart))) > AGREES_WITHIN:
            says = (
                f"the days' {said} temperatures lie {degrees(float(np.mean(apart)))} from the other file's on "
                f"{apart.size:,} days both have."
            )
            notices.append(warning(reading.label, says, "The two stations may not stand for one place."))
    return notices


def _crossed(columns: dict[str, Array], day: Days) -> list[FileNotice]:
    """Take out days whose two ends came from two files and do not fit together."""
    with np.errstate(invalid="ignore"):
        crossed = columns["tmin"] > columns["tmax"]
    if not crossed.any():
        return []
    columns["tmin"][crossed] = np.nan
    columns["tmax"][crossed] = np.nan
    count = int(crossed.sum())
    says = (
        f"the lowest temperature of one file lies above the highest of another on {count} "
        f"day{'s' if count > 1 else ''}, first on {day[crossed][0]}."
    )
    return [warning("weather", says, "Left out; counts as missing.")]


def _steps(
    columns: dict[str, Array],
    of_year: npt.NDArray[np.int64],
    source: npt.NDArray[np.int64],
    labels: Sequence[str],
    day: Days,
) -> list[FileNotice]:
    """Changes of level where one file takes over for good: up to three years before against three after.

    The standard error comes from the spread of the months' mean departures, so that a warm season is not called a step.
    """
    notices: list[FileNotice] = []
    changes = _take_overs(source)
    if not changes:
        return notices
    for name, said in _SAID.items():
        departure = columns[name] - ordinary_year(of_year, columns[name])
        for at, old, new in changes:
            before, after = slice(max(at - LOOKED_AT, 0), at), slice(at, at + LOOKED_AT)
            was = _level(departure[before][source[before] == old])
            became = _level(departure[after][source[after] == new])
            if was is None or became is None:
                continue
            height, error = became[0] - was[0], float(np.hypot(was[1], became[1]))
            if abs(height) > max(STEP, STEP_ERRORS * error):
                says = (
                    f"the days' {said} temperatures step by {degrees(height)} on {day[at]}, where {labels[new]} takes "
                    f"over from {labels[old]}."
                )
                remedy = "Part of a change over the years may be this change of station."
                notices.append(warning(labels[new], says, remedy))
    return notices


def _take_overs(source: npt.NDArray[np.int64]) -> list[tuple[int, int, int]]:
    """Days on which a file takes over that gives most of the next year, from one that gave most of the last.

    (day, old, new) each; a file that only fills the other's gaps takes nothing over.
    """
    held = np.flatnonzero(source >= 0)
    turns = np.flatnonzero(source[held[1:]] != source[held[:-1]])
    found = []
    for turn in turns:
        at, old, new = int(held[turn + 1]), int(source[held[turn]]), int(source[held[turn + 1]])
        before, after = source[max(at - 365, 0) : at], source[at : at + 365]
        most = 0.8 * 365
        if (before == old).sum() >= most and (after == new).sum() >= most:
            found.append((at, old, new))
    return found


def _level(departure: Array) -> tuple[float, float] | None:
    """Mean and its standard error, months taken as independent; None with less than a year."""
    known = departure[np.isfinite(departure)]
    months = known.size // 30
    if months < 12:
        return None
    means = known[: months * 30].reshape(months, 30).mean(axis=1)
    return float(means.mean()), float(means.std(ddof=1) / np.sqrt(months))
