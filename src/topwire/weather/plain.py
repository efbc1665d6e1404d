"""The plain tables of our own: one line a day, or one line an hour, under a line of column names in any order.

Daily: date (or year, month and day), tmin_c or tmin_f, tmax_c or tmax_f; beside them, if there, rain, dew_point,
humidity, wind, sun. Hourly: time (or date and hour), temp_c or temp_f, and the same others. Lines above the header
that begin with # may state units, and “# grid cell” that the values are means of a cell. Columns of other names are
left alone, but a column “station” may name one station only.
"""

import csv
import re
from dataclasses import replace
from difflib import get_close_matches

import numpy as np
import numpy.typing as npt

from topwire.values.fault import Faults, fault
from topwire.weather.columns import DAILY, HOURLY, find_columns, plain_name, stated_units
from topwire.weather.reading import Reading, at_hour, daily_reading, hourly_reading
from topwire.weather.table import WeatherTable, delimiter_of, parse_table

CELL = "# grid cell"
_TIME_NAMES = ("time", "datetime", "date_time", "timestamp")
_DATE_NAMES = ("date", "day")
_HOUR_NAMES = ("hour", "hr")
_CLOCK = re.compile(r"(\d{1,2})(?::(\d{2})(?::\d{2}(?:\.\d+)?)?)?$")
_STAMP = re.compile(r"\d{4}-\d\d-\d\d \d\d(?::\d\d(?::\d\d)?)?")
_ZONE = re.compile(r"(Z|UTC|GMT|[+-]\d{2}:?\d{2})$")
_NAMED_ZONE = re.compile(r"\d\s*[A-Z]{2,4}T$")  # EST, CEST: standard time or not


def header_line(lines: list[str]) -> int | None:
    """Where the column names stand: the first line that is neither empty nor begins with #; None without one."""
    for at, line in enumerate(lines):
        if line.strip() and not line.lstrip().startswith("#"):
            return at
    return None


def names_of(lines: list[str], at: int) -> list[str]:
    """The header's names in the house's spelling."""
    stated = stated_units(lines[:at])
    cells = next(csv.reader(lines[at : at + 1], delimiter=delimiter_of(lines[at])), [])
    return [plain_name(cell, stated) for cell in cells]


def looks_plain(names: list[str]) -> bool:
    """True for a header with a column of ours, or one near enough that its misspelling can be told."""
    ours = {*DAILY, *HOURLY, *_TIME_NAMES, *_DATE_NAMES, "year", "month", "tmin", "tmax", "temp", "rain"}
    near = [name for name in names if name in ours or get_close_matches(name, list(ours), n=1, cutoff=0.75)]
    return len(names) >= 2 and len(near) >= 2


def looks_hourly(names: list[str]) -> bool:
    """True where a time of day stands in the header."""
    return any(name in names for name in (*_TIME_NAMES, *_HOUR_NAMES)) and not (
        {"tmin_c", "tmin_f"} & set(names)
    )


def read_daily(lines: list[str], at: int, label: str) -> Reading:
    """A plain daily table whose header is `lines[at]`.

    Raises
    ------
    Faults
        Columns missing or without unit, dates and numbers that cannot be read: each with line and column.
    """
    names = names_of(lines, at)
    where = f"{label}, line {at + 1}"
    found, faults = find_columns(names, DAILY, ("tmin", "tmax"), where)
    date_at = _date_columns(names)
    if not date_at:
        near = get_close_matches("date", names, n=1, cutoff=0.5)
        hint = f"Is it “{near[0]}”? " if near else ""
        faults.append(fault(where, "there is no column of the date.", f"{hint}Call it date."))
    if faults:
        raise Faults(faults)
    table = parse_table(lines, label, first=at)
    _one_station(table, names)
    if len(date_at) == 3:
        table.together(date_at)
    day = table.dates(date_at[0])
    columns = {column.name: column.convert(table.numbers(at)) for at, column in found.items()}
    table.settle()
    return replace(daily_reading(label, day, columns, ()), gridded=CELL in map(str.strip, lines[:at]))


