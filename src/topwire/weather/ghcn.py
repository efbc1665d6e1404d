"""NOAA's Global Historical Climatology Network - Daily (source GHCND), in its three by-station layouts.

* "access" CSV: STATION, DATE, ..., then TMAX, TMAX_ATTRIBUTES, TMIN, ... in tenths of a degree and of a millimetre;
* "by station" CSV without header: station, date, element, value, measurement flag, quality flag, source flag, time;
* fixed width .dly: a station, month and element a line, then 31 values with three flags each.

A value whose quality flag is not blank failed NOAA's own checks and is left out.
"""

import csv
import re
from collections import Counter
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from topwire.values.fault import Faults, FileNotice, fault, remark
from topwire.weather.air import wind_at_two_metres
from topwire.weather.reading import Reading, daily_reading, station_of
from topwire.weather.table import MOST_FAULTS, day_of, parse_table

Array = npt.NDArray[np.float64]

# Element -> column of the house and the size of one step in its unit (readme of the data set, "VALUE").
ELEMENTS = {"TMIN": ("tmin", 0.1), "TMAX": ("tmax", 0.1), "PRCP": ("rain", 0.1), "AWND": ("wind10", 0.1)}
_MISSING = -9999
_CLOCK = re.compile(r"[0-2]\d[0-5]\d")
_DLY = re.compile(r"[A-Z0-9_\-]{11}\d{4}(0[1-9]|1[0-2])[A-Z][A-Z0-9]{3}")
_WARMEST_WHOLE_DEGREES = (
    140  # a summer's TMAX above it can only be tenths; below it cannot be, where apples grow
)


def is_access(names: list[str]) -> bool:
    """True for a header with STATION, DATE and an element of ours."""
    return {"STATION", "DATE"} <= set(names) and bool(set(names) & set(ELEMENTS))


def is_by_station(cells: list[str]) -> bool:
    """True for a line of the layout without header, or the header newer files have."""
    if [cell.strip().upper() for cell in cells[:4]] == ["ID", "DATE", "ELEMENT", "DATA_VALUE"]:
        return True
    return len(cells) in (7, 8) and re.fullmatch(r"\d{8}", cells[1]) is not None and len(cells[2]) == 4


def is_fixed_width(line: str) -> bool:
    """True for a line of a .dly file."""
    return _DLY.match(line) is not None and len(line.rstrip("\n")) > 100


@dataclass
class _Days:
    """Values by day and column as they come, with what is wrong."""

    label: str
    rows: dict[np.datetime64, dict[str, float]] = field(default_factory=dict)
    stations: set[str] = field(default_factory=set)
    failed: int = 0
    faults: list[FileNotice] = field(default_factory=list)

    def put(self, day: np.datetime64, element: str, value: int, quality: str) -> None:
        if value == _MISSING:
            return
        if quality.strip():
            self.failed += 1
            return
        name, step = ELEMENTS[element]
        self.rows.setdefault(day, {})[name] = value * step

    def blame(self, line: int, says: str, remedy: str = "") -> None:
        self.faults.append(fault(f"{self.label}, line {line}", says, remedy))
        if len(self.faults) >= MOST_FAULTS:
            raise Faults([*self.faults, fault(self.label, "has more such lines; mend these first.")])

    def reading(self) -> Reading:
        if len(self.stations) > 1:
            self.faults.append(_several(self.label, self.stations))
        if not self.rows and not self.faults:
            says = "holds neither TMIN, TMAX nor PRCP."
            self.faults.append(fault(self.label, says, "Take a station that measures temperature."))
        if self.faults:
            raise Faults(self.faults)
        days = sorted(self.rows)
        columns = {
            name: np.array([self.rows[day].get(name, np.nan) for day in days])
            for name, _ in ELEMENTS.values()
        }
        return _finished(self.label, np.array(days, dtype="datetime64[D]"), columns, self.failed)


def read_access(lines: list[str], label: str, *, first: int = 0) -> Reading:
    """The layout with a line a day, its header in `lines[first]`. Raises Faults with line and column; one of them tells
    a file in whole degrees."""
    table = parse_table(lines, label, first=first)
    names = [name.strip() for name in table.header]
    stations = set(table.cells[names.index("STATION")])
    if len(stations) > 1:
        raise Faults([_several(label, stations)])
    day = table.dates(names.index("DATE"))
    columns, failed = {}, 0
    for element, (name, step) in ELEMENTS.items():
        if element not in names:
            continue
        values = table.numbers(names.index(element))
        if f"{element}_ATTRIBUTES" in names:
            flags = table.cells[names.index(f"{element}_ATTRIBUTES")]
            bad = np.array([_second(flag) != "" for flag in flags]) & np.isfinite(values)
            failed += int(bad.sum())
            values = np.where(bad, np.nan, values)
        columns[name] = values * step
    table.settle()
    _tenths(columns, label, [cell for at in _temperatures(names) for cell in table.cells[at]], first + 1)
    made = _finished(label, day, columns, failed)
    if not {"LATITUDE", "LONGITUDE"} <= set(names):
        return made
    where = (table.cells[names.index(name)][0] for name in ("LATITUDE", "LONGITUDE"))
    return replace(made, station=station_of(*where))


