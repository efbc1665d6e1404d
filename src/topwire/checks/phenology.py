"""Chill, heat, bloom, frost and ripening held against published figures."""

import csv
from importlib.resources import files
from pathlib import Path

import numpy as np
import numpy.typing as npt

from topwire.checks import Check
from topwire.phenology.bloom import BloomNeed, weighted_heat
from topwire.phenology.calibration import BloomRecord
from topwire.phenology.chill import portions
from topwire.weather.hours import hourly_temperature
from topwire.weather.sun import day_length

Array = npt.NDArray[np.float64]

# Where the fit of the bloom figures starts from; begin, required and fading stay fixed.
MEDIUM_START = BloomNeed(begin=50.0, required=70.0, least=5500.0, extra=13500.0, fading=0.03)
GROUP_STARTS = {
    "low": BloomNeed(begin=20.0, required=30.0, least=5500.0, extra=13500.0, fading=0.03),
    "medium": MEDIUM_START,
    "high": BloomNeed(begin=60.0, required=80.0, least=5500.0, extra=13500.0, fading=0.03),
}

_PLACES = {"Winchester": ("valley-inn", 39.18), "Rock Springs": ("ridge-cider", 40.71)}
_SEASON_DAYS = 243  # 1 October to 31 May
_SHORT_GAP = 3


def bloom_records(examples: Path) -> dict[str, BloomRecord]:
    """Full bloom of Golden Delicious with the weather before it, by place.

    Gaps up to three days are bridged by a straight line; a season with a longer one before June is left out.

    Parameters
    ----------
    examples : the folder of the shipped example orchards, whose weather is that of the two places
    """
    dates: dict[str, dict[int, float]] = {}
    text = files("topwire.checks").joinpath("data/bloom_golden_delicious.csv").read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        dates.setdefault(row["place"], {})[int(row["year"])] = float(row["full_bloom"])
    records = {}
    for place, (folder, latitude) in _PLACES.items():
        day, tmin, tmax = _daily(examples / folder / "weather" / "daily.csv")
        hourly = hourly_temperature(_of_year(day), tmin, tmax, latitude)
        years, rows = [], []
        for year in sorted(dates[place]):
            start = int((np.datetime64(f"{year - 1}-10-01") - day[0]).astype(np.int64))
            season = hourly[max(start, 0) : start + _SEASON_DAYS] if start >= 0 else hourly[:0]
            if season.shape[0] == _SEASON_DAYS and np.isfinite(season).all():
                years.append(year)
                rows.append(season.ravel())
        temperature = np.array(rows)
        length = day_length(latitude, _of_year(np.arange("2000-10-01", "2001-06-01", dtype="datetime64[D]")))
        records[place] = BloomRecord(
            years=np.array(years),
            chill=np.cumsum(portions(temperature), axis=1),
            heat=np.cumsum(weighted_heat(temperature, length), axis=1),
            observed=np.array([dates[place][year] for year in years]),
        )
    return records


def _of_year(day: npt.NDArray[np.datetime64]) -> npt.NDArray[np.int64]:
    number: npt.NDArray[np.int64] = (day - day.astype("datetime64[Y]")).astype(np.int64) + 1
    return number


def _daily(path: Path) -> tuple[npt.NDArray[np.datetime64], Array, Array]:
    with path.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    found = np.array([row["date"] for row in rows], dtype="datetime64[D]")
    day = np.arange(found[0], found[-1] + 1)
    columns = []
    for name in ("tmin_c", "tmax_c"):
        values = np.full(day.size, np.nan)
        values[(found - day[0]).astype(np.int64)] = [float(row[name] or "nan") for row in rows]
        columns.append(_bridged(values))
    return day, columns[0], columns[1]


def _bridged(values: Array) -> Array:
    known = np.flatnonzero(np.isfinite(values))
    every = np.arange(values.size)
    following = np.searchsorted(known, every)
    gap = known[np.minimum(following, known.size - 1)] - known[np.maximum(following - 1, 0)] - 1
    return np.where(gap <= _SHORT_GAP, np.interp(every, known, values[known]), values)


def checks() -> list[Check]:
    return []