def read_hourly(lines: list[str], at: int, label: str) -> Reading:
    """A plain hourly table whose header is `lines[at]`; times are local standard time. Raises Faults."""
    names = names_of(lines, at)
    where = f"{label}, line {at + 1}"
    found, faults = find_columns(names, HOURLY, ("temperature",), where)
    time_at = next((names.index(name) for name in _TIME_NAMES if name in names), None)
    date_at = next((names.index(name) for name in _DATE_NAMES if name in names), None)
    hour_at = next((names.index(name) for name in _HOUR_NAMES if name in names), None)
    if date_at is None and time_at is None:
        faults.append(fault(where, "there is no column of the date.", "Call it time: 2019-05-03 14:00."))
    if faults:
        raise Faults(faults)
    table = parse_table(lines, label, first=at)
    _one_station(table, names)
    if date_at is not None and (hour_at is not None or time_at is not None):
        clock = hour_at if hour_at is not None else time_at
        assert clock is not None
        stamp = at_hour(table.dates(date_at), _hours(table, clock))
    else:
        assert time_at is not None
        stamp = _stamps(table, time_at)
    columns = {column.name: column.convert(table.numbers(at)) for at, column in found.items()}
    table.settle()
    return hourly_reading(label, stamp, columns)


def _date_columns(names: list[str]) -> list[int]:
    """Where the date stands: one column, or those of year, month and day; none where it does not."""
    if {"year", "month", "day"} <= set(names):
        return [names.index(name) for name in ("year", "month", "day")]
    return [names.index(name) for name in _DATE_NAMES if name in names][:1]


def _stamps(table: WeatherTable, column: int) -> npt.NDArray[np.datetime64]:
    """Date and time in one cell, to the hour it lies in."""
    cells = [re.sub(r"(?<=\d)T(?=\d)", " ", cell.strip()) for cell in table.cells[column]]
    if any(_ZONE.search(cell) for cell in cells[:3]):
        says = f"“{cells[0]}” is not in local standard time."
        table.add(0, column, says, "Convert the times, and leave the zone away: 2019-05-03 14:00.")
        table.settle()
    if any(_NAMED_ZONE.search(cell) for cell in cells[:3]):
        remedy = "Write local standard time all year, and leave the zone away: 2019-05-03 14:00."
        table.add(0, column, f"“{cells[0]}” names a zone.", remedy)
        table.settle()
    if all(map(_STAMP.fullmatch, cells)):
        try:
            return np.array(cells, dtype="datetime64[s]").astype("datetime64[h]")
        except ValueError:
            pass  # told cell by cell below
    parts = [cell.partition(" ") for cell in cells]
    days = WeatherTable(table.label, table.header, list(table.cells), table.lines, faults=table.faults)
    days.cells[column] = tuple(part[0] for part in parts)
    day = days.dates(column)
    clock = WeatherTable(table.label, table.header, list(table.cells), table.lines, faults=table.faults)
    clock.cells[column] = tuple(part[2] for part in parts)
    return at_hour(day, _hours(clock, column))


def _hours(table: WeatherTable, column: int) -> npt.NDArray[np.int64]:
    """Hour of the day, 0 to 24, of cells like 14, 14:00, 14:00:00; 24 is the midnight that ends the day."""
    hours = []
    for row, cell in enumerate(table.cells[column]):
        match = _CLOCK.match(cell.strip())
        hour = int(match[1]) if match else 99
        if hour > 24 or (match and match[2] and int(match[2]) > 59):
            table.add(row, column, f"“{cell.strip()[:40]}” is not a time of day.", "Write 14:00.")
            hour = 0
        hours.append(hour)
    return np.array(hours, dtype=np.int64)


def _one_station(table: WeatherTable, names: list[str]) -> None:
    for name in ("station", "station_id", "location"):
        if name in names:
            stations = sorted(set(table.cells[names.index(name)]))
            if len(stations) > 1:
                says = f"holds {len(stations)} stations ({', '.join(stations[:3])})."
                remedy = "Cut it to one station; several files may be named in the plan instead."
                raise Faults([fault(table.label, says, remedy)])
