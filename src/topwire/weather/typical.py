"""Hourly years for building simulation: EPW (source EPW) and TMY3 (source TMY3).

Most are a typical year put together of months of several years. It is no sequence of real years: no frequency of frosts
and no spread can be read from it, and the record says so. An EPW whose hours all come from one year, and whose header
names no typical kind, is a real year.
"""

import re
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.values.fault import Faults, FileNotice, fault, warning
from topwire.weather.air import wind_at_two_metres
from topwire.weather.reading import TYPICAL_YEAR, Reading, hourly_reading, station_of
from topwire.weather.table import WeatherTable, parse_table

Array = npt.NDArray[np.float64]

_EPW_HEADER = 8  # lines
_EPW_FIELDS = [
    "year", "month", "day", "hour", "minute", "flags", "dry bulb", "dew point", "relative humidity", "pressure",
    "extraterrestrial", "extraterrestrial direct", "infrared", "global radiation", "direct", "diffuse",
    "global light", "direct light", "diffuse light", "zenith light", "wind direction", "wind speed", "sky", "opaque",
    "visibility", "ceiling", "weather", "weather codes", "water", "aerosol", "snow depth", "last snow", "albedo",
    "rain", "rain duration",
]  # fmt: skip
_TMY3 = {
    "Dry-bulb (C)": "temperature",
    "Dew-point (C)": "dew_point",
    "Wspd (m/s)": "wind",
    "GHI (W/m^2)": "sun",
    "Lprecip depth (mm)": "rain",
}
# Kinds of typical years as the LOCATION and COMMENTS lines of EPW name them; some write one year over all months.
_TYPICAL_KINDS = re.compile(r"\b(TMY\w*|TRY|DRY|DSY|IWEC\w*|CWEC\w*|WYEC\w*|CSWD|typical)\b", re.IGNORECASE)
_MOST_RAIN = 4000.0  # [mm/year] more than that is not rain but a misread or mis-scaled column


def is_epw(lines: list[str]) -> bool:
    """True where the first line is EPW's LOCATION line."""
    return lines[0].upper().startswith("LOCATION,") and lines[0].count(",") >= 8


def is_tmy3(lines: list[str]) -> bool:
    """True where the second line has TMY3's first two columns."""
    return len(lines) > 1 and lines[1].startswith("Date (MM/DD/YYYY),Time (HH:MM)")


def read_epw(lines: list[str], label: str, *, first: int = 0) -> Reading:
    """An EPW file that begins with `lines[first]`. Raises Faults with line and field."""
    header, under = lines[first : first + _EPW_HEADER], first + _EPW_HEADER
    if len(lines) <= under:
        raise Faults([fault(label, "ends within EPW's eight header lines.", "Fetch the file again.")])
    cells, numbers = [], []
    for number, line in enumerate(lines[under:], start=under + 1):
        if line.strip():
            row = line.split(",")
            if len(row) < 22:
                says = f"has {len(row)} fields where EPW has 35."
                raise Faults([fault(f"{label}, line {number}", says, "The line is cut off.")])
            cells.append((row + [""] * 35)[:35])
            numbers.append(number)
    if not cells:
        raise Faults([fault(label, "has no hours under its header.", "Fetch the file again.")])
    table = WeatherTable(label, _EPW_FIELDS, list(zip(*cells, strict=True)), numbers)

    def column(name: str, missing: float) -> Array:
        values = table.numbers(_EPW_FIELDS.index(name))
        return np.where(values >= missing, np.nan, values)

    year, month, day, hour = (table.numbers(at) for at in range(4))
    _possible(table, year, month, day, hour)
    columns = {
        "temperature": column("dry bulb", 99.9),
        "dew_point": column("dew point", 99.9),
        "wind": wind_at_two_metres(column("wind speed", 999), 10.0),
        "sun": column("global radiation", 9999) * 0.0036,
        "rain": column("rain", 999),
    }
    table.settle()
    said = _TYPICAL_KINDS.search(" ".join((header[0], *header[5:7]))) is not None
    made = _year(label, year, month, day, hour, columns, said_typical=said)
    place = header[0].split(",")  # LOCATION, city, region, country, source, number, latitude, longitude
    return replace(made, station=station_of(place[6], place[7]))


