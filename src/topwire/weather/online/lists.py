"""The lists of the daily network (source GHCND): which stations lie near, and which years they report.

Fixed columns as the readme states them, counted from one: stations ID 1-11, latitude 13-20, longitude 22-30, height
32-37, name 42-71; inventory ID 1-11, element 32-35, first year 37-40, last year 42-45.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import asin, cos, hypot, nan, radians, sin, sqrt

EARTH = 6_371_000.0  # [m] mean radius
FARTHEST = 120_000.0  # [m] beyond it no station stands for an orchard
MOST = 8  # candidates looked at closely
FEWEST_YEARS = 5  # a station that reports fewer is no record
_LINE = re.compile(r"[A-Z]{2}[A-Z0-9_\-]{9} ")
_NO_HEIGHT = -999.0


@dataclass(frozen=True)
class NearStation:
    """A station of the list that measures both temperatures and still reports.

    Attributes
    ----------
    distance : from the orchard [m]
    elevation : [m] above the sea, NaN where the list does not say
    higher : than the orchard [m], NaN where not known
    first_year, last_year : of both temperatures; years between may have gaps
    """

    station: str
    name: str
    latitude: float
    longitude: float
    elevation: float
    distance: float
    higher: float
    first_year: int
    last_year: int


def great_circle(latitude: float, longitude: float, other_latitude: float, other_longitude: float) -> float:
    """Distance over the earth taken as a ball, by the haversine. [m]

    Parameters
    ----------
    latitude, longitude, other_latitude, other_longitude : [deg]
    """
    north, other_north = radians(latitude), radians(other_latitude)
    half = sin((other_north - north) / 2) ** 2
    half += cos(north) * cos(other_north) * sin(radians(other_longitude - longitude) / 2) ** 2
    return 2 * EARTH * asin(min(sqrt(half), 1.0))


def is_station_list(text: str) -> bool:
    """True where every line begins like the list of stations or the inventory: nothing else may take its place."""
    lines = text.splitlines()
    return bool(lines) and all(_LINE.match(line) for line in lines if line.strip())


def near_stations(
    stations: str, inventory: str, latitude: float, longitude: float, elevation: float, year: int
) -> list[NearStation]:
    """The most promising stations, near in place and height first, at most eight.

    Parameters
    ----------
    stations, inventory : the two lists' texts
    latitude, longitude, elevation : of the orchard [deg], [deg], [m]
    year : the present year: a station that has not reported since the year before is left out
    """
    reach = FARTHEST / (EARTH * radians(1))
    wide = reach / max(cos(radians(latitude)), 0.1)
    near = _in_box(inventory.splitlines(), latitude, longitude, reach, wide)
    spans: dict[str, dict[str, tuple[int, int]]] = {}
    for line in near:
        if line[31:35] in ("TMAX", "TMIN") and line[36:40].isdigit() and line[41:45].isdigit():
            spans.setdefault(line[:11], {})[line[31:35]] = (int(line[36:40]), int(line[41:45]))
    found = []
    for line in _in_box(stations.splitlines(), latitude, longitude, reach, wide):
        told = spans.get(line[:11], {})
        if len(told) < 2:
            continue
        first, last = max(one[0] for one in told.values()), min(one[1] for one in told.values())
        try:
            north, east, height = float(line[12:20]), float(line[21:30]), float(line[31:37])
        except ValueError:
            continue
        distance = great_circle(latitude, longitude, north, east)
        if distance > FARTHEST or last < year - 1 or last - first + 1 < FEWEST_YEARS:
            continue
        known = height > _NO_HEIGHT
        found.append(
            NearStation(
                line[:11],
                line[41:71].strip(),
                north,
                east,
                height if known else nan,
                distance,
                height - elevation if known else nan,
                first,
                last,
            )
        )
    return sorted(found, key=promise)[:MOST]


def _in_box(lines: Iterable[str], latitude: float, longitude: float, tall: float, wide: float) -> list[str]:
    kept = []
    for line in lines:
        try:
            if abs(float(line[12:20]) - latitude) <= tall and abs(float(line[21:30]) - longitude) <= wide:
                kept.append(line)
        except ValueError:
            continue
    return kept


def promise(one: NearStation) -> tuple[float, str]:
    """Ten kilometres weigh as much as 33 m of height; a height not known as 100 m (common practice, no source)."""
    higher = 100.0 if one.higher != one.higher else one.higher
    return hypot(one.distance / 30_000, higher / 100), one.station
