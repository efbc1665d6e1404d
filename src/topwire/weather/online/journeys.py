"""What the commands do online: look for a station, bring a record, bring it up to date, bring the forecast."""

import re
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import numpy as np

from topwire.values.fault import Faults, fault
from topwire.weather.changes import RecordChanges, changes_between
from topwire.weather.fetched import Fetched, keep_fetched, read_fetched
from topwire.weather.forecast import WeatherForecast
from topwire.weather.forecast_kept import FOLDER as AHEAD
from topwire.weather.forecast_kept import keep_history
from topwire.weather.online import german
from topwire.weather.online.ahead import grid_ahead, grid_place, point_ahead
from topwire.weather.online.asking import Asker, NoAnswer
from topwire.weather.online.bringing import Brought, BroughtHow, Wanted, bring
from topwire.weather.online.judged import StationCandidate, judged
from topwire.weather.online.lists import NearStation, near_stations
from topwire.weather.online.records import (
    LISTS,
    PAST,
    RECENT,
    StationRecord,
    cell_file,
    station_file,
    station_list,
    together,
)
from topwire.weather.online.services import CELL, GERMAN, GRID_AHEAD, POINT_AHEAD, STATIONS

CACHE = Path(".topwire") / "online"  # lists and records looked at; may be deleted at any time
RECORD = Path("weather")
STATION = re.compile(r"[A-Z]{2}[A-Z0-9_\-]{9}|dwd:\d{5}")


@dataclass(frozen=True)
class Whereabouts:
    """Where the orchard lies: folder, latitude and longitude [deg], height [m]."""

    folder: Path
    latitude: float
    longitude: float
    elevation: float


@dataclass(frozen=True)
class Looked:
    """Stations looked at, the best first; and those whose record could not be looked at, with why."""

    candidates: list[StationCandidate]
    unseen: list[tuple[NearStation, str]]


@dataclass(frozen=True)
class Came:
    """A file of the record after it was brought.

    Attributes
    ----------
    entry : its line in the sidecar
    how : how it was brought; None where it could not be, `why` says why
    first, last : day with both temperatures
    whole : share of days between with both temperatures
    changes : beside the copy before; None where there was none
    """

    entry: Fetched
    how: BroughtHow | None
    first: np.datetime64
    last: np.datetime64
    whole: float
    changes: RecordChanges | None
    why: str = ""
    outdated: bool = False


def look_for_stations(orchard: Whereabouts, asker: Asker, moment: datetime) -> Looked:
    """Near stations with what their records hold.

    Raises
    ------
    NoAnswer
        The lists cannot be had.
    Faults, OSError
        As `bring`.
    """
    cache = orchard.folder / CACHE
    place = (orchard.latitude, orchard.longitude, orchard.elevation, moment.year)
    if german.in_germany(*place[:2]):
        found = german.near_german(bring(cache, german.german_list(), asker, moment).content, *place)
    else:
        names, years = (bring(cache, station_list(name), asker, moment).content for name in LISTS)
        found = near_stations(names, years, *place)
    seen: list[tuple[NearStation, StationRecord]] = []
    unseen: list[tuple[NearStation, str]] = []
    for station in found:
        try:
            wanted = _files_of(station.station, cache, asker, moment)
            records = [bring(cache, one, asker, moment).content for one in wanted]
        except NoAnswer as none:
            unseen.append((station, none.says))
        else:
            seen.append((station, together(records)))
    today = np.datetime64(moment.date(), "D")
    told = [(station, record.reading, record.failed, record.hour) for station, record in seen]
    return Looked(judged(told, today), unseen)


def bring_station(orchard: Whereabouts, station: str, asker: Asker, moment: datetime) -> list[Came]:
    """A station's record, in one file or two, into the orchard's weather folder.

    Raises NoAnswer, Faults, OSError as `bring`.
    """
    came = []
    for wanted in _files_of(station, orchard.folder / CACHE, asker, moment):
        taken = _from_cache(orchard.folder, wanted)
        brought = bring(orchard.folder / RECORD, wanted, asker, moment)
        came.append(_came(replace(brought, how=BroughtHow.NEW) if taken else brought))
    return came


def bring_cell(orchard: Whereabouts, asker: Asker, moment: datetime) -> list[Came]:
    """The cell's record into the weather folder: the closed years first, so that no year falls between the two files.

    Raises NoAnswer, Faults, OSError as `bring`.
    """
    return [
        _came(bring(orchard.folder / RECORD, _of_cell(orchard, name, moment), asker, moment))
        for name in (PAST, RECENT)
    ]