def read_tmy3(lines: list[str], label: str, *, first: int = 0) -> Reading:
    """A TMY3 file that begins with `lines[first]`. Raises Faults with line and column."""
    table = parse_table(lines, label, first=first + 1)
    names = [name.strip() for name in table.header]
    if "Dry-bulb (C)" not in names:
        raise Faults(
            [fault(f"{label}, line {first + 2}", "there is no column Dry-bulb (C).", "Fetch the file again.")]
        )
    dates, times = table.cells[0], table.cells[1]
    parts = np.full((4, len(dates)), np.nan)
    for row, (date, time) in enumerate(zip(dates, times, strict=True)):
        cells = [*date.strip().split("/"), time.strip()[:2]]
        if len(cells) == 4 and all(cell.isdecimal() and len(cell) <= 4 for cell in cells):
            parts[:, row] = [int(cells[2]), int(cells[0]), int(cells[1]), int(cells[3])]
        else:
            says = f"“{date} {time}” is not a date and time."
            table.add(row, 0, says, "TMY3 writes 01/31/1988 and 13:00.")
    year, month, day, hour = parts
    _possible(table, year, month, day, hour)
    columns = {}
    for written, name in _TMY3.items():
        if written in names:
            values = table.numbers(names.index(written))
            columns[name] = np.where(values <= -9000, np.nan, values)
    table.settle()
    if "wind" in columns:
        columns["wind"] = wind_at_two_metres(columns["wind"], 10.0)
    if "sun" in columns:
        columns["sun"] = columns["sun"] * 0.0036
    made = _year(label, year, month, day, hour, columns, said_typical=True)
    place = lines[first].split(",")  # number, name, state, zone, latitude, longitude, height
    return replace(made, station=station_of(place[4], place[5])) if len(place) > 5 else made


def _possible(table: WeatherTable, year: Array, month: Array, day: Array, hour: Array) -> None:
    lengths = np.array([31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    with np.errstate(invalid="ignore"):
        known = (month >= 1) & (month <= 12) & (hour >= 1) & (hour <= 24)
        fits = day <= lengths[np.where(known, month, 1).astype(np.int64) - 1]
    for row in np.flatnonzero(~(known & (day >= 1) & fits & (year > 1800) & (year < 2300))):
        says = f"year {year[row]:g}, month {month[row]:g}, day {day[row]:g}, hour {hour[row]:g} cannot be."
        table.add(int(row), 0, says, "Hours run from 1 to 24.")
    table.settle()


def _year(
    label: str,
    year: Array,
    month: Array,
    day: Array,
    hour: Array,
    columns: dict[str, Array],
    *,
    said_typical: bool,
) -> Reading:
    """Hours, written for the hour that ends, on the calendar; a year of several laid on one without a leap day."""
    several = hour.size < 9000 and (said_typical or np.unique(year).size > 1)
    leap_day = (month == 2) & (day == 29)
    calendar = np.full(year.size, float(TYPICAL_YEAR)) if several else year
    kept = ~leap_day if several else np.ones(year.size, dtype=bool)
    months = ((calendar - 1970) * 12 + month - 1).astype(np.int64).astype("datetime64[M]")
    stamp = (months.astype("datetime64[D]") + (day - 1).astype(np.int64)).astype("datetime64[h]")
    stamp = stamp + (hour - 1).astype(np.int64)
    notices: list[FileNotice] = []
    if several:
        first, last = int(year.min()), int(year.max())
        span = f"months out of {first} to {last}" if last > first else "several years"
        says = (
            f"is a typical year made of {span}, not a sequence of real years: extremes, frost "
            "chances and the spread between years cannot be told from it."
        )
        notices.append(warning(label, says, "Bring a station's daily record of ten years or more."))
    yearly = float(np.nansum(columns.get("rain", np.array([]))) / max(year.size / 8760, 0.1))
    if "rain" in columns and not 0 < yearly < _MOST_RAIN:
        columns["rain"] = np.full(year.size, np.nan)
        says = f"its rain adds up to {yearly:,.0f} mm a year and was left out."
        notices.append(warning(label, says, "Such files seldom hold real rain; join a daily record."))
    values = {name: column[kept] for name, column in columns.items()}
    return hourly_reading(label, stamp[kept], values, typical=several, notices=tuple(notices))
