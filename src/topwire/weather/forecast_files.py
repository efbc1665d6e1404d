"""Forecasts as files hold them, to one kind: a service's answer, kept byte for byte, or a table of the grower's own.

Known are the raw grid of the United States' weather service (source NWSGRID), the point forecast of the Norwegian
Meteorological Institute (source METNORWAY), and the plain daily and hourly tables of docs/weather.md. A unit that is
not known, a layer that is missing or a value that cannot be is a fault: an answer is checked before it is used.
"""

import json
import re
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime
from itertools import pairwise
from typing import Any

import numpy as np

from topwire.values.arrays import Floats
from topwire.values.fault import Faults, fault
from topwire.weather import plain
from topwire.weather.air import wind_at_two_metres
from topwire.weather.forecast import (
    HoursAhead,
    WeatherForecast,
    forecast_of_days,
    forecast_of_hours,
    hours_of_moments,
    hours_of_states,
    hours_of_sums,
)
from topwire.weather.quality import COLDEST, HOTTEST
from topwire.weather.reading import station_of

NWS = "National Weather Service"
MET_NORWAY = "MET Norway"
CREDITS = {
    NWS: "Forecast: National Weather Service (weather.gov), public domain; turned into hours and days by topwire.",
    MET_NORWAY: "Forecast: data from MET Norway (api.met.no), CC BY 4.0; turned into hours and days by topwire.",
}
FEWEST_HOURS_TOLD = 6  # of temperature; less is half an answer
LONGEST_AHEAD = 24 * 30  # [h]
_AGAIN = "Fetch it again."
Convert = Callable[[float], float]


def _same(value: float) -> float:
    return value


def _hundredth(value: float) -> float:
    return value / 100


_CELSIUS: Mapping[str, Convert] = {"degC": _same, "celsius": _same, "degF": lambda value: (value - 32) / 1.8}
_PER_CENT: Mapping[str, Convert] = {"percent": _same, "%": _same}
_SHARE: Mapping[str, Convert] = {"percent": _hundredth, "%": _hundredth}
_SPEED: Mapping[str, Convert] = {"km_h-1": lambda value: value / 3.6, "m_s-1": _same, "m/s": _same}
_AT_TWO: Mapping[str, Convert] = {
    unit: (lambda value, to=to: float(wind_at_two_metres(to(value), 10.0)))  # type: ignore[misc]
    for unit, to in _SPEED.items()
}
_AMOUNT: Mapping[str, Convert] = {"mm": _same}
# Layer of the grid -> name of the house, unit as written -> value of the house.
_GRID: Mapping[str, tuple[str, Mapping[str, Convert]]] = {
    "temperature": ("temperature", _CELSIUS),
    "dewpoint": ("dew_point", _CELSIUS),
    "relativeHumidity": ("humidity", _PER_CENT),
    "windSpeed": ("wind", _AT_TWO),
    "windGust": ("gust", _SPEED),
    "skyCover": ("cloud", _SHARE),
    "probabilityOfPrecipitation": ("rain_chance", _SHARE),
    "quantitativePrecipitation": ("rain", _AMOUNT),
}
_POINT: Mapping[str, tuple[str, Mapping[str, Convert]]] = {
    "air_temperature": ("temperature", _CELSIUS),
    "dew_point_temperature": ("dew_point", _CELSIUS),
    "relative_humidity": ("humidity", _PER_CENT),
    "wind_speed": ("wind", _AT_TWO),
    "wind_speed_of_gust": ("gust", _SPEED),
    "cloud_area_fraction": ("cloud", _SHARE),
}
_DURATION = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?$")
_ISSUED = re.compile(r"#\s*issued\s*[:=]\s*(\d{4}-\d\d-\d\d)[ T](\d\d):(\d\d)", re.IGNORECASE)


def read_forecast(text: str, label: str, utc_offset: int | None = None) -> WeatherForecast:
    """A forecast out of a file's text.

    Parameters
    ----------
    utc_offset : the place's standard time less universal time [h]; by its longitude when not given

    Raises
    ------
    Faults
        Of no known kind; not whole; units, layers or values that are not a forecast's.
    """
    text = text.lstrip("\ufeff\n\r ")
    if not text.startswith("{"):
        return _own_table(text, label, utc_offset)
    try:
        properties = json.loads(text).get("properties")
    except (ValueError, RecursionError, AttributeError):
        raise Faults([fault(label, "is not whole JSON.", _AGAIN)]) from None
    if not isinstance(properties, dict):
        raise _unknown(label)
    content = json.loads(text)
    try:
        if "timeseries" in properties and "meta" in properties:
            made = _point(content, label, utc_offset)
        elif "temperature" in properties and "gridId" in properties:
            made = _grid(content, label, utc_offset)
        else:
            raise _unknown(label)
    except (KeyError, TypeError, IndexError, AttributeError, ValueError, OverflowError) as error:
        says = f"is a forecast of another shape than is known ({type(error).__name__}: {str(error)[:60]})."
        raise Faults([fault(label, says, "The service may have changed; the file is not used.")]) from None
    return _judged(made, label)


