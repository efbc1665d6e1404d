"""The files of the record: how each is asked for, checked, and held against the copy that is kept."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial

import numpy as np

from topwire.values.fault import Faults, fault
from topwire.weather.ghcn import told_beside
from topwire.weather.online.asking import NoAnswer
from topwire.weather.online.bringing import A_DAY, A_MONTH, Wanted
from topwire.weather.online.lists import is_station_list
from topwire.weather.online.services import CELL, STATIONS
from topwire.weather.read import reading_of
from topwire.weather.reading import Reading

LISTS = ("ghcnd-stations.txt", "ghcnd-inventory.txt")
SHRUNK = 0.95  # a newer copy with fewer than this share of the kept one's days is half an answer
CELL_BEGINS = 1981
NOT_YET = timedelta(days=45)  # by which a cell's last days may lag behind
CELL_PARAMETERS = ("T2M_MIN", "T2M_MAX", "PRECTOTCORR", "RH2M", "WS2M", "ALLSKY_SFC_SW_DWN")
PAST, RECENT = "cell_past.json", "cell_recent.json"
_DAILY = "/data/global-historical-climatology-network-daily/access"
_LIST = "/pub/data/ghcn/daily"
_ROUNDING = 0.006  # [deg] coordinates are sent in hundredths
LONG = 900.0  # [s] for what is many megabytes on a farm's line


@dataclass(frozen=True)
class StationRecord:
    """A station's file: its days, and what it tells beside them (share that failed, hour of observation)."""

    reading: Reading
    failed: float = 0.0
    hour: float = float("nan")


def station_list(name: str) -> Wanted[str]:
    """One of the two lists of the daily network."""
    says = "the list of its stations (10 MB)" if name == LISTS[0] else "the years they report (33 MB)"
    return Wanted(
        name, STATIONS, f"{_LIST}/{name}", {}, says, partial(_list, name), _not_shorter, A_MONTH, LONG
    )


def station_file(station: str) -> Wanted[StationRecord]:
    """One station's whole record."""
    return Wanted(
        f"{station}.csv",
        STATIONS,
        f"{_DAILY}/{station}.csv",
        {},
        f"the record of station {station}",
        partial(_station, station),
        _still_whole,
        A_DAY,
        LONG,
    )


def cell_file(name: str, latitude: float, longitude: float, today: date) -> Wanted[StationRecord]:
    """The cell's days: the closed years in one file, this year and the last, which are still mended, in another."""
    split = today.year - 1
    first = date(CELL_BEGINS, 1, 1) if name == PAST else date(split, 1, 1)
    last = date(split - 1, 12, 31) if name == PAST else today - timedelta(days=1)
    north, east = round(latitude, 2), round(longitude, 2)
    query = {
        "parameters": ",".join(CELL_PARAMETERS),
        "community": "AG",
        "longitude": f"{east:.2f}",
        "latitude": f"{north:.2f}",
        "start": f"{first:%Y%m%d}",
        "end": f"{last:%Y%m%d}",
        "format": "JSON",
        "time-standard": "LST",
    }
    return Wanted(
        name,
        CELL,
        "/api/temporal/daily/point",
        query,
        f"the days from {first} to {last} of the cell the orchard lies in",
        partial(_cell, name, north, east, first, last),
        still_whole_since,
        A_MONTH if name == PAST else A_DAY,
        LONG,
    )


def together(records: Sequence[StationRecord]) -> StationRecord:
    """The files of one station as one record, the first winning where two have a day."""
    reading = records[0].reading
    for later in records[1:]:
        new = later.reading.taken(np.flatnonzero(~np.isin(later.reading.day, reading.day)))
        shared = reading.columns.keys() & new.columns.keys()
        day = np.concatenate([reading.day, new.day])
        order = np.argsort(day, kind="stable")
        columns = {name: np.concatenate([reading.columns[name], new.columns[name]])[order] for name in shared}
        reading = replace(reading, day=day[order], columns=columns, hours={})
    return replace(records[0], reading=reading)


def _list(name: str, body: bytes) -> str:
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError:
        text = body.decode("latin-1")
    if not is_station_list(text) or not text.endswith("\n"):
        raise Faults([fault(name, "is not the list it should be, or is cut off.")])
    return text


def _not_shorter(new: str, old: str) -> None:
    if new.count("\n") < SHRUNK * old.count("\n"):
        says = f"the list that came has {new.count(chr(10)):,} lines, the kept one {old.count(chr(10)):,}"
        raise NoAnswer(f"{says}: half an answer is not kept.")


def _station(station: str, body: bytes) -> StationRecord:
    label = f"{station}.csv"
    reading = reading_of(body, label)
    text = body.decode("utf-8", "replace")
    if station not in text[:2000]:
        raise Faults([fault(label, f"is the record of another station than {station}.")])
    if not text.endswith("\n"):
        raise Faults([fault(label, "ends in the middle of a line.")])
    failed, hour = told_beside(text)
    return StationRecord(reading, failed, hour)


def _cell(label: str, north: float, east: float, first: date, last: date, body: bytes) -> StationRecord:
    reading = reading_of(body, label)
    if reading.station is None:
        raise Faults([fault(label, "does not say which place it is for.")])
    if max(abs(reading.station[0] - north), abs(reading.station[1] - east)) > _ROUNDING:
        says = f"is for latitude {reading.station[0]:g}, longitude {reading.station[1]:g}, not the place asked for."
        raise Faults([fault(label, says)])
    lacking = [name for name in ("tmin", "tmax", "rain") if name not in reading.columns]
    if lacking:
        raise Faults([fault(label, f"lacks {', '.join(lacking)}.")])
    day = reading.day
    late = NOT_YET if label == RECENT else timedelta()  # the newest days come empty
    if (
        day[0].astype(object) != first
        or day[-1].astype(object) < last - late
        or np.any(np.diff(day).astype(np.int64) != 1)
    ):
        raise Faults([fault(label, f"holds {day[0]} to {day[-1]} with gaps, not the days asked for.")])
    return StationRecord(reading)


def _still_whole(new: StationRecord, old: StationRecord) -> None:
    """Raises NoAnswer where the newer copy has lost days: the kept one stays."""
    _as_many(new, old, old.reading.day[0])


def still_whole_since(new: StationRecord, old: StationRecord) -> None:
    """The same of a file that begins later from time to time: earlier days are in another file then."""
    _as_many(new, old, new.reading.day[0])


def _as_many(new: StationRecord, old: StationRecord, since: np.datetime64) -> None:
    many, had = (_days(one.reading, since) for one in (new, old))
    if many < SHRUNK * had:
        says = f"what came of {new.reading.label} holds {many:,} days with a lowest temperature, the kept copy {had:,}"
        raise NoAnswer(f"{says}: half an answer is not kept.")


def _days(reading: Reading, since: np.datetime64) -> int:
    low = reading.columns.get("tmin", np.full(reading.day.size, np.nan))
    return int((np.isfinite(low) & (reading.day >= since)).sum())
