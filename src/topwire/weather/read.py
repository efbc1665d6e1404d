"""Weather files to one checked record: recognised by content, joined, repaired, every repair told."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import numpy.typing as npt

from topwire.files.own_file import own_bytes
from topwire.values.fault import Faults, FileNotice, fault, remark, warning
from topwire.values.notice import Severity
from topwire.weather.joining import join
from topwire.weather.quality import take_out_impossible, unit_notices
from topwire.weather.reading import Array, Reading
from topwire.weather.recognise import read_any
from topwire.weather.record import Weather
from topwire.weather.repair import fill_rain, fill_temperature, gap_notices
from topwire.weather.table import EARLIEST, LATEST
from topwire.weather.text import LARGEST, text_of

FEWEST_DAYS = 330  # less than a year tells nothing of an orchard's seasons


def read_weather(paths: Sequence[Path], *, labels: Sequence[str] | None = None) -> Weather:
    """One record out of the files.

    The file with the most days leads; the others fill what it misses, so the order of the files changes nothing.

    Parameters
    ----------
    labels : names of the files in messages, as the person wrote them; the file names when not given.

    Raises
    ------
    Faults
        With every fault of every file: not readable, of no known kind, damaged lines, units that cannot be, too short.
    """
    names = list(labels) if labels is not None else [path.name for path in paths]
    faults: list[FileNotice] = []
    readings: list[Reading] = []
    for path, label in zip(paths, names, strict=True):
        try:
            readings.append(read_file(path, label))
        except Faults as found:
            faults.extend(found.notices)
    if not faults:
        faults = _too_short(readings)
    if faults:
        raise Faults(faults)
    return _record(readings, names)


def read_file(path: Path, label: str) -> Reading:
    """One file, its kind recognised by what stands in it: days once each and in order, units possible, nonsense out.

    Raises Faults as :func:`read_weather`, but takes a file of any length.
    """
    return reading_of(own_bytes(path, label, label, LARGEST), label)


def reading_of(raw: bytes, label: str) -> Reading:
    """The bytes of one file, as :func:`read_file` reads them."""
    return checked(read_any(text_of(raw, label), label))


def checked(reading: Reading) -> Reading:
    """A reading with its days once each and in order, units possible, nonsense out. Raises Faults as `read_file`."""
    label = reading.label
    _dates_possible(reading)
    reading = _in_order(reading)
    if reading.gridded:
        reading = _told_days(reading)
    doubts = unit_notices(reading.columns, label)
    faults = [notice for notice in doubts if notice.severity is Severity.FAULT]
    if faults:
        raise Faults(faults)
    nothing = np.full(reading.day.size, np.nan)
    low, high, wet = (reading.columns.get(name, nothing) for name in ("tmin", "tmax", "rain"))
    tmin, tmax, rain, notices = take_out_impossible(reading.day, low, high, wet, label)
    columns = {**reading.columns, "tmin": tmin, "tmax": tmax, "rain": rain}
    return replace(reading, columns=columns, notices=(*reading.notices, *doubts, *notices))


def record_of(reading: Reading) -> Weather:
    """One reading as a record. Raises Faults as :func:`read_weather`."""
    made = checked(reading)
    faults = _too_short([made])
    if faults:
        raise Faults(faults)
    return _record([made], [reading.label])


def read_days(path: Path) -> Weather:
    """One file of any length, repaired like a record: this year so far, a forecast. Raises Faults as `read_file`."""
    return _record([read_file(path, path.name)], [path.name])


def _told_days(reading: Reading) -> Reading:
    """A cell's file to its last day with a value: the newest days come empty."""
    known = np.zeros(reading.day.size, dtype=bool)
    for values in (*reading.columns.values(), *reading.hours.values()):
        known |= np.isfinite(values.reshape(reading.day.size, -1)).any(axis=1)
    if not known.any():
        return reading
    return reading.taken(np.arange(int(np.flatnonzero(known)[-1]) + 1))


def _dates_possible(reading: Reading) -> None:
    """Raises Faults where a date is none, or of a year no one measured in."""
    day = reading.day
    if not day.size:
        raise Faults([fault(reading.label, "holds no days.", "Fetch the file again.")])
    wrong = np.isnat(day) | (day < EARLIEST) | (day > LATEST)
    if wrong.any():
        says = f"{day[wrong][0]} is no date of weather records, which run from {EARLIEST} to {LATEST}."
        raise Faults([fault(reading.label, says, "Check the dates.")])


