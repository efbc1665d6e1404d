"""Where a forecast comes from: the raw grid of the United States' service there, a point forecast elsewhere."""

import json
import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from topwire.values.fault import Faults, fault
from topwire.weather.forecast import WeatherForecast
from topwire.weather.forecast_files import NWS, read_forecast, standard_offset
from topwire.weather.forecast_kept import FAR
from topwire.weather.online.asking import NoAnswer
from topwire.weather.online.bringing import A_MONTH, Wanted
from topwire.weather.online.services import GRID_AHEAD, POINT_AHEAD

POINTS, GRID, POINT = "points.json", "nws_grid.json", "met_norway.json"
FEWEST_AHEAD = 48  # [h] of temperature; a forecast that reaches less far is half an answer
CLOCKS_APART = timedelta(hours=3)  # a forecast issued later than this machine's clock by more
NOT_AGAIN = timedelta(minutes=30)  # where the service does not say how long it is good
_GRID_PATH = re.compile(r"https://api\.weather\.gov(/gridpoints/[A-Z]{3}/\d{1,4},\d{1,4})")
# South, north, west, east [deg]: the contiguous states, Alaska, Hawaii, Puerto Rico with the Virgin Islands.
_STATES = (
    (24.4, 49.5, -125.0, -66.8),
    (51.0, 71.6, -180.0, -129.9),
    (18.8, 22.4, -160.4, -154.7),
    (17.6, 18.6, -67.4, -64.5),
)


@dataclass(frozen=True)
class GridPlace:
    """Which cell of the grid a place lies in, and its standard time less universal time [h]."""

    path: str
    utc_offset: int


def perhaps_in_the_states(latitude: float, longitude: float) -> bool:
    """True where the United States' service may know the place; it says so itself where it does not."""
    return any(s <= latitude <= n and w <= longitude <= e for s, n, w, e in _STATES)


def grid_place(latitude: float, longitude: float) -> Wanted[GridPlace]:
    """Which cell the place lies in; asked once a month."""

    def check(body: bytes) -> GridPlace:
        try:
            told = json.loads(body)["properties"]
            match = _GRID_PATH.fullmatch(told["forecastGridData"])
            zone = str(told["timeZone"])
        except (ValueError, KeyError, TypeError):
            match, zone = None, ""
        if match is None:
            raise Faults([fault(POINTS, "does not say which cell of the grid the place lies in.")])
        return GridPlace(match[1], _standard(zone, longitude))

    path = f"/points/{_hundredths(latitude)},{_hundredths(longitude)}"
    return Wanted(
        POINTS, GRID_AHEAD, path, {}, "the cell of its grid the orchard lies in", check, floor=A_MONTH
    )


def grid_ahead(
    place: GridPlace, latitude: float, longitude: float, moment: datetime
) -> Wanted[WeatherForecast]:
    """The cell's forecast."""
    return Wanted(
        GRID,
        GRID_AHEAD,
        place.path,
        {},
        "the forecast",
        lambda body: _forecast(body, GRID, latitude, longitude, place.utc_offset, moment),
        _not_older,
        NOT_AGAIN,
        utc_offset=place.utc_offset,
    )


def point_ahead(
    latitude: float, longitude: float, elevation: float, moment: datetime
) -> Wanted[WeatherForecast]:
    """The point's forecast, its temperatures brought to the orchard's height by the service."""
    offset = standard_offset(longitude)
    query = {"altitude": f"{elevation:.0f}", "lat": _hundredths(latitude), "lon": _hundredths(longitude)}
    return Wanted(
        POINT,
        POINT_AHEAD,
        "/weatherapi/locationforecast/2.0/complete",
        query,
        "the forecast",
        lambda body: _forecast(body, POINT, latitude, longitude, offset, moment),
        _not_older,
        NOT_AGAIN,
        utc_offset=offset,
    )


def _hundredths(degrees: float) -> str:
    """As few decimals as serve; the grid's service takes no trailing zeros."""
    return f"{round(degrees, 2):g}"


def _standard(zone: str, longitude: float) -> int:
    """Hours of standard time less universal time in a zone; by longitude where this machine has no table of zones."""
    try:
        when = datetime(2001, 1, 15, tzinfo=UTC).astimezone(ZoneInfo(zone))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return standard_offset(longitude)
    total = (when.utcoffset() or timedelta()) - (when.dst() or timedelta())
    return round(total.total_seconds() / 3600)


def _forecast(
    body: bytes, label: str, latitude: float, longitude: float, offset: int, moment: datetime
) -> WeatherForecast:
    try:
        made = read_forecast(body.decode("utf-8"), label, offset)
    except UnicodeDecodeError:
        raise Faults([fault(label, "is not a text.")]) from None
    if made.station is None or max(abs(made.station[0] - latitude), abs(made.station[1] - longitude)) > FAR:
        raise Faults([fault(label, "is the forecast of another place than was asked for.")])
    ahead = int(np.isfinite(made.temperature).sum())
    if ahead < FEWEST_AHEAD:
        says = f"tells the temperature of {ahead} hours; fewer than {FEWEST_AHEAD} are half an answer."
        raise Faults([fault(label, says)])
    if made.issued > np.datetime64((moment + CLOCKS_APART).replace(tzinfo=None), "s"):
        says = f"was issued at {made.issued} universal time, which is still to come."
        raise Faults([fault(label, says, "Look at this machine's clock.")])
    return made


def _not_older(new: WeatherForecast, old: WeatherForecast) -> None:
    if new.issued < old.issued:
        who = NWS if new.source == NWS else new.source
        raise NoAnswer(f"{who} sent an older forecast ({new.issued}) than the one kept ({old.issued}).")
