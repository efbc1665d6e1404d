"""Weather files to one checked record: recognised by content, joined, repaired, every repair told."""

import csv
import io
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt

from topwire.notices import Faults, Notice, fault, warning
from topwire.weather import daily_csv
from topwire.weather.quality import take_out_impossible, unit_faults
from topwire.weather.reading import NAMES, Array, Reading
from topwire.weather.record import Weather
from topwire.weather.repair import fill_gaps, gap_notices

LARGEST = 100_000_000  # bytes
FEWEST_DAYS = 330  # less than a year tells nothing of an orchard's seasons
AGREES_WITHIN = 1.0  # [K] two files of one day


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
    faults: list[Notice] = []
    readings: list[Reading] = []
    for path, label in zip(paths, labels or [path.name for path in paths], strict=True):
        try:
            readings.append(_checked(read_file(path, label)))
        except Faults as found:
            faults.extend(found.notices)
    if faults:
        raise Faults(faults)
    return _joined(readings)


def read_file(path: Path, label: str) -> Reading:
    """One file, its kind recognised by what stands in it. Raises Faults."""
    try:
        if path.stat().st_size > LARGEST:
            says = (
                f"is {path.stat().st_size / 1e6:,.0f} MB; weather files up to {LARGEST // 10**6} MB are read."
            )
            raise Faults([fault(label, says, "Cut it to this station and to the years wanted.")])
        raw = path.read_bytes()
    except OSError as error:
        raise Faults([fault(label, f"cannot be read: {error.strerror}.")]) from None
    if not raw.strip():
        raise Faults([fault(label, "is empty.", "docs/weather.md shows what a weather file looks like.")])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Faults(
            [fault(label, "is not a text file.", "A spreadsheet has to be saved as CSV (UTF-8).")]
        ) from None
    if "\x00" in text:
        raise Faults([fault(label, "is not a text file.", "A spreadsheet has to be saved as CSV (UTF-8).")])
    first = next(csv.reader(io.StringIO(text)), [])
    if daily_csv.is_ghcn_access(first):
        return daily_csv.read_ghcn_access(text, label)
    if daily_csv.is_ghcn_by_station(first):
        return daily_csv.read_ghcn_by_station(text, label)
    if daily_csv.is_plain(first):
        return daily_csv.read_plain(text, label)
    says = f"is of no kind that is known: it begins “{text.strip().splitlines()[0][:60]}”."
    remedy = "A plain table begins: date,tmin_c,tmax_c,rain_mm. docs/weather.md shows all kinds."
    raise Faults([fault(f"{label}, line 1", says, remedy)])


def _checked(reading: Reading) -> Reading:
    """Dates once each and in order, units possible. Raises Faults."""
    faults = []
    label = reading.label
    order = np.argsort(reading.day, kind="stable")
    day = reading.day[order]
    columns = {name: values[order] for name, values in reading.columns.items()}
    twice = np.flatnonzero(day[1:] == day[:-1])
    if twice.size:
        differ = [
            at for at in twice if any(not _same(values[at], values[at + 1]) for values in columns.values())
        ]
        if differ:
            says = f"{day[differ[0]]} stands twice with different values ({len(differ)} such days)."
            faults.append(fault(label, says, "Keep one line a day; two stations belong in two files."))
        keep = np.append(True, day[1:] != day[:-1])
        day, columns = day[keep], {name: values[keep] for name, values in columns.items()}
    if day.size < FEWEST_DAYS:
        says = (
            f"holds {day.size} days; seasons need at least a year, and a choice worth trusting ten or more."
        )
        faults.append(fault(label, says, "Bring a longer record."))
    nothing = np.full(day.size, np.nan)
    faults += unit_faults(
        columns.get("tmin", nothing), columns.get("tmax", nothing), columns.get("rain", nothing), label
    )
    if faults:
        raise Faults(faults)
    hourly = None if reading.hourly is None else reading.hourly[order]
    return Reading(label, day, columns, hourly, reading.typical, reading.notices)


def _same(one: float, other: float) -> bool:
    return bool(one == other or (np.isnan(one) and np.isnan(other)))


def _joined(readings: Sequence[Reading]) -> Weather:
    first = min(reading.day[0] for reading in readings)
    last = max(reading.day[-1] for reading in readings)
    day = np.arange(first, last + np.timedelta64(1, "D"))
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64) + 1
    notices = [notice for reading in readings for notice in reading.notices]
    columns: dict[str, Array] = {name: np.full(day.size, np.nan) for name in NAMES}
    hourly: Array | None = None
    source = np.full(day.size, -1, dtype=np.int64)
    ranked = sorted(
        range(len(readings)), key=lambda at: (-readings[at].day.size, readings[at].day[0], readings[at].label)
    )
    for at in ranked:
        reading = readings[at]
        where = (reading.day - first).astype(np.int64)
        notices += _disagreement(columns, reading, where)
        for name, values in reading.columns.items():
            target = columns[name]
            open_days = ~np.isfinite(target[where])
            used = open_days & np.isfinite(values)
            target[where[used]] = values[used]
            if name == "tmin":
                fresh = used & (source[where] < 0)
                source[where[fresh]] = at
        if reading.hourly is not None:
            hourly = np.full((day.size, 24), np.nan) if hourly is None else hourly
            open_days = ~np.isfinite(hourly[where]).all(axis=1)
            hourly[where[open_days]] = reading.hourly[open_days]
    label = " + ".join(sorted(reading.label for reading in readings))
    tmin, tmax, rain, taken_out = take_out_impossible(
        columns["tmin"], columns["tmax"], columns["rain"], label
    )
    tmin, filled_min = fill_gaps(tmin, of_year)
    tmax, filled_max = fill_gaps(tmax, of_year)
    tmin = np.minimum(tmin, np.where(np.isfinite(tmax), tmax, tmin))
    rain, filled_rain = fill_gaps(rain, of_year, rain=True)
    filled = filled_min | filled_max | filled_rain
    notices += taken_out + gap_notices(day, tmin, tmax, rain, filled, label)
    return Weather(
        day=day,
        tmin=tmin,
        tmax=tmax,
        rain=rain,
        dew_point=_or_none(columns["dew_point"]),
        wind=_or_none(columns["wind"]),
        sun=_or_none(columns["sun"]),
        hourly=hourly,
        filled=filled,
        source=source,
        files=tuple(reading.label for reading in readings),
        typical=any(reading.typical for reading in readings),
        notices=tuple(notices),
    )


def _disagreement(columns: dict[str, Array], reading: Reading, where: npt.NDArray[np.int64]) -> list[Notice]:
    """How far a further file lies from what is there already, where both have the day."""
    notices = []
    for name, said in (("tmin", "lowest"), ("tmax", "highest")):
        if name not in reading.columns:
            continue
        apart = reading.columns[name] - columns[name][where]
        apart = apart[np.isfinite(apart)]
        if apart.size >= 30 and abs(float(np.mean(apart))) > AGREES_WITHIN:
            says = (
                f"the days' {said} temperatures lie {np.mean(apart):+.1f} K from the other file's on {apart.size:,} days "
                "both have."
            )
            notices.append(warning(reading.label, says, "The two stations may not stand for one place."))
    return notices


def _or_none(values: Array) -> Array | None:
    return values if np.isfinite(values).any() else None