def _in_order(reading: Reading) -> Reading:
    """Days sorted, each once. Raises Faults where a day stands twice with different values."""
    label = reading.label
    order = np.argsort(reading.day, kind="stable")
    notices = list(reading.notices)
    if np.any(np.diff(order) < 0):
        notices.append(
            remark(label, "its lines are not in the order of their dates; they were put in order.")
        )
    sorted_reading = reading.taken(order)
    day = sorted_reading.day
    twice = np.flatnonzero(day[1:] == day[:-1])
    if twice.size:
        differ = [
            at
            for at in twice
            if any(not _same(values[at], values[at + 1]) for values in sorted_reading.columns.values())
        ]
        if differ:
            says = f"{day[differ[0]]} stands twice with different values ({len(differ)} such days)."
            raise Faults([fault(label, says, "Keep one line a day; two stations belong in two files.")])
        notices.append(remark(label, f"{twice.size} days stand twice with the same values; one was kept."))
        sorted_reading = sorted_reading.taken(np.flatnonzero(np.append(True, day[1:] != day[:-1])))
    return replace(sorted_reading, notices=tuple(notices))


def _same(one: float, other: float) -> bool:
    return bool(one == other or (np.isnan(one) and np.isnan(other)))


def _too_short(readings: Sequence[Reading]) -> list[FileNotice]:
    """A fault when all files together hold less than a year: a station's file a month or a year each is welcome."""
    days = np.unique(np.concatenate([reading.day for reading in readings])).size
    if days >= FEWEST_DAYS:
        return []
    label = " + ".join(sorted(reading.label for reading in readings))
    says = f"holds {days} days; seasons need at least a year, and a choice worth trusting ten or more."
    return [fault(label, says, "Bring a longer record.")]


def _record(readings: Sequence[Reading], names: Sequence[str]) -> Weather:
    notices = [
        notice for reading in sorted(readings, key=lambda one: one.label) for notice in reading.notices
    ]
    kept = _without_typical(readings, notices)
    used = [readings[at] for at in kept]
    joined = join(used)
    notices += joined.notices
    day, columns = joined.day, joined.columns
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64) + 1
    label = " + ".join(sorted(reading.label for reading in used))
    tmin, tmax, filled = fill_temperature(columns["tmin"], columns["tmax"], of_year)
    open_days = ~(np.isfinite(tmin) & np.isfinite(tmax))
    rain, rain_filled = fill_rain(columns["rain"], of_year, where=~open_days)
    notices += gap_notices(day, open_days, rain, filled, rain_filled, label)
    if not (np.isfinite(columns["tmin"]) & np.isfinite(columns["tmax"])).any():
        says = "no day of the record has both a lowest and a highest temperature."
        raise Faults([fault(label, says, "Bring a file with both.")])
    return Weather(
        day=day,
        tmin=tmin,
        tmax=tmax,
        rain=rain,
        dew_point=_or_none(columns["dew_point"]),
        wind=_or_none(columns["wind"]),
        sun=_or_none(columns["sun"]),
        hourly=_hours_or_none(joined.hours, "temperature"),
        filled=filled | rain_filled,
        source=np.where(joined.source >= 0, np.array(kept)[joined.source], -1),
        files=tuple(names),
        typical=used[0].typical,
        notices=tuple(notices),
        temperature_filled=filled,
        rain_filled=rain_filled,
        hourly_dew_point=_hours_or_none(joined.hours, "dew_point"),
        hourly_wind=_hours_or_none(joined.hours, "wind"),
        hourly_sun=_hours_or_none(joined.hours, "sun"),
        hourly_rain=_hours_or_none(joined.hours, "rain"),
        from_cell=_from_cell(joined.source, [reading.gridded for reading in used]),
        stations=tuple((reading.label, *reading.station) for reading in used if reading.station is not None),
    )


def _from_cell(source: npt.NDArray[np.int64], gridded: Sequence[bool]) -> npt.NDArray[np.bool_] | None:
    """Days a cell gave; days that no file has count with the day before them."""
    if not any(gridded):
        return None
    known = source >= 0
    last = np.maximum.accumulate(np.where(known, np.arange(source.size), 0))
    found: npt.NDArray[np.bool_] = np.array(gridded)[source[last]]
    return found


def _without_typical(readings: Sequence[Reading], notices: list[FileNotice]) -> list[int]:
    """Places of the real years, where there are any: a typical year has no date it could fill."""
    real = [at for at, reading in enumerate(readings) if not reading.typical]
    if not real:
        return list(range(len(readings)))
    for reading in readings:
        if reading.typical:
            says = "is a typical year and was left out beside real years."
            notices.append(warning(reading.label, says, "Take it out of the plan's weather files."))
    return real


def _or_none(values: Array) -> Array | None:
    return values if np.isfinite(values).any() else None


def _hours_or_none(hours: dict[str, Array], name: str) -> Array | None:
    return _or_none(hours[name]) if name in hours else None