def standard_offset(longitude: float) -> int:
    """Hours of standard time less universal time by the 15 degrees of longitude a zone is wide. [h]"""
    return round(longitude / 15)


def _unknown(label: str) -> Faults:
    says = "is no forecast that is known: neither a raw grid, nor a point forecast, nor a plain table."
    return Faults([fault(label, says, "docs/weather_services.md shows all kinds.")])


def _judged(made: WeatherForecast, label: str) -> WeatherForecast:
    """The forecast where its values can be. Raises Faults."""
    warm = made.temperature[np.isfinite(made.temperature)] if made.hour.size else made.tmin
    says = ""
    if made.hour.size and warm.size < FEWEST_HOURS_TOLD:
        says = (
            f"tells the temperature of {warm.size} hours; fewer than {FEWEST_HOURS_TOLD} are half an answer."
        )
    elif not np.isfinite(warm).any():
        says = "tells no temperature."
    elif np.nanmin(made.tmin) < COLDEST or np.nanmax(made.tmax) > HOTTEST:
        says = "tells a temperature no thermometer has shown where apples grow: is the unit another one?"
    elif (made.tmin > made.tmax).any():
        says = "tells a lowest temperature above the highest of the day."
    elif np.nanmax(made.humidity, initial=0) > 105 or np.nanmax(made.rain_chance, initial=0) > 1.0001:
        says = "tells a humidity or a chance of rain above 100 per cent."
    elif np.nanmin(made.rain, initial=0) < 0 or np.nanmin(made.wind, initial=0) < 0:
        says = "tells less than no rain or no wind."
    if says:
        raise Faults([fault(label, says, _AGAIN)])
    return made


def _grid(content: dict[str, Any], label: str, utc_offset: int | None) -> WeatherForecast:
    properties = content["properties"]
    corners = content["geometry"]["coordinates"][0][:-1]
    if not corners:
        raise ValueError("a cell without corners")
    east, north = (float(np.mean([corner[axis] for corner in corners])) for axis in (0, 1))
    layers = {
        name: list(_stretches(properties[layer], units, f"{label}, {layer}"))
        for layer, (name, units) in _GRID.items()
        if properties.get(layer, {}).get("values")
    }
    lows, highs = (
        list(_stretches(properties[layer], _CELSIUS, f"{label}, {layer}")) if layer in properties else []
        for layer in ("minTemperature", "maxTemperature")
    )
    first = min(one.start for one in layers["temperature"])
    count = min(max(one.start + one.hours for one in layers["temperature"]) - first, LONGEST_AHEAD)
    hours = {
        name: (hours_of_sums if name == "rain" else hours_of_states)(told, first, count)
        for name, told in layers.items()
    }
    height = properties.get("elevation", {}).get("value")
    return forecast_of_hours(
        hours,
        first,
        source=NWS,
        credit=CREDITS[NWS],
        issued=_moment(properties["updateTime"]),
        utc_offset=standard_offset(east) if utc_offset is None else utc_offset,
        station=station_of(north, east),
        elevation=float("nan") if height is None else float(height),
        lows=lows,
        highs=highs,
    )


def _stretches(layer: dict[str, Any], units: Mapping[str, Convert], where: str) -> Iterator[HoursAhead]:
    convert = _converter(layer.get("uom", ""), units, where)
    for one in layer["values"]:
        if one["value"] is None:
            continue
        begins, _, lasts = one["validTime"].partition("/")
        match = _DURATION.match(lasts)
        if match is None:
            raise ValueError(f"no length of time: {lasts[:20]}")
        days, hours, minutes = (int(part or 0) for part in match.groups())
        length = max(24 * days + hours + (minutes > 0), 1)
        yield HoursAhead(_hour(_moment(begins)), length, convert(float(one["value"])))


