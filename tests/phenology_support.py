"""Seasons, records and cultivars for the tests of phenology."""

from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.phenology.seasons import Seasons, cut
from topwire.weather.record import Weather

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
DATA = Path(__file__).parent / "published" / "data"
LATITUDES = {"brussels": 50.8, "champion": 41.0, "cambridge": 52.2, "tunis": 36.8}

Array = npt.NDArray[np.float64]


def record(day: npt.NDArray[np.datetime64], tmin: Array, tmax: Array, *, typical: bool = False) -> Weather:
    """A weather record of daily temperatures, with 2 mm of rain a day."""
    return Weather(
        day=day,
        tmin=tmin,
        tmax=tmax,
        rain=np.full(day.size, 2.0),
        dew_point=None,
        wind=None,
        sun=None,
        hourly=None,
        filled=np.zeros(day.size, dtype=bool),
        source=np.zeros(day.size, dtype=np.int64),
        files=("daily.csv",),
        typical=typical,
        notices=(),
    )


def invented(first: str, last: str, *, warmer: float = 0.0, seed: int = 4) -> Weather:
    """Invented weather of a cool temperate place: a yearly wave, a daily swing and lasting noise."""
    day = np.arange(first, last, dtype="datetime64[D]")
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64)
    noise = np.zeros(day.size)
    draws = np.random.default_rng(seed).normal(0.0, 2.5, day.size)
    for index in range(1, day.size):
        noise[index] = 0.7 * noise[index - 1] + draws[index]
    mean = 10.0 - 11.0 * np.cos(2 * np.pi * (of_year - 18) / 365.25) + noise + warmer
    return record(day, mean - 5.5, mean + 5.5)


def aquacrop_climate(name: str) -> Weather:
    """A climate file of the installed package aquacrop: read there, never copied."""
    import aquacrop

    path = Path(aquacrop.__file__).parent / "data" / f"{name}_climate.txt"
    rows = np.loadtxt(path, skiprows=1)
    day = np.array([f"{int(row[2])}-{int(row[1]):02d}-{int(row[0]):02d}" for row in rows], "datetime64[D]")
    return record(day, rows[:, 3], rows[:, 4])


@cache
def seasons_of(name: str) -> Seasons:
    return cut(aquacrop_climate(name), LATITUDES[name])


@cache
def catalogue() -> Catalogue:
    return Catalogue(read_tables())
