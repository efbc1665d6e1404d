"""Daily weather from CSV: the plain table of our own, and NOAA's GHCN-Daily in its two by-station layouts.

The plain table has a line of column names, in any order, with the unit in the name: date, tmin_c or tmin_f, tmax_c
or tmax_f, rain_mm or rain_in; beside them, if there, dew_point_c or _f, wind_m_s or wind_mph (mean at 2 m) and
sun_mj_m2. Other columns are left alone.

GHCN-Daily "access" files have STATION, DATE, TMAX, TMIN, PRCP with *_ATTRIBUTES columns, in tenths of a degree and
tenths of a millimetre; "by station" files have no header: station, date, element, value, measurement flag, quality
flag, source flag, time. A value whose quality flag is not blank failed NOAA's own checks and is left out.
"""

import csv
import io
from collections.abc import Callable
from difflib import get_close_matches

import numpy as np

from topwire.notices import Faults, Notice, fault, remark
from topwire.weather.reading import Array, Reading

_MISSING = {"", "na", "nan", "null", "none", "m", "-", "-9999", "-999", "9999"}
_MOST_FAULTS = 10  # a damaged file is told by its first lines, not by all of them


def _identity(value: float) -> float:
    return value


def _fahrenheit(value: float) -> float:
    return (value - 32) / 1.8


_COLUMNS: dict[str, tuple[str, Callable[[float], float]]] = {
    "tmin_c": ("tmin", _identity),
    "tmin_f": ("tmin", _fahrenheit),
    "tmax_c": ("tmax", _identity),
    "tmax_f": ("tmax", _fahrenheit),
    "rain_mm": ("rain", _identity),
    "rain_in": ("rain", lambda inches: inches * 25.4),
    "dew_point_c": ("dew_point", _identity),
    "dew_point_f": ("dew_point", _fahrenheit),
    "wind_m_s": ("wind", _identity),
    "wind_mph": ("wind", lambda speed: speed * 0.44704),
    "sun_mj_m2": ("sun", _identity),
}
_SYNONYMS = {
    "precip_mm": "rain_mm",
    "precipitation_mm": "rain_mm",
    "prcp_mm": "rain_mm",
    "precip_in": "rain_in",
    "precipitation_in": "rain_in",
    "min_c": "tmin_c",
    "max_c": "tmax_c",
    "min_f": "tmin_f",
    "max_f": "tmax_f",
}
_NEEDED = ("tmin", "tmax")
# Tenths of a degree and of a millimetre (GHCND readme, value column).
_ELEMENTS = {"TMIN": ("tmin", 0.1), "TMAX": ("tmax", 0.1), "PRCP": ("rain", 0.1)}


def is_plain(header: list[str]) -> bool:
    """True for a header that names a date and something of ours."""
    names = {_name(column) for column in header}
    return "date" in names and bool(names & (set(_COLUMNS) | {"tmin", "tmax", "rain"}))


def is_ghcn_access(header: list[str]) -> bool:
    return {"STATION", "DATE"} <= set(header) and bool(set(header) & set(_ELEMENTS))


def is_ghcn_by_station(first: list[str]) -> bool:
    return len(first) in (7, 8) and len(first[1]) == 8 and first[1].isdigit() and len(first[2]) == 4


def read_plain(text: str, label: str) -> Reading:
    """The plain daily table.

    Raises
    ------
    Faults
        With line and column: no temperature column, a unit that is not said, a date or number that cannot be read.
    """
    rows = csv.reader(io.StringIO(text))
    header = [_name(column) for column in next(rows)]
    faults = _header_faults(header, label)
    if faults:
        raise Faults(faults)
    date_at = header.index("date")
    wanted = {at: _COLUMNS[name] for at, name in enumerate(header) if name in _COLUMNS}
    days: list[np.datetime64] = []
    values: dict[str, list[float]] = {name: [] for name, _ in wanted.values()}
    for cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        line = f"{label}, line {rows.line_num}"
        if len(cells) != len(header):
            faults.append(fault(line, f"{len(cells)} columns where the first line names {len(header)}."))
        else:
            day = _date(cells[date_at].strip())
            if day is None:
                faults.append(
                    fault(
                        f"{line}, date",
                        f"“{cells[date_at]}” is not a date.",
                        "Write year-month-day: 2019-05-03.",
                    )
                )
            else:
                days.append(day)
                for at, (name, convert) in wanted.items():
                    number = _number(cells[at])
                    if number is None:
                        faults.append(fault(f"{line}, {header[at]}", f"“{cells[at]}” is not a number."))
                        number = np.nan
                    values[name].append(convert(number))
        if len(faults) >= _MOST_FAULTS:
            faults.append(fault(label, "and more of the kind; mend these first."))
            break
    if faults:
        raise Faults(faults)
    return Reading(
        label,
        np.array(days, dtype="datetime64[D]"),
        {name: np.array(column) for name, column in values.items()},
    )