def _point(content: dict[str, Any], label: str, utc_offset: int | None) -> WeatherForecast:
    properties = content["properties"]
    east, north, *height = content["geometry"]["coordinates"]
    units, series = properties["meta"]["units"], properties["timeseries"]
    at = [_hour(_moment(one["time"])) for one in series]
    first, count = at[0], min(at[-1] - at[0] + 1, LONGEST_AHEAD)
    hours: dict[str, Floats] = {}
    for written, (name, known) in _POINT.items():
        told = {
            moment: float(one["data"]["instant"]["details"][written])
            for moment, one in zip(at, series, strict=True)
            if one["data"]["instant"]["details"].get(written) is not None
        }
        if told:
            convert = _converter(units[written], known, f"{label}, {written}")
            moments = {moment: convert(value) for moment, value in told.items()}
            hours[name] = hours_of_moments(moments, first, count)
    lengths = [after - before for before, after in pairwise(at)]
    rain, chance, lows, highs = [], [], [], []
    for start, length, one in zip(at, lengths, series, strict=False):
        ahead = one["data"].get(f"next_{length}_hours", {}).get("details", {})
        rain += _ahead(ahead, "precipitation_amount", units, _AMOUNT, start, length, label)
        chance += _ahead(ahead, "probability_of_precipitation", units, _SHARE, start, length, label)
        lows += _ahead(ahead, "air_temperature_min", units, _CELSIUS, start, length, label)
        highs += _ahead(ahead, "air_temperature_max", units, _CELSIUS, start, length, label)
    hours["rain"] = hours_of_sums(rain, first, count)
    hours["rain_chance"] = hours_of_states(chance, first, count)
    return forecast_of_hours(
        hours,
        first,
        source=MET_NORWAY,
        credit=CREDITS[MET_NORWAY],
        issued=_moment(properties["meta"]["updated_at"]),
        utc_offset=standard_offset(float(east)) if utc_offset is None else utc_offset,
        station=station_of(north, east),
        elevation=float(height[0]) if height else float("nan"),
        lows=lows,
        highs=highs,
    )


def _ahead(
    details: Mapping[str, Any],
    written: str,
    units: Mapping[str, str],
    known: Mapping[str, Convert],
    start: int,
    length: int,
    label: str,
) -> list[HoursAhead]:
    """What the next hours hold of one quantity; nothing where the service does not tell it there."""
    if details.get(written) is None:
        return []
    convert = _converter(units[written], known, f"{label}, {written}")
    return [HoursAhead(start, length, convert(float(details[written])))]


def _converter(unit: str, known: Mapping[str, Convert], where: str) -> Convert:
    """Raises Faults where the unit is another than any that is known: a forecast in wrong units is none."""
    convert = known.get(unit.rpartition(":")[2])
    if convert is None:
        says = f"is in “{unit[:30]}”, which is not known here."
        raise Faults([fault(where, says, "The service may have changed; the file is not used.")])
    return convert


def _moment(text: str) -> np.datetime64:
    """A moment in universal time, to the second."""
    told = datetime.fromisoformat(text.replace("Z", "+00:00"))
    if told.tzinfo is None:
        raise ValueError(f"no time zone: {text[:30]}")
    return np.datetime64(told.astimezone(UTC).replace(tzinfo=None), "s")


def _hour(moment: np.datetime64) -> int:
    return int(moment.astype("datetime64[h]").astype(np.int64))


def _own_table(text: str, label: str, utc_offset: int | None) -> WeatherForecast:
    """A plain daily or hourly table of the grower's, its issue told in a line “# issued: 2026-04-21 06:00”."""
    lines = text.splitlines()
    at = plain.header_line(lines)
    if at is None or not plain.looks_plain(plain.names_of(lines, at)):
        raise _unknown(label)
    offset = utc_offset or 0
    issued: np.datetime64 = np.datetime64("NaT", "s")
    for line in lines[:at]:
        if match := _ISSUED.match(line.strip()):
            issued = np.datetime64(f"{match[1]}T{match[2]}:{match[3]}", "s") - np.timedelta64(offset, "h")
    hourly = plain.looks_hourly(plain.names_of(lines, at))
    reading = (plain.read_hourly if hourly else plain.read_daily)(lines, at, label)
    order = np.argsort(reading.day, kind="stable")
    reading = reading.taken(order)
    if (np.diff(reading.day).astype(np.int64) <= 0).any():
        raise Faults([fault(label, "holds a day twice.", "Keep one line a day.")])
    if (reading.day[-1] - reading.day[0]).astype(np.int64) * 24 > LONGEST_AHEAD:
        says = "spans more than a month: a forecast does not reach so far."
        raise Faults([fault(label, says, "Leave only the days ahead in it.")])
    if not hourly:
        made = forecast_of_days(
            reading.day, reading.columns, source=label, issued=issued, utc_offset=offset, station=None
        )
        return _judged(made, label)
    days = (reading.day - reading.day[0]).astype(np.int64)
    hours = {}
    for name, values in reading.hours.items():
        laid = np.full((int(days[-1]) + 1, 24), np.nan)
        laid[days] = values
        hours[name] = laid.ravel()
    hours.pop("sun", None)
    first = _hour(reading.day[0].astype("datetime64[s]")) - offset
    made = forecast_of_hours(
        hours,
        first,
        source=label,
        credit="",
        issued=issued,
        utc_offset=offset,
        station=None,
        elevation=float("nan"),
    )
    return _judged(made, label)
