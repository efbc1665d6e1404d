"""Invented places and their weather: small enough to be answered in a second."""

import re
from pathlib import Path

import numpy as np
from engine import small

from topwire.weather.plain import CELL

# The small orchard of the engine's tests, without its place.
PLAN = (
    re.sub(r"  (latitude|longitude|elevation): .*\n", "", small.PLAN).replace(
        "outline: yard.geojson", "rectangle: {length: 21 m, width: 11 m}"
    )
    + "weather: {warming: 0 K}\n"
)
YEARS = 5


def days(years: int = YEARS) -> np.ndarray:
    return np.arange(np.datetime64("2014-10-01"), np.datetime64(f"{2015 + years}-01-01"))


def temperatures(number: int, years: int = YEARS) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lowest, highest [deg C] and rain [mm] of an invented place, each number another one."""
    day = days(years)
    random = np.random.default_rng([7, number])
    course = -np.cos(2 * np.pi * (np.arange(day.size) + 258) / 365.25)
    spells = np.repeat(random.normal(0, 2.5, day.size // 4 + 1), 4)[: day.size]
    mean = 10.5 - 0.3 * (number % 7) + 12.5 * course + spells + random.normal(0, 1.5, day.size)
    span = np.clip(10.0 + random.normal(0, 2.0, day.size), 3.0, 18.0)
    rain = np.where(random.random(day.size) < 0.3, random.gamma(0.8, 9.0, day.size), 0.0)
    return np.round(mean - span / 2, 1), np.round(mean + span / 2, 1), np.round(rain, 1)


def write_station(path: Path, number: int, *, cell: bool = False, years: int = YEARS) -> None:
    low, high, wet = temperatures(number, years)
    rows = zip(days(years), low, high, wet, strict=True)
    head = f"{CELL}\n" if cell else ""
    body = "".join(f"{day},{a!r},{b!r},{c!r}\n" for day, a, b, c in ((d, *map(float, r)) for d, *r in rows))
    path.write_text(f"{head}date,tmin_c,tmax_c,rain_mm\n{body}", encoding="utf-8")


def write_places(folder: Path, count: int, *, years: int = YEARS) -> Path:
    """A table of places with a station file each, and the shared plan, in `folder`."""
    (folder / "stations").mkdir(parents=True, exist_ok=True)
    rows = ["id,latitude,longitude,elevation,weather,place.colder_than_station"]
    for number in range(count):
        write_station(folder / f"stations/{number}.csv", number, years=years)
        colder = "1.5 K" if number % 2 else ""
        rows.append(
            f"Farm {number},{39 + number % 5},{-78 - number % 3},{200 + number} m,stations/{number}.csv,{colder}"
        )
    (folder / "template.yaml").write_text(PLAN, encoding="utf-8")
    table = folder / "places.csv"
    table.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return table