def read_ghcn_access(text: str, label: str) -> Reading:
    """GHCN-Daily, one line a day with *_ATTRIBUTES columns. Raises Faults as :func:`read_plain`."""
    rows = csv.DictReader(io.StringIO(text))
    days: list[np.datetime64] = []
    stations: set[str] = set()
    values: dict[str, list[float]] = {name: [] for name, _ in _ELEMENTS.values()}
    faults: list[Notice] = []
    failed = 0
    for row in rows:
        day = _date((row["DATE"] or "").strip())
        if day is None:
            faults.append(fault(f"{label}, line {rows.line_num}, DATE", f"“{row['DATE']}” is not a date."))
            if len(faults) >= _MOST_FAULTS:
                break
            continue
        days.append(day)
        stations.add(row["STATION"])
        for element, (name, factor) in _ELEMENTS.items():
            number = _number(row.get(element) or "")
            flags = (row.get(f"{element}_ATTRIBUTES") or "").split(",")
            if number is None:
                faults.append(
                    fault(f"{label}, line {rows.line_num}, {element}", f"“{row[element]}” is not a number.")
                )
                number = np.nan
            elif len(flags) > 1 and flags[1].strip():
                failed += int(np.isfinite(number))
                number = np.nan
            values[name].append(number * factor)
        if len(faults) >= _MOST_FAULTS:
            break
    if len(stations) > 1:
        says = f"holds {len(stations)} stations ({', '.join(sorted(stations)[:3])} …)."
        faults.append(
            fault(label, says, "Cut it to one station; several files may be named in the plan instead.")
        )
    if faults:
        raise Faults(faults)
    columns = {name: np.array(column) for name, column in values.items()}
    return Reading(
        label, np.array(days, dtype="datetime64[D]"), columns, notices=_quality_notice(label, failed)
    )


def read_ghcn_by_station(text: str, label: str) -> Reading:
    """GHCN-Daily without header, one line an element. Raises Faults as :func:`read_plain`."""
    table: dict[np.datetime64, dict[str, float]] = {}
    stations: set[str] = set()
    faults: list[Notice] = []
    failed = 0
    rows = csv.reader(io.StringIO(text))
    for cells in rows:
        if len(cells) < 7 or cells[2] not in _ELEMENTS:
            continue
        day, number = _date(cells[1]), _number(cells[3])
        if day is None or number is None:
            faults.append(fault(f"{label}, line {rows.line_num}", f"“{','.join(cells[:4])}” cannot be read."))
            if len(faults) >= _MOST_FAULTS:
                break
            continue
        stations.add(cells[0])
        if cells[5].strip():
            failed += 1
            continue
        name, factor = _ELEMENTS[cells[2]]
        table.setdefault(day, {})[name] = number * factor
    if len(stations) > 1:
        faults.append(fault(label, f"holds {len(stations)} stations.", "Cut it to one station."))
    if faults:
        raise Faults(faults)
    days = sorted(table)
    columns: dict[str, Array] = {
        name: np.array([table[day].get(name, np.nan) for day in days]) for name, _ in _ELEMENTS.values()
    }
    return Reading(
        label, np.array(days, dtype="datetime64[D]"), columns, notices=_quality_notice(label, failed)
    )


def _quality_notice(label: str, failed: int) -> tuple[Notice, ...]:
    if not failed:
        return ()
    return (
        remark(label, f"{failed} values failed NOAA's own quality checks and were left out.", source="GHCND"),
    )


def _header_faults(header: list[str], label: str) -> list[Notice]:
    faults = []
    where = f"{label}, line 1"
    for name in ("tmin", "tmax", "rain"):
        if name in header:
            pair = {"rain": "rain_mm or rain_in"}.get(name, f"{name}_c or {name}_f")
            faults.append(fault(where, f"the column “{name}” does not say its unit.", f"Call it {pair}."))
    found = {_COLUMNS[name][0] for name in header if name in _COLUMNS}
    for name in _NEEDED:
        if name not in found and name not in header:
            near = get_close_matches(f"{name}_c", header, n=1)
            remedy = (
                f"Is it “{near[0]}”? Call it {name}_c or {name}_f."
                if near
                else f"It is called {name}_c or {name}_f."
            )
            faults.append(fault(where, f"there is no column of the day's {_said(name)} temperature.", remedy))
    twice = sorted({name for name in header if name in _COLUMNS and header.count(name) > 1})
    both = [
        name
        for name in found
        if sum(_COLUMNS[column][0] == name for column in header if column in _COLUMNS) > 1
    ]
    if twice or both:
        faults.append(fault(where, f"{', '.join(twice or both)} stands in two columns.", "Keep one."))
    return faults


def _said(name: str) -> str:
    return {"tmin": "lowest", "tmax": "highest"}[name]


def _name(column: str) -> str:
    name = (
        column.strip()
        .strip("\ufeff")
        .lower()
        .replace(" ", "_")
        .replace("(", "")
        .replace(")", "")
        .replace("°", "")
    )
    return _SYNONYMS.get(name, name)


def _date(text: str) -> np.datetime64 | None:
    if len(text) == 8 and text.isdigit():
        text = f"{text[:4]}-{text[4:6]}-{text[6:]}"
    if len(text) != 10 or text[4] != "-" or text[7] != "-":
        return None
    try:
        return np.datetime64(text, "D")
    except ValueError:
        return None


def _number(text: str) -> float | None:
    text = text.strip()
    if text.lower() in _MISSING:
        return float("nan")
    try:
        return float(text)
    except ValueError:
        return None
