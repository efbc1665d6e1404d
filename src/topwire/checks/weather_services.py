"""What services send, held against what they document: units, columns, stretches of time, headers, distances."""

from collections.abc import Callable
from functools import cache

import numpy as np

from topwire.checks import Check, checks_of, figure
from topwire.values.mark import Mark
from topwire.weather.air import wind_at_two_metres
from topwire.weather.forecast import WeatherForecast
from topwire.weather.forecast_files import read_forecast, standard_offset
from topwire.weather.online.asking import Answer, retry_after
from topwire.weather.online.bringing import expires_of
from topwire.weather.online.lists import NearStation, great_circle, near_stations
from topwire.weather.read import reading_of
from topwire.weather.reading import Reading

_check = checks_of("Place")
# Two places each: latitude, longitude, and how far apart on the ellipsoid of the earth [km].
_APART = (
    (40.1, -77.21, 40.221, -76.851, 33.4054),
    (39.18, -78.16, 38.95, -77.45, 66.5421),
    (51.1, 9.9, 50.9, 9.7, 26.3088),
    (46.1, 7.2, 46.1, 8.4, 92.7875),
    (0.0, 0.0, 1.0, 0.0, 110.5744),
)
_STATION = (
    '"STATION","DATE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES","PRCP","PRCP_ATTRIBUTES"\n'
    '"USC00999999","2026-04-01","  250",",,7","   -1",",,7","   54",",,7,0700"\n'
    '"USC00999999","2026-04-02","  260",",X,7","    3",",,7","    0","T,,7,0700"\n'
    '"USC00999999","2026-04-03","  270",",,X","    5",",,7","",""\n'
)
_FIXED = (
    "USC00999999202604TMAX  250  7  260 X7-9999   "
    + "-9999   " * 28
    + "\n"
    + "USC00999999202604TMIN   -1  7    3  7    5  7"
    + "-9999   " * 28
    + "\n"
)
_CELL = (
    '{"geometry": {"coordinates": [-77.2, 40.1, 214.6]}, "header": {"fill_value": -999.0}, "parameters": '
    '{"T2M_MIN": {"units": "C"}, "T2M_MAX": {"units": "C"}, "ALLSKY_SFC_SW_DWN": {"units": "kW-hr/m^2/day"}}, '
    '"properties": {"parameter": {"T2M_MIN": {"20260401": -3.9, "20260402": -999.0, "20260403": 1.0}, "T2M_MAX": '
    '{"20260401": 1.9, "20260402": -999.0, "20260403": 9.0}, "ALLSKY_SFC_SW_DWN": {"20260401": 5.0, '
    '"20260402": -999.0, "20260403": 4.0}}}}'
)
_GERMAN = (
    "STATIONS_ID;MESS_DATUM;  FM; RSK; UPM; TXK; TNK; TGK;eor\n"
    "      99999;20260401;   2.9;-999;   71.00;   15.4;    4.0;    2.0;eor\n"
)
_GRID = (
    '{"geometry": {"coordinates": [[[-77.21, 40.09], [-77.21, 40.11], [-77.18, 40.11], [-77.21, 40.09]]]}, '
    '"properties": {"gridId": "XXX", "forecastOffice": "", "updateTime": "2019-07-04T17:30:00+00:00", "temperature": '
    '{"uom": "wmoUnit:degC", "values": [{"validTime": "2019-07-04T18:00:00+00:00/PT3H", "value": 20.0}, {"validTime": '
    '"2019-07-04T21:00:00+00:00/P1DT1H", "value": 10.0}]}, "windSpeed": {"uom": "wmoUnit:km_h-1", "values": '
    '[{"validTime": "2019-07-04T18:00:00+00:00/PT28H", "value": 18.52}]}, "windGust": {"uom": "wmoUnit:km_h-1", '
    '"values": [{"validTime": "2019-07-04T18:00:00+00:00/PT28H", "value": 36.0}]}, "quantitativePrecipitation": '
    '{"uom": "wmoUnit:mm", "values": [{"validTime": "2019-07-04T18:00:00+00:00/PT6H", "value": 3.0}]}}}'
)
_LISTED = "USW00094728  40.7789  -73.9692   42.7 NY NEW YORK CNTRL PRK TWR      GSN HCN 72506\n"
_YEARS = "".join(f"USW00094728  40.7789  -73.9692 {element} 1869 2025\n" for element in ("TMAX", "TMIN"))


def checks() -> list[Check]:
    """Every check of what services send."""
    return [*_distances(), *_records(), *_ahead(), *_headers(), *_lists(), *_zones()]


def _distances() -> list[Check]:
    return [
        _check(
            f"distance {north:g}, {east:g} to {other_north:g}, {other_east:g} [km]",
            "PYPROJ",
            published,
            lambda at=(north, east, other_north, other_east): great_circle(*at) / 1000,
            0.006 * published,  # a ball against the ellipsoid
            Mark.COMPUTED,
        )
        for north, east, other_north, other_east, published in _APART
    ]


@cache
def _reading(text: str) -> Reading:
    return reading_of(text.encode(), "check")


def _day(text: str, column: str, at: int) -> Callable[[], float]:
    return lambda: float(_reading(text).columns[column][at])


