"""This year's days as far as they are known or forecast, with the hours of every day."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt

from topwire.protection import wetness
from topwire.values.arrays import Booleans, Floats
from topwire.weather.air import relative_humidity
from topwire.weather.hours import hourly_temperature
from topwire.weather.record import Weather

# Dew point of a day no file gives one for: the night's low less this [K]. At Greensboro, North Carolina, this and laid
# rain made 11.5 wet hours of a rainy day of summer where 10.7 were measured (benchmarks/wet_hours.py).
BELOW_LOW = 1.0


@dataclass(frozen=True)
class YearSoFar:
    """Days from 1 January on. Arrays (days,) or (days, 24), NaN where not known.

    Attributes
    ----------
    known : how many of the days lie before today; the others are forecast
    temperature, humidity : [deg C], [%] by the hour
    rain_hour : rain fell in the hour, measured or laid into the day
    wet : leaves are wet by rain or by humidity
    wet_by_tree : the same by the regression tree; None where wind or humidity were not measured
    measured : temperature, humidity and rain of the day's hours were measured
    damp : its humidity rests on a dew point that was measured
    """

    year: int
    known: int
    tmin: Floats
    tmax: Floats
    rain: Floats
    wind: Floats
    temperature: Floats
    humidity: Floats
    rain_hour: Booleans
    hourly_wind: Floats
    wet: Booleans
    wet_by_tree: Booleans | None
    measured: Booleans
    damp: Booleans

    @property
    def days(self) -> int:
        return self.tmin.size

    @property
    def mean(self) -> Floats:
        """Middle of each day's two ends [deg C]."""
        return (self.tmin + self.tmax) / 2.0

    def day(self, index: float) -> date:
        return date(self.year, 1, 1) + timedelta(days=round(index))

    def index(self, day: date) -> int:
        return day.toordinal() - date(self.year, 1, 1).toordinal()


_DAILY = ("tmin", "tmax", "rain", "dew_point", "wind")
_HOURLY = ("hourly", "hourly_dew_point", "hourly_wind", "hourly_rain")


def year_so_far(record: Weather, forecast: Weather | None, today: date, latitude: float) -> YearSoFar:
    """Today's year from its record and the forecast. Past days of the forecast fill what the record lacks."""
    first = np.datetime64(f"{today.year}-01-01")
    known = (today - date(today.year, 1, 1)).days
    ahead = 0
    if forecast is not None:
        ahead = max(0, int((forecast.day[-1] - np.datetime64(today)).astype(np.int64)) + 1)
    size = known + ahead
    day = first + np.arange(size)
    held = {name: np.full(size, np.nan) for name in _DAILY}
    hours = {name: np.full((size, 24), np.nan) for name in _HOURLY}
    for source in (record, forecast):
        if source is None:
            continue
        here = np.isin(source.day, day)
        if source is record:
            here &= source.day < np.datetime64(today)
        at = (source.day[here] - first).astype(np.int64)
        for table, names in ((held, _DAILY), (hours, _HOURLY)):
            for name in names:
                values = getattr(source, name)
                if values is not None:
                    table[name][at] = np.where(np.isfinite(table[name][at]), table[name][at], values[here])
    return _with_hours(today.year, known, held, hours, latitude)


def _with_hours(
    year: int, known: int, held: dict[str, Floats], hours: dict[str, Floats], latitude: float
) -> YearSoFar:
    tmin, tmax, rain, dew = (held[name] for name in ("tmin", "tmax", "rain", "dew_point"))
    curve = hourly_temperature(np.arange(tmin.size) + 1, tmin, tmax, latitude)
    curve = np.where(np.isfinite(curve), curve, tmin[:, None])
    temperature = np.where(np.isfinite(hours["hourly"]), hours["hourly"], curve)
    day_dew = np.where(np.isfinite(dew), dew, tmin - BELOW_LOW)
    dew_hours = np.where(np.isfinite(hours["hourly_dew_point"]), hours["hourly_dew_point"], day_dew[:, None])
    humidity = relative_humidity(temperature, dew_hours)
    drops = hours["hourly_rain"]
    rained = np.where(np.isfinite(drops), drops > 0, wetness.laid_rain(rain))
    measured = _all_hours(hours["hourly"]) & _all_hours(hours["hourly_dew_point"])
    measured &= _all_hours(drops)
    by_tree = None
    wind = hours["hourly_wind"]
    if (_all_hours(wind) & measured).any():
        by_tree = wetness.wet_by_tree(temperature, dew_hours, humidity, wind) | rained
        by_tree = np.where(
            (_all_hours(wind) & measured)[:, None], by_tree, rained | (humidity >= wetness.HUMID)
        )
    return YearSoFar(
        year=year,
        known=known,
        tmin=tmin,
        tmax=tmax,
        rain=rain,
        wind=held["wind"],
        temperature=temperature,
        humidity=humidity,
        rain_hour=rained,
        hourly_wind=wind,
        wet=wetness.wet_by_humidity(humidity) | rained,
        wet_by_tree=by_tree,
        measured=measured,
        damp=np.isfinite(dew) | _all_hours(hours["hourly_dew_point"]),
    )


def _all_hours(table: Floats) -> npt.NDArray[np.bool_]:
    return np.asarray(np.isfinite(table).all(axis=1))
