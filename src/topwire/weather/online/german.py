"""Stations of the Deutscher Wetterdienst (source DWDKL): which lie near, and the two packed files each has.

The recent file holds about a year and a half, not fully checked; the historical one, whose name ends in its dates and
has to be looked up in the service's listing, all before. The list of stations is told apart from both ends, since names
hold blanks.
"""

import re
from functools import partial

from topwire.values.fault import Faults, fault
from topwire.weather.online.bringing import A_DAY, A_MONTH, Wanted
from topwire.weather.online.lists import (
    FARTHEST,
    FEWEST_YEARS,
    MOST,
    NearStation,
    great_circle,
    promise,
)
from topwire.weather.online.records import LONG, StationRecord, still_whole_since
from topwire.weather.online.services import GERMAN
from topwire.weather.read import reading_of

PREFIX = "dwd:"
RECENT, HISTORICAL = "recent", "historical"
_ROOT = "/climate_environment/CDC/observations_germany/climate/daily/kl"
_LIST = "KL_Tageswerte_Beschreibung_Stationen.txt"
_LINE = re.compile(r"(\d{1,5})\s+(\d{8})\s+(\d{8})\s+(-?\d+)\s+(\d+\.\d+)\s+(\d+\.\d+)\s+(\S.*)")
_BOX = (47.2, 55.1, 5.8, 15.1)  # south, north, west, east [deg]
_FILE = re.compile(r"dwd_(\d{5})_(recent|historical)\.zip")


def in_germany(latitude: float, longitude: float) -> bool:
    """True where stations of the German service may be the nearest."""
    south, north, west, east = _BOX
    return south <= latitude <= north and west <= longitude <= east


def german_list() -> Wanted[str]:
    """The list of stations with daily records."""
    return Wanted(
        _LIST,
        GERMAN,
        f"{_ROOT}/{RECENT}/{_LIST}",
        {},
        "the list of its stations",
        _list,
        floor=A_MONTH,
        within=LONG,
    )


def listing() -> Wanted[str]:
    """The names of all historical files."""
    return Wanted(
        "dwd_historical.html",
        GERMAN,
        f"{_ROOT}/{HISTORICAL}/",
        {},
        "the names of its long records",
        _names,
        floor=A_MONTH,
        within=LONG,
        page=True,
    )


def german_files(number: str, names: str) -> list[Wanted[StationRecord]]:
    """The historical file, where the listing `names` one, and the recent one of station `number`."""
    found = re.findall(rf"tageswerte_KL_{number}_\d{{8}}_\d{{8}}_hist\.zip", names)
    paths = [(HISTORICAL, f"{_ROOT}/{HISTORICAL}/{sorted(found)[-1]}")] if found else []
    paths.append((RECENT, f"{_ROOT}/{RECENT}/tageswerte_KL_{number}_akt.zip"))
    return [
        Wanted(
            f"dwd_{number}_{kind}.zip",
            GERMAN,
            path,
            {},
            f"the {kind} record of station {number}",
            partial(_record, number, kind),
            still_whole_since,
            A_DAY if kind == RECENT else A_MONTH,
            LONG,
        )
        for kind, path in paths
    ]


def number_and_kind(file: str) -> tuple[str, str] | None:
    """What a kept file is of: the station's number, and recent or historical; None for another file."""
    match = _FILE.fullmatch(file)
    return (match[1], match[2]) if match else None


def near_german(
    text: str, latitude: float, longitude: float, elevation: float, year: int
) -> list[NearStation]:
    """The most promising stations of the list, as `near_stations` gives them."""
    found = []
    for line in text.splitlines():
        match = _LINE.match(line.strip())
        if match is None:
            continue
        north, east, height = float(match[5]), float(match[6]), float(match[4])
        first, last = int(match[2][:4]), int(match[3][:4])
        distance = great_circle(latitude, longitude, north, east)
        if distance > FARTHEST or last < year - 1 or last - first + 1 < FEWEST_YEARS:
            continue
        words = match[7].removesuffix("Frei").split()
        name = " ".join(words[:-1])
        found.append(
            NearStation(
                f"{PREFIX}{int(match[1]):05d}",
                name,
                north,
                east,
                height,
                distance,
                height - elevation,
                first,
                last,
            )
        )
    return sorted(found, key=promise)[:MOST]


def _list(body: bytes) -> str:
    text = body.decode("latin-1")
    if not text.startswith("Stations_id") or not text.endswith("\n"):
        raise Faults([fault(_LIST, "is not the list it should be, or is cut off.")])
    return text


def _names(body: bytes) -> str:
    text = body.decode("latin-1")
    if "tageswerte_KL_" not in text:
        raise Faults([fault("the listing", "names no station's record.")])
    return text


def _record(number: str, kind: str, body: bytes) -> StationRecord:
    label = f"dwd_{number}_{kind}.zip"
    if number.encode() not in body:
        raise Faults([fault(label, f"is the record of another station than {number}.")])
    return StationRecord(reading_of(body, label))