def _records() -> list[Check]:
    sun = 5.0 * 3.6  # a kilowatt-hour is 3.6 megajoules
    rows = (
        ("TMAX 250 is 25.0 °C", "GHCND", 25.0, _day(_STATION, "tmax", 0)),
        ("TMIN -1 is -0.1 °C", "GHCND", -0.1, _day(_STATION, "tmin", 0)),
        ("PRCP 54 is 5.4 mm", "GHCND", 5.4, _day(_STATION, "rain", 0)),
        ("PRCP 0 with T is no rain [mm]", "GHCND", 0.0, _day(_STATION, "rain", 1)),
        (
            "a value whose second flag is set is left out [1 = yes]",
            "GHCND",
            1.0,
            _missing(_STATION, "tmax", 1),
        ),
        ("one whose third is set, its source, is not [°C]", "GHCND", 27.0, _day(_STATION, "tmax", 2)),
        (".dly: TMAX 250 is 25.0 °C", "GHCND", 25.0, _day(_FIXED, "tmax", 0)),
        (
            ".dly: a value with a quality flag is left out [1 = yes]",
            "GHCND",
            1.0,
            _missing(_FIXED, "tmax", 1),
        ),
        (".dly: -9999 is missing [1 = yes]", "GHCND", 1.0, _missing(_FIXED, "tmax", 2)),
        ("T2M_MIN -3.9 is -3.9 °C", "NASAPOWER", -3.9, _day(_CELL, "tmin", 0)),
        ("fill_value is missing [1 = yes]", "NASAPOWER", 1.0, _missing(_CELL, "tmin", 1)),
        ("sun 5 kW-hr/m²/day [MJ/m²/d]", "NIST-811", sun, _day(_CELL, "sun", 0)),
        ("TNK, at 2 m, is the lowest [°C]", "DWDKL", 4.0, _day(_GERMAN, "tmin", 0)),
        ("TXK is the highest [°C]", "DWDKL", 15.4, _day(_GERMAN, "tmax", 0)),
        ("RSK -999 is missing [1 = yes]", "DWDKL", 1.0, _missing(_GERMAN, "rain", 0)),
    )
    return [_check(what, source, value, ours, 1e-9, Mark.READ) for what, source, value, ours in rows]


def _missing(text: str, column: str, at: int) -> Callable[[], float]:
    return lambda: float(np.isnan(_reading(text).columns[column][at]))


@cache
def _grid() -> WeatherForecast:
    return read_forecast(_GRID, "check")


def _ahead() -> list[Check]:
    rows = (
        ("PT3H: hours of one value", "NWSGRID", 3.0, lambda: float((_grid().temperature == 20).sum()), 0.0),
        (
            "P1DT1H: hours of one value",
            "NWSGRID",
            25.0,
            lambda: float((_grid().temperature == 10).sum()),
            0.0,
        ),
        ("18:00 universal time at 77° west, hour of the day", "NASAPOWER", 13.0, _first_hour, 0.0),
        ("3 mm in six hours, in each [mm]", "NWSGRID", 0.5, lambda: float(_grid().rain[0]), 1e-9),
        ("36 km/h of gust [m/s]", "NIST-811", 10.0, lambda: float(_grid().gust[0]), 1e-9),
        ("18.52 km/h, 10 kn, at 10 m, brought to 2 m [m/s]", "FAO56, equation 47", 3.848, _wind, 0.002),
        ("factor from 10 m to 2 m", "FAO56, equation 47", 0.748, figure(wind_at_two_metres, 1.0, 10.0), 5e-4),
    )
    marks = {"NIST-811": Mark.READ, "NWSGRID": Mark.READ, "NASAPOWER": Mark.READ}
    return [
        _check(what, source, value, ours, within, marks.get(source, Mark.MEMORY))
        for what, source, value, ours, within in rows
    ]


def _first_hour() -> float:
    return float(int(str(_grid().hour[0])[11:13]))


def _wind() -> float:
    return float(_grid().wind[0])


def _headers() -> list[Check]:
    def seconds() -> float:
        told = expires_of(Answer(False, b"", "", expires="Sun, 06 Nov 1994 08:49:37 GMT"))
        return float(np.datetime64(told.removesuffix("Z"), "s").astype(np.int64))

    rows = (
        ("Sun, 06 Nov 1994 08:49:37 GMT, seconds since 1970", 784_111_777.0, seconds),
        ("Retry-After: 120 [s]", 120.0, lambda: float(retry_after("120") or 0)),
        (
            "Retry-After: a moment that is past [s]",
            0.0,
            lambda: float(retry_after("Fri, 31 Dec 1999 23:59:59 GMT") or 0),
        ),
    )
    return [_check(what, "RFC9110", value, ours, 0.0) for what, value, ours in rows]


@cache
def _listed() -> NearStation:
    return near_stations(_LISTED, _YEARS, 40.7789, -73.9692, 0.0, 2026)[0]


def _lists() -> list[Check]:
    rows: tuple[tuple[str, float, Callable[[], float]], ...] = (
        ("height of the station in Central Park [m]", 42.7, lambda: _listed().elevation),
        ("its latitude [deg]", 40.7789, lambda: _listed().latitude),
        ("its longitude [deg]", -73.9692, lambda: _listed().longitude),
        ("its first year", 1869.0, lambda: float(_listed().first_year)),
    )
    return [_check(what, "GHCND", value, ours, 1e-6) for what, value, ours in rows]


def _zones() -> list[Check]:
    return [
        _check(
            f"standard time less universal time at longitude {longitude:g} [h]",
            "NASAPOWER",
            published,
            figure(standard_offset, longitude),
            0.0,
            Mark.READ,
        )
        for longitude, published in ((-77.2, -5.0), (-122.3, -8.0), (11.1, 1.0), (-64.9, -4.0))
    ]
