"""NASA POWER daily and hourly files, CSV and JSON (source NASAPOWER).

The values are means of a cell some 50 km wide, not of a station: valley frost does not show in them.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.values.fault import Faults, FileNotice, assumption, fault, warning
from topwire.weather.air import wind_at_two_metres
from topwire.weather.reading import Reading, at_hour, daily_reading, hourly_reading, station_of
from topwire.weather.table import parse_table

Array = npt.NDArray[np.float64]

_END = "-END HEADER-"
_DAILY = {"T2M_MIN": "tmin", "T2M_MAX": "tmax"}
_HOURLY = {"T2M": "temperature"}
_BOTH = {
    "PRECTOTCORR": "rain",
    "PRECTOT": "rain",
    "T2MDEW": "dew_point",
    "RH2M": "humidity",
    "WS2M": "wind",
    "WS10M": "wind10",
    "ALLSKY_SFC_SW_DWN": "sun",
}
# Unit as the file writes it, without blanks and lower case -> factor to MJ/m2 or mm.
_SUN = {
    "mj/m^2/day": 1.0,
    "mj/m^2/hour": 1.0,
    "mj/hr": 1.0,
    "mj/m^2/hr": 1.0,
    "kw-hr/m^2/day": 3.6,
    "kwh/m^2/day": 3.6,
    "wh/m^2": 0.0036,
    "w/m^2": 0.0036,
}
_RAIN = {"mm/day": 1.0, "mm/hour": 1.0, "mm/hr": 1.0, "mm": 1.0}
_SAID_UNIT = re.compile(r"^([A-Z0-9_]+)\s+.*\(([^()]*)\)\s*$")


def is_power_csv(lines: list[str]) -> bool:
    """True for the header block of the service, or its bare table."""
    first = lines[0].strip().upper()
    return first.startswith("-BEGIN HEADER-") or (first.startswith("YEAR,") and "T2M" in first)


def is_power_json(text: str) -> bool:
    """True for an object with the parameter block of the service."""
    return text.lstrip().startswith("{") and '"parameter"' in text[:200_000] + text[-200_000:]


def read_power_csv(lines: list[str], label: str, *, first: int = 0) -> Reading:
    """A POWER CSV that begins with `lines[first]`. Raises Faults with line and column."""
    end = next((at for at, line in enumerate(lines) if line.strip().upper() == _END), first - 1)
    if end < first and lines[first].strip().upper().startswith("-BEGIN"):
        raise Faults([fault(label, f"the header has no line {_END}.", "Fetch the file again.")])
    head = lines[: end + 1]
    if end + 1 >= len(lines):
        raise Faults([fault(label, "ends after its header.", "Fetch the file again.")])
    units = {match[1]: match[2] for line in head if (match := _SAID_UNIT.match(line.strip()))}
    table = parse_table(lines, label, first=end + 1)
    names = [name.strip().upper() for name in table.header]
    by_month = "MO" in names and "DY" in names
    if "YEAR" not in names or not (by_month or "DOY" in names):
        raise Faults([fault(f"{label}, line {end + 2}", "there is no YEAR with MO and DY, or with DOY.")])

    def whole(name: str) -> npt.NDArray[np.int64]:
        return np.nan_to_num(table.numbers(names.index(name)), nan=-1).astype(np.int64)

    year = whole("YEAR")
    january = (year - 1970).astype("datetime64[Y]")
    if by_month:
        month, in_month = whole("MO"), whole("DY")
        starts = np.add(january.astype("datetime64[M]"), month - 1)
        day = np.add(starts.astype("datetime64[D]"), in_month - 1)
        wrong = (month < 1) | (month > 12) | (day.astype("datetime64[M]") != starts)
    else:
        day = np.add(january.astype("datetime64[D]"), whole("DOY") - 1)
        wrong = day.astype("datetime64[Y]") != january
    wrong |= (year < 1900) | (year > 2200)
    date_at = names.index("MO" if by_month else "DOY")
    for row in np.flatnonzero(wrong):
        table.add(int(row), date_at, "year, month and day (or day of the year) make no date.")
    values = {name: table.numbers(at) for at, name in enumerate(names) if _known(name)}
    hour = whole("HR") if "HR" in names else None
    if hour is not None:
        for row in np.flatnonzero((hour < 0) | (hour > 23)):
            table.add(
                int(row), names.index("HR"), f"{hour[row]} is no hour of the day.", "They run from 0 to 23."
            )
    table.settle()
    stated = [
        re.search(rf"{name}\s+(-?\d+(?:\.\d+)?)", "\n".join(head), re.IGNORECASE)
        for name in ("latitude", "longitude")
    ]
    station = station_of(*(one[1] if one else None for one in stated))
    universal = bool(re.search(r"\bUTC\b", "\n".join(head)))
    return _reading(label, day, hour, values, units, station, universal=universal)


def read_power_json(text: str, label: str) -> Reading:
    """A POWER JSON. Raises Faults with line and column where it is no JSON."""
    try:
        content = json.loads(text)
    except json.JSONDecodeError as error:
        says = f"is not whole JSON: {error.msg}."
        where = f"{label}, line {error.lineno}, column {error.colno}"
        raise Faults([fault(where, says, "Fetch the file again.")]) from None
    except (RecursionError, ValueError):
        says = "stands too deep in itself, or holds a number of too many digits."
        raise Faults([fault(label, says, "Fetch the file again.")]) from None
    series = _inside(content, "properties", "parameter")
    if (
        not isinstance(series, dict)
        or not series
        or not all(isinstance(one, dict) for one in series.values())
    ):
        raise Faults([fault(label, "has no values under properties, parameter.", "Fetch the file again.")])
    stamps = sorted({stamp for name, one in series.items() if _known(name) for stamp in one})
    if not stamps:
        raise Faults([fault(label, "has none of the parameters used.", _WANTED)])
    lengths = {len(stamp) for stamp in stamps}
    if lengths not in ({8}, {10}) or not all(stamp.isascii() and stamp.isdigit() for stamp in stamps):
        raise Faults(
            [fault(label, "is neither a daily nor an hourly file.", "Ask the service for one of these.")]
        )
    try:
        day = np.array([f"{s[:4]}-{s[4:6]}-{s[6:8]}" for s in stamps], dtype="datetime64[D]")
    except ValueError as error:
        raise Faults([fault(label, f"holds a date that does not exist: {error}.")]) from None
    hour = np.array([int(s[8:]) for s in stamps]) if lengths == {10} else None
    if hour is not None and hour.max() > 23:
        raise Faults([fault(label, f"holds an hour {hour.max()}; they run from 0 to 23.")])
    fill = _inside(content, "header", "fill_value")
    values = {}
    for name, one in series.items():
        if not _known(name):
            continue
        column = np.array([_float(one.get(stamp)) for stamp in stamps])
        column[column == (fill if isinstance(fill, (int, float)) else -999.0)] = np.nan
        column[column <= -990] = np.nan
        values[name] = column
    said = _inside(content, "parameters")
    units = (
        {name: str(one.get("units", "")) for name, one in said.items() if isinstance(one, dict)}
        if isinstance(said, dict)
        else {}
    )
    universal = str(_inside(content, "header", "time_standard") or "").upper() == "UTC"
    place = _inside(content, "geometry", "coordinates")
    known = isinstance(place, list) and len(place) >= 2
    station = station_of(_float(place[1]), _float(place[0])) if known else None
    return _reading(label, day, hour, values, units, station, universal=universal)


_WANTED = (
    "Ask for T2M_MIN, T2M_MAX, PRECTOTCORR (hourly: T2M), and RH2M, WS2M, ALLSKY_SFC_SW_DWN beside them."
)


def _reading(
    label: str,
    day: npt.NDArray[np.datetime64],
    hour: npt.NDArray[np.int64] | None,
    values: Mapping[str, Array],
    units: Mapping[str, str],
    station: tuple[float, float] | None,
    *,
    universal: bool,
) -> Reading:
    hourly = hour is not None
    names = (_HOURLY if hourly else _DAILY) | _BOTH
    says = "holds means of a cell some 50 km wide, not of a station: frost in hollows does not show."
    notices: list[FileNotice] = [
        assumption(label, says, "Join a near station's file where there is one.", source="NASAPOWER")
    ]
    columns: dict[str, Array] = {}
    faults: list[FileNotice] = []
    for written, column in values.items():
        name = names.get(written)
        if name is None:
            continue
        unit = units.get(written, "").replace(" ", "").lower()
        if name == "sun" and not unit:
            notices.append(warning(label, f"does not say the unit of {written}; it was left out."))
            continue
        factor: float | None = 1.0
        if name in ("sun", "rain") and unit:
            factor = (_SUN if name == "sun" else _RAIN).get(unit)
        if name in ("tmin", "tmax", "temperature", "dew_point") and unit not in ("", "c", "degc", "°c"):
            factor = None
        if factor is None:
            says = f"{written} is in “{units[written]}”, which is not known here."
            faults.append(fault(label, says, "Fetch the file for the agroclimatology community."))
            continue
        columns.setdefault(name, column * factor)
    wanted = ("temperature",) if hourly else ("tmin", "tmax")
    lacking = [written for written, name in names.items() if name in wanted and name not in columns]
    if lacking and not faults:
        faults.append(fault(label, f"has no {' and no '.join(lacking)}.", _WANTED))
    if faults:
        raise Faults(faults)
    if "wind10" in columns:
        at_ten = wind_at_two_metres(columns.pop("wind10"), 10.0)
        columns.setdefault("wind", at_ten)
    if not hourly or hour is None:
        return replace(daily_reading(label, day, columns, tuple(notices)), station=station, gridded=True)
    stamp = at_hour(day, hour)
    if universal:
        stamp, told = _to_local(stamp, None if station is None else station[1], label)
        notices.append(told)
    made = hourly_reading(label, stamp, columns, notices=tuple(notices))
    return replace(made, station=station, gridded=True)


def _to_local(
    stamp: npt.NDArray[np.datetime64], longitude: float | None, label: str
) -> tuple[npt.NDArray[np.datetime64], FileNotice]:
    if longitude is None:
        says = "is in universal time and does not say its longitude."
        raise Faults([fault(label, says, "Fetch it in local time (LST).")])
    shift = round(longitude / 15)
    told = warning(label, f"is in universal time; its hours were moved by {shift:+d} h to local time.")
    return stamp + np.timedelta64(shift, "h"), told


def _known(name: str) -> bool:
    return name in _DAILY or name in _HOURLY or name in _BOTH


def _inside(tree: Any, *keys: str) -> Any:
    for key in keys:
        tree = tree.get(key) if isinstance(tree, dict) else None
    return tree


def _float(value: Any) -> float:
    """A number as it stands, NaN for anything else; whole numbers too large for a float among it."""
    known = isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e300
    return float(value) if known else float("nan")
