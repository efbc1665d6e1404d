"""Speed of the bloom forecast: 150 cultivars x 40 years, hour by hour from a daily record, on one core.

    OMP_NUM_THREADS=1 python benchmarks/bench_phenology.py

The whole way from daily minimum and maximum to bloom dates is held against a plain Python loop over hours; the answers
are held equal before a ratio is printed.

Weather is invented (seed 1): a yearly wave, a daily swing and noise.
"""

import time
from collections.abc import Callable
from math import exp
from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.choice.pollination import USEFUL, bloom_overlap, useful_chance
from topwire.phenology.bloom import BloomNeed, BloomShape, bloom_hours, day_of_year, heat_after_chill
from topwire.phenology.chill import portions
from topwire.phenology.forecast import forecast
from topwire.phenology.seasons import HOURLY_DAYS, Seasons, cut
from topwire.phenology.traits import Traits
from topwire.weather.record import Weather

Floats = npt.NDArray[np.float64]

CULTIVARS, YEARS, LATITUDE = 150, 40, 45.0
DRAWS = 200
SHAPE = BloomShape(midpoint=19.0, width=5.5, gate_day=45.0, gate_width=4.0, extra=1.4, fading=0.019)


def weather() -> Weather:
    day = np.arange("1979-09-01", "2021-01-01", dtype="datetime64[D]")[: (YEARS + 1) * 366]
    of_year = (day - day.astype("datetime64[Y]")).astype(int)
    noise = np.random.default_rng(1).normal(0.0, 3.0, day.size)
    mean = 10.5 - 11.0 * np.cos(2 * np.pi * (of_year - 18) / 365.25) + noise
    missing = np.zeros(day.size)
    return Weather(
        day=day,
        tmin=mean - 5.5,
        tmax=mean + 5.5,
        rain=missing,
        dew_point=None,
        wind=None,
        sun=None,
        hourly=None,
        filled=missing > 0,
        source=missing.astype(int),
        files=("invented",),
        typical=False,
        notices=(),
    )


def needs() -> BloomNeed:
    number = np.arange(CULTIVARS)
    return BloomNeed(heat=150.0 + 0.8 * number, required=30.0 + number % 20)


def traits(need: BloomNeed) -> Traits:
    nothing = np.zeros(CULTIVARS)
    names = tuple(f"cultivar {number}" for number in range(CULTIVARS))
    lethal = np.full(CULTIVARS, -35.0)
    return Traits(
        names, 0, nothing, nothing, SHAPE, need, nothing, nothing, nothing, lethal,
        heat_of_a_day=8.0, bloom_shift=nothing, harvest_shift=nothing,
    )  # fmt: skip


def bloom_dates(record: Weather, need: BloomNeed) -> np.ndarray:
    """The whole way, as the program goes it."""
    seasons = cut(record, LATITUDE)
    chill = np.cumsum(portions(seasons.temperature), axis=1)
    heat = heat_after_chill(seasons.temperature, chill, SHAPE)
    return day_of_year(bloom_hours(heat, chill, need))


def plain_bloom_dates(seasons: Seasons, need: BloomNeed) -> np.ndarray:
    """The same in plain Python, hour by hour."""
    dates = np.full((seasons.years.size, CULTIVARS), np.nan)
    heat, required = (np.asarray(values).tolist() for values in (need.heat, need.required))
    for year, season in enumerate(seasons.temperature.tolist()):
        chill, running = _plain_totals(season)
        for cultivar in range(CULTIVARS):
            wanted, before = heat[cultivar], 0.0
            for hour, total in enumerate(running):
                if total >= wanted:
                    if chill[hour] >= required[cultivar]:
                        passed = hour + (wanted - before) / (total - before)
                        dates[year, cultivar] = passed / 24.0 - 91.5
                    break
                before = total
    return dates


def _plain_totals(season: list[float]) -> tuple[list[float], list[float]]:
    chill, heat, level, kept = [], [], 0.0, 1.0
    fixed = warm = 0.0
    for hour, air in enumerate(season):
        kelvin = air + 273.0
        if hour > 0:
            start = level if level < 1.0 else level * kept
            steady = 139_500.0 / 2.567e18 * exp(8_735.3 / kelvin)
            level = steady - (steady - start) * exp(-2.567e18 * exp(-12_888.8 / kelvin))
        share = 1.0 / (1.0 + exp(-1.6 * 277.0 * (kelvin - 277.0) / kelvin))
        if level >= 1.0:
            fixed += level * share
        kept = 1.0 - share
        gate = 1.0 / (1.0 + exp(-(hour // 24 - 91 - SHAPE.gate_day) / SHAPE.gate_width))
        warm += gate / (1.0 + exp(-(air - SHAPE.midpoint) / SHAPE.width))
        chill.append(fixed)
        heat.append(warm / (1.0 + SHAPE.extra * exp(-SHAPE.fading * max(fixed - 40.0, 0.0))))
    return chill, heat


def drawn_chance(first: Floats, last: Floats, error: Floats, single: float, compatible: Floats) -> Floats:
    """`useful_chance` counted over springs drawn one by one."""
    random, count = np.random.default_rng(3), np.zeros(compatible.shape)
    for _ in range(DRAWS):
        late = random.normal(size=(1, error.size)) * error + random.normal(0.0, single, first.shape)
        count += np.mean(bloom_overlap(first + late, last + late) * compatible >= USEFUL, axis=0)
    return count / DRAWS


def timed(work: Callable[[], Any], times: int = 5) -> tuple[float, Any]:
    """Shortest of several runs [s], and the answer."""
    best, answer = float("inf"), None
    for _ in range(times):
        started = time.perf_counter()
        answer = work()
        best = min(best, time.perf_counter() - started)
    return best, answer


def main() -> None:
    record, need = weather(), needs()
    seasons = cut(record, LATITUDE)
    hours = seasons.years.size * HOURLY_DAYS * 24
    print(f"{CULTIVARS} cultivars x {seasons.years.size} years, {hours:,} hours of weather")
    ours, dates = timed(lambda: bloom_dates(record, need))
    whole, _ = timed(lambda: forecast(cut(record, LATITUDE), traits(need)), times=3)
    plain, expected = timed(lambda: plain_bloom_dates(seasons, need), times=1)
    np.testing.assert_allclose(dates, expected, atol=1e-6)
    print(f"{'bloom dates from the daily record':<52}{ours:9.3f} s   (bar 1 s)")
    print(f"{'bloom, stages, frost and harvest':<52}{whole:9.3f} s")
    print(
        f"{'bloom dates, plain Python loop over hours':<52}{plain:9.3f} s   {plain / ours:7.0f} times as long"
    )
    random = np.random.default_rng(2)
    first = random.normal(115.0, 5.0, (YEARS, CULTIVARS))
    error, compatible = np.full(CULTIVARS, 2.0), np.full((CULTIVARS, CULTIVARS), 0.5)
    chance, _ = timed(lambda: useful_chance(first, first + 10.0, error, 1.5, compatible))
    drawn, _ = timed(lambda: drawn_chance(first, first + 10.0, error, 1.5, compatible), times=1)
    print(f"{'chance that a donor flowers with a tree, all pairs':<52}{chance:9.3f} s   (bar 10 s)")
    print(f"{f'the same counted over {DRAWS} draws':<52}{drawn:9.3f} s   {drawn / chance:7.0f} times as long")


if __name__ == "__main__":
    main()