def bring_up_to_date(orchard: Whereabouts, asker: Asker, moment: datetime) -> list[Came]:
    """Every file of the record that came from a service, as new as it is there; a file that fails stays as it is.

    Raises
    ------
    Faults
        Nothing of the record came from a service, or the sidecar cannot be read.
    OSError
        The folder cannot be written.
    """
    folder = orchard.folder / RECORD
    entries = sorted(read_fetched(folder), key=lambda one: (one.service, one.file != PAST, one.file))
    if not entries:
        says = "holds no file that came from a service; there is nothing to bring up to date."
        raise Faults([fault("weather", says, "Begin with: topwire weather find FOLDER")])
    came: list[Came] = []
    broken: set[str] = set()
    for entry in entries:
        if entry.service in broken:
            came.append(_failed(folder, entry, "was not asked after the answer before had failed"))
            continue
        try:
            came.append(_came(bring(folder, _again(orchard, entry, asker, moment), asker, moment)))
        except NoAnswer as none:
            came.append(_failed(folder, entry, none.says))
            broken.add(entry.service if not none.absent else "")
        except Faults as found:
            came.append(_failed(folder, entry, str(found.notices[0])))
    return came


def forecast_still_good(folder: Path, moment: datetime) -> bool:
    """True where a forecast that came from a service need not be asked for again yet. Raises Faults: the sidecar."""
    entries = [
        one for one in read_fetched(folder / AHEAD) if one.service in (GRID_AHEAD.key, POINT_AHEAD.key)
    ]
    return any(
        one.expires and datetime.fromisoformat(one.expires) > moment and one.stands(folder / AHEAD)
        for one in entries
    )


def bring_grid(orchard: Whereabouts, asker: Asker, moment: datetime) -> Brought[WeatherForecast] | None:
    """The forecast of the United States' service; None where it does not know the place.

    Raises NoAnswer, Faults, OSError as `bring`.
    """
    north, east = orchard.latitude, orchard.longitude
    try:
        place = bring(orchard.folder / CACHE, grid_place(north, east), asker, moment).content
    except NoAnswer as none:
        if none.absent:
            return None
        raise
    keep_history(orchard.folder)
    return bring(orchard.folder / AHEAD, grid_ahead(place, north, east, moment), asker, moment)


def bring_point(orchard: Whereabouts, asker: Asker, moment: datetime) -> Brought[WeatherForecast]:
    """The forecast of the second service, which knows every place. Raises NoAnswer, Faults, OSError as `bring`."""
    wanted = point_ahead(orchard.latitude, orchard.longitude, orchard.elevation, moment)
    keep_history(orchard.folder)
    return bring(orchard.folder / AHEAD, wanted, asker, moment)


def _files_of(station: str, cache: Path, asker: Asker, moment: datetime) -> list[Wanted[StationRecord]]:
    """The files a station's record stands in."""
    if not station.startswith(german.PREFIX):
        return [station_file(station)]
    names = bring(cache, german.listing(), asker, moment).content
    return german.german_files(station.removeprefix(german.PREFIX), names)


def _of_cell(orchard: Whereabouts, name: str, moment: datetime) -> Wanted[StationRecord]:
    return cell_file(name, orchard.latitude, orchard.longitude, moment.date())


def _again(orchard: Whereabouts, entry: Fetched, asker: Asker, moment: datetime) -> Wanted[StationRecord]:
    if entry.service == CELL.key:
        return _of_cell(orchard, entry.file, moment)
    if entry.service == STATIONS.key:
        return station_file(entry.file.removesuffix(".csv"))
    if entry.service == GERMAN.key and (known := german.number_and_kind(entry.file)) is not None:
        every = _files_of(german.PREFIX + known[0], orchard.folder / CACHE, asker, moment)
        same = [one for one in every if one.file == entry.file]
        if same:
            return same[0]
    raise NoAnswer(f"{entry.service} is no service that is known here.", absent=True)


def _from_cache(folder: Path, wanted: Wanted[StationRecord]) -> bool:
    """Whether a record that was looked at a moment ago was taken from there: it is not asked for twice."""
    if (folder / RECORD / wanted.file).exists():
        return False
    for entry in read_fetched(folder / CACHE):
        if entry.file == wanted.file and not entry.changed_by_hand(folder / CACHE):
            keep_fetched(folder / RECORD, entry, (folder / CACHE / entry.file).read_bytes())
            return True
    return False


def _came(brought: Brought[StationRecord]) -> Came:
    changes = None
    if brought.how is BroughtHow.REPLACED and brought.before is not None:
        changes = changes_between(brought.before.reading, brought.content.reading)
    first, last, whole = _spread(brought.content)
    return Came(brought.entry, brought.how, first, last, whole, changes, outdated=brought.outdated)


def _spread(record: StationRecord) -> tuple[np.datetime64, np.datetime64, float]:
    reading = record.reading
    nothing = np.full(reading.day.size, np.nan)
    low, high = (reading.columns.get(name, nothing) for name in ("tmin", "tmax"))
    days = reading.day[np.isfinite(low) & np.isfinite(high)]
    if not days.size:
        return reading.day[0], reading.day[-1], 0.0
    return days[0], days[-1], float(days.size / ((days[-1] - days[0]).astype(np.int64) + 1))


def _failed(folder: Path, entry: Fetched, why: str) -> Came:
    from topwire.weather.read import read_file

    try:
        first, last, whole = _spread(StationRecord(read_file(folder / entry.file, entry.file)))
    except Faults:
        never = np.datetime64("NaT", "D")
        return Came(entry, None, never, never, 0.0, None, why)
    return Came(entry, None, first, last, whole, None, why)
