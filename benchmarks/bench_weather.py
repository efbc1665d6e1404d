"""Weather: the hour from the day, a thousand invented years, reading forty years of days and of hours.

Ratios are against plain Python that does the same work hour by hour or line by line, in the same run. Best of a few.
"""

import csv
import math
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from topwire.weather.climate import fit_climate
from topwire.weather.evapotranspiration import reference_evapotranspiration
from topwire.weather.hours import hourly_temperature
from topwire.weather.read import read_weather
from topwire.weather.sun import day_length
from topwire.weather.years import invent_years

EXAMPLE = Path(__file__).parents[1] / "examples" / "ridge-cider" / "weather" / "daily.csv"
LATITUDE = 40.7


def best(work: Callable[[], object], times: int) -> float:
    """Shortest of some runs. [s]"""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def hours_one_by_one(of_year: np.ndarray, low: np.ndarray, high: np.ndarray) -> list[float]:
    """The same curve, an hour at a time."""
    found = []
    length = [float(day_length(LATITUDE, day)) for day in range(367)]
    before_sunset, before_length = None, 0.0
    for at, day in enumerate(of_year.tolist()):
        span, bottom, top = length[day], low[at], high[at]
        rise, fall = 12 - span / 2, 12 + span / 2
        at_sunset = bottom + (top - bottom) * math.sin(math.pi * span / (span + 4))
        after = low[at + 1] if at + 1 < low.size else bottom
        if before_sunset is None:
            before_sunset, before_length = at_sunset, span
        for hour in range(24):
            if hour < rise:
                since = max(hour + 12 - before_length / 2, 1)
                share = math.log(since) / math.log(24 - before_length)
                found.append(before_sunset + (bottom - before_sunset) * share)
            elif hour > fall:
                share = math.log(max(hour - fall, 1)) / math.log(24 - span)
                found.append(at_sunset + (after - at_sunset) * share)
            else:
                found.append(bottom + (top - bottom) * math.sin(math.pi * (hour - rise) / (span + 4)))
        before_sunset, before_length = at_sunset, span
    return found


def rows_one_by_one(path: Path) -> list[tuple[np.datetime64, float, float, float]]:
    """The bare numbers of a daily file with the standard library, nothing checked."""
    with path.open(newline="") as stream:
        return [
            (
                np.datetime64(row["date"]),
                *(float(row[name] or "nan") for name in ("tmin_c", "tmax_c", "rain_mm")),
            )
            for row in csv.DictReader(stream)
        ]


def main() -> None:
    weather = read_weather([EXAMPLE])
    of_year = (weather.day - weather.day.astype("datetime64[Y]")).astype(np.int64) + 1
    low, high = np.nan_to_num(weather.tmin), np.nan_to_num(weather.tmax)
    high = np.maximum(low, high)
    years = weather.day.size / 365.25

    quick = best(lambda: hourly_temperature(of_year, low, high, LATITUDE), 9)
    slow = best(lambda: hours_one_by_one(of_year, low, high), 1)
    apart = np.abs(
        hourly_temperature(of_year, low, high, LATITUDE).ravel() - hours_one_by_one(of_year, low, high)
    ).max()
    print(
        f"hours of {years:.0f} years           {quick * 1e3:8.1f} ms   {slow / quick:6.0f} times as fast as a loop",
        end="",
    )
    print(f" (largest difference {apart:.4f} deg C)")

    taken = best(
        lambda: reference_evapotranspiration(
            day_of_year=of_year, tmin=low, tmax=high, latitude=LATITUDE, elevation=350.0
        ),
        5,
    )
    print(f"evapotranspiration, same days  {taken * 1e3:8.1f} ms")

    taken = best(lambda: fit_climate(weather.day, weather.tmin, weather.tmax, weather.rain), 3)
    print(f"climate fitted to {years:.0f} years    {taken * 1e3:8.1f} ms")
    climate = fit_climate(weather.day, weather.tmin, weather.tmax, weather.rain)
    taken = best(lambda: invent_years(climate, 1000, seed=1), 3)
    print(f"1,000 years invented           {taken * 1e3:8.1f} ms")

    taken = best(lambda: read_weather([EXAMPLE]), 5)
    bare = best(lambda: rows_one_by_one(EXAMPLE), 3)
    print(
        f"{years:.0f} years of days read, checked  {taken * 1e3:8.1f} ms   "
        f"{taken / bare:6.2f} of the bare rows by csv.DictReader"
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "hourly.csv"
        table = hourly_temperature(of_year, low, high, LATITUDE)
        with path.open("w") as stream:
            stream.write("time,temp_c\n")
            for day, hours in zip(weather.day, table.round(1).tolist(), strict=True):
                stream.writelines(f"{day} {hour:02d}:00,{value}\n" for hour, value in enumerate(hours))
        taken = best(lambda: read_weather([path]), 2)
        print(f"{years:.0f} years of hours, {path.stat().st_size / 1e6:.0f} MB      {taken * 1e3:8.0f} ms")


if __name__ == "__main__":
    sys.exit(main())