def read_by_station(lines: list[str], label: str) -> Reading:
    """The layout with a line an element. Raises Faults with line."""
    days = _Days(label)
    for number, line in enumerate(lines, start=1):
        cells = line.split(",")
        if len(cells) < 7:
            if line.strip():
                days.blame(
                    number, f"has {len(cells)} columns where the layout has 8.", "The line is cut off."
                )
            continue
        if cells[2] not in ELEMENTS:
            continue
        day = day_of(cells[1])
        try:
            value = int(cells[3])
        except ValueError:
            days.blame(number, f"“{cells[3]}” is not a value of {cells[2]}.", "The layout has whole tenths.")
            continue
        if day is None:
            days.blame(number, f"“{cells[1]}” is not a date.", "The layout writes 20190503.")
            continue
        days.stations.add(cells[0])
        days.put(day, cells[2], value, cells[5])
    return days.reading()


def read_fixed_width(lines: list[str], label: str) -> Reading:
    """The .dly layout. Raises Faults with line and place in the line."""
    days = _Days(label)
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        if not _DLY.match(line):
            days.blame(number, f"“{line[:30]}” does not begin with station, year, month and element.")
            continue
        element = line[17:21]
        if element not in ELEMENTS:
            continue
        days.stations.add(line[:11])
        start = np.datetime64(f"{line[11:15]}-{line[15:17]}", "M")
        length = int(((start + 1).astype("datetime64[D]") - start.astype("datetime64[D]")).astype(int))
        for day in range(length):
            at = 21 + 8 * day
            cell = line[at : at + 8].ljust(8)
            try:
                value = int(cell[:5])
            except ValueError:
                says = f"“{cell[:5]}” at place {at + 1} is not a value of {element}, day {day + 1}."
                days.blame(number, says, "The line is cut off or shifted.")
                break
            days.put(start.astype("datetime64[D]") + day, element, value, cell[6])
    return days.reading()


def _temperatures(names: list[str]) -> list[int]:
    return [names.index(element) for element in ("TMAX", "TMIN") if element in names]


def _tenths(columns: dict[str, Array], label: str, written: list[str], line: int) -> None:
    """Refuses values that are not tenths: NOAA's order form delivers the same columns in whole degrees."""
    highest = columns.get("tmax", np.array([]))
    highest = highest[np.isfinite(highest)] * 10
    if not highest.size:
        return
    warm = float(np.percentile(highest, 98))
    decimals = any("." in cell for cell in written)
    if not decimals and warm >= _WARMEST_WHOLE_DEGREES:
        return
    if (
        not decimals and highest.size < 200
    ):  # a winter's file may never be warm; the tenths are taken at their word
        return
    unit, rain = ("f", "in") if warm > 55 else ("c", "mm")
    said = "Fahrenheit" if unit == "f" else "Celsius"
    says = f"TMAX of {warm:.0f} on a warm day cannot be tenths of a degree; the values look like whole degrees {said}."
    names = f"tmax_{unit}, tmin_{unit} and rain_{rain}"
    remedy = f"Rename TMAX, TMIN and PRCP in line {line} to {names}, if that is so."
    raise Faults([fault(f"{label}, column TMAX", says, remedy)])


def _second(attributes: str) -> str:
    """The quality flag among measurement, quality, source and time."""
    parts = attributes.split(",")
    return parts[1].strip() if len(parts) > 1 else ""


def _several(label: str, stations: set[str]) -> FileNotice:
    says = f"holds {len(stations)} stations ({', '.join(sorted(stations)[:3])})."
    return fault(label, says, "Cut it to one station; several files may be named in the plan instead.")


def _finished(label: str, day: npt.NDArray[np.datetime64], columns: dict[str, Array], failed: int) -> Reading:
    if "wind10" in columns:
        columns["wind"] = wind_at_two_metres(columns.pop("wind10"), 10.0)
    notices: tuple[FileNotice, ...] = ()
    if failed:
        says = f"values that failed NOAA's own quality checks were left out ({failed})."
        notices = (remark(label, says, source="GHCND"),)
    return daily_reading(label, day, columns, notices)


def told_beside(text: str) -> tuple[float, float]:
    """What an "access" file tells beside its values: share of temperatures that failed, hour of observation.

    The hour is the one most often told [h of the day], NaN where none is.
    """
    failed = known = 0
    hours: Counter[str] = Counter()
    for row in csv.DictReader(text.splitlines()):
        for element in ("TMAX", "TMIN", "PRCP"):
            attributes = (row.get(f"{element}_ATTRIBUTES") or "").split(",")
            if element != "PRCP" and (row.get(element) or "").strip():
                known += 1
                failed += len(attributes) > 1 and bool(attributes[1].strip())
            if len(attributes) > 3 and _CLOCK.fullmatch(attributes[3].strip()):
                hours[attributes[3].strip()] += 1
    hour = float("nan")
    if hours:
        told = hours.most_common(1)[0][0]
        hour = int(told[:2]) + int(told[2:]) / 60
    return (failed / known if known else 0.0), hour
