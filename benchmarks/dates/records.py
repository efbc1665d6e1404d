"""The records the dates are fitted on: bloom, harvest and the weather before them, and collections without weather."""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import numpy.typing as npt

from topwire.phenology.chill import portions
from topwire.phenology.seasons import Seasons, cut
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]

LATITUDES = {"Winchester": 39.18, "Rock Springs": 40.71, "Meknes": 33.9, "Rhine": 50.61}
PERIODS = ((1950, 1970), (1971, 1980), (1981, 1990), (1991, 2000), (2001, 2010), (2011, 2030))
GOLDEN = "Golden Delicious"
# Names of the records that differ from the catalogue's.
CATALOGUE = {"Cox Orange": "Cox's Orange Pippin"}


@dataclass(frozen=True)
class Place:
    name: str
    record: Weather
    seasons: Seasons
    chill: Array

    @property
    def years(self) -> Index:
        return self.seasons.years

    @property
    def temperature(self) -> Array:
        return self.seasons.temperature


@dataclass(frozen=True)
class Dates:
    """Dates of one cultivar at one place, days of the year; NaN = not recorded, save that full bloom always is."""

    place: Place
    cultivar: str
    row: Index  # of the year among the place's
    full: Array
    begin: Array
    end: Array
    harvest: Array

    def only(self, keep: Mask) -> "Dates":
        parts = (self.row, self.full, self.begin, self.end, self.harvest)
        return Dates(self.place, self.cultivar, *(part[keep] for part in parts))

    @property
    def years(self) -> Index:
        return self.place.years[self.row]


def read(folder: Path) -> list[Dates]:
    """All dates with weather before them."""

    def rows(name: str) -> list[dict[str, str]]:
        with (folder / name).open(encoding="utf-8") as lines:
            return list(csv.DictReader(lines))

    american = rows("climate_weather_us_daily.csv")
    weather = {
        "Winchester": [row for row in american if row["location"] == "Winchester"],
        "Rock Springs": [row for row in american if row["location"] == "Rock Springs"],
        "Meknes": rows("climate_weather_meknes_daily.csv"),
        "Rhine": rows("dates_rhine_weather.csv"),
    }
    places = {name: _place(name, daily) for name, daily in weather.items()}
    none = float("nan")
    seen = [
        (
            row["location"],
            row["cultivar"],
            int(row["year_used"]),
            float(row["full_bloom_doy"]),
            none,
            none,
            none,
        )
        for row in rows("climate_bloom_us_golden_delicious.csv")
    ]
    for name, table in (
        ("Meknes", "climate_bloom_meknes_golden_delicious.csv"),
        ("Rhine", "dates_rhine_bloom.csv"),
    ):
        for row in rows(table):
            if row["full_bloom_50pct"]:
                full, begin, end, harvest = (
                    _day(row.get(key, ""))
                    for key in ("full_bloom_50pct", "begin_bloom_5pct", "end_bloom", "harvest")
                )
                seen.append((name, row["cultivar"], int(row["year"]), full, begin, end, harvest))
    found = []
    for name, cultivar in sorted({(line[0], line[1]) for line in seen}):
        at = {int(year): index for index, year in enumerate(places[name].years)}
        own = [line for line in seen if line[:2] == (name, cultivar) and line[2] in at]
        days = np.array([line[3:] for line in own])
        found.append(Dates(places[name], cultivar, np.array([at[line[2]] for line in own]), *days.T))
    return found


def collections(folder: Path) -> dict[tuple[str, int], dict[str, float]]:
    """Begin of bloom of the cultivars of each country and year of one collection in six countries."""
    found: dict[tuple[str, int], dict[str, float]] = {}
    with (folder / "dates_collection_sites.csv").open(encoding="utf-8") as lines:
        for row in csv.DictReader(lines):
            if row["begin_doy"]:
                year = found.setdefault((row["country"], int(row["year"])), {})
                year[row["cultivar"]] = float(row["begin_doy"])
    return found


def rms(values: Sequence[Array]) -> float:
    every = np.concatenate(list(values))
    return float(np.sqrt(np.mean(every[np.isfinite(every)] ** 2)))


def _day(text: str) -> float:
    return float(date.fromisoformat(text).timetuple().tm_yday) if text else float("nan")


def _place(name: str, daily: list[dict[str, str]]) -> Place:
    day = np.array([row["date"] for row in daily], dtype="datetime64[D]")
    every = np.arange(day[0], day[-1] + 1)
    at = (day - day[0]).astype(np.int64)
    low, high = (_bridged(every.size, at, [row[key] for row in daily]) for key in ("tmin_c", "tmax_c"))
    record = Weather(
        every, np.minimum(low, high), np.maximum(low, high), np.zeros(every.size), None, None, None, None,
        np.zeros(every.size, dtype=bool), np.zeros(every.size, dtype=np.int64), (), False, (),
    )  # fmt: skip
    seasons = cut(record, LATITUDES[name])
    return Place(name, record, seasons, np.cumsum(portions(seasons.temperature), axis=1))


def _bridged(days: int, at: Index, written: list[str]) -> Array:
    known = np.array([text != "" for text in written])
    values = np.array([float(text or "nan") for text in written])
    return np.interp(np.arange(days), at[known], values[known])
