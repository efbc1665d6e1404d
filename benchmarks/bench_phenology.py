"""Speed of the bloom forecast: 150 cultivars x 40 years, hour by hour from a daily record, on one core.

    OMP_NUM_THREADS=1 python benchmarks/bench_phenology.py

Two comparisons, each of the same work in the same run, the answers held equal before a ratio is printed:

1. the whole way from daily minimum and maximum to bloom dates, against a plain Python loop over hours;
2. chill then heat from daily means (the one model both have), against pyPhenology's Sequential model, one call a
   cultivar, the way that library is used. It needs the packages pyPhenology, joblib and pandas; without them the line
   says so.

Weather is invented (seed 1): a yearly wave, a daily swing and noise.
"""

import time
from collections.abc import Callable
from math import cos, exp, pi, sin
from typing import Any

import numpy as np

from topwire.phenology.bloom import BloomNeed, bloom_hours, day_of_year, weighted_heat
from topwire.phenology.chill import portions
from topwire.phenology.forecast import forecast
from topwire.phenology.seasons import HOURLY_DAYS, Seasons, cut
from topwire.phenology.traits import Traits
from topwire.weather.record import Weather

CULTIVARS, YEARS, LATITUDE = 150, 40, 45.0
FADING = 0.04


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
    return BloomNeed(
        begin=55.0 + number % 20,
        required=60.0 + number % 20,
        least=4000.0 + 30.0 * number,
        extra=10_000.0 + 20.0 * (number % 50),
        fading=FADING,
    )


def traits(need: BloomNeed) -> Traits:
    nothing = np.zeros(CULTIVARS)
    names = tuple(f"cultivar {number}" for number in range(CULTIVARS))
    lethal = np.full(CULTIVARS, -35.0)
    return Traits(names, 0, nothing, nothing, need, nothing, lethal, nothing, nothing)


def bloom_dates(record: Weather, need: BloomNeed) -> np.ndarray:
    """The whole way, as the program goes it."""
    seasons = cut(record, LATITUDE)
    chill = np.cumsum(portions(seasons.temperature), axis=1)
    heat = np.cumsum(weighted_heat(seasons.temperature, seasons.day_length), axis=1)
    return day_of_year(bloom_hours(chill, heat, need))


def plain_bloom_dates(seasons: Seasons, need: BloomNeed) -> np.ndarray:
    """The same in plain Python, hour by hour; the hours of the day are given to it, which favours it a little."""
    dates = np.full((seasons.years.size, CULTIVARS), np.nan)
    begin, required, least, extra = (
        np.asarray(values).tolist() for values in (need.begin, need.required, need.least, need.extra)
    )
    weights = [(length / 12.0) ** 2 for length in seasons.day_length.tolist()]
    for year, season in enumerate(seasons.temperature.tolist()):
        chill, heat = _plain_totals(season, weights)
        for cultivar in range(CULTIVARS):
            start, needed = begin[cultivar], required[cultivar]
            lowest, more = least[cultivar], extra[cultivar]
            used = -1.0
            before = 0.0
            for hour in range(len(chill)):
                if used < 0.0:
                    if chill[hour] >= start:
                        used = heat[hour]
                        before = lowest + more * exp(-FADING * (chill[hour] - start))
                    continue
                lacking = lowest + more * exp(-FADING * (chill[hour] - start)) - (heat[hour] - used)
                if lacking <= 0.0:
                    if chill[hour] >= needed:
                        passed = hour + before / (before - lacking)
                        dates[year, cultivar] = passed / 24.0 - 91.5
                    break
                before = lacking
    return dates


def _plain_totals(season: list[float], weights: list[float]) -> tuple[list[float], list[float]]:
    chill, heat, level, kept = [], [], 0.0, 1.0
    fixed = warmth = 0.0
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
        if 4.0 < air <= 25.0:
            warmth += 10.5 * (1.0 - cos(pi * (air - 4.0) / 21.0)) * weights[hour // 24]
        elif 25.0 < air < 36.0:
            warmth += 21.0 * (1.0 - sin(0.5 * pi * (air - 25.0) / 11.0)) * weights[hour // 24]
        chill.append(fixed)
        heat.append(warmth)
    return chill, heat


CHILL_TRIANGLE = (-5.0, 4.0, 10.0)  # [deg C] no chill below, most, none above
HEAT_FROM = 5.0  # [deg C]


def daily_sequence(mean: np.ndarray, chill_needed: np.ndarray, heat_needed: np.ndarray) -> np.ndarray:
    """Chill then heat from daily means with this program's bisection: day number, (years, cultivars)."""
    chill = np.cumsum(np.interp(mean, CHILL_TRIANGLE, [0.0, 1.0, 0.0]), axis=1)
    heat = np.cumsum(np.where(mean < HEAT_FROM, 0.0, mean), axis=1)
    # the library counts the day that meets the chill as a day of heat: chill lags one day behind
    heat_before = np.concatenate([np.zeros((mean.shape[0], 1)), heat], axis=1)
    chill_after = np.concatenate([chill, chill[:, -1:]], axis=1)
    need = BloomNeed(chill_needed, chill_needed, heat_needed, np.zeros_like(heat_needed), 0.0)
    return np.ceil(bloom_hours(chill_after, heat_before, need)) - 2.0


def library_sequence(
    mean: np.ndarray, chill_needed: np.ndarray, heat_needed: np.ndarray
) -> Callable[[], np.ndarray] | str:
    """The same through pyPhenology, or why not."""
    try:
        from pyPhenology.models import Sequential
    except ImportError as error:
        return f"pyPhenology cannot be imported here: {error}"
    low, best, high = CHILL_TRIANGLE
    predictors = {"temperature": mean.T.copy(), "doy_series": np.arange(mean.shape[1])}

    def run() -> np.ndarray:
        columns = []
        for chill, heat in zip(chill_needed, heat_needed, strict=True):
            parameters: dict[str, Any] = {
                "t0": 0,
                "c_t_min": low,
                "c_t_opt": best,
                "c_t_max": high,
                "C": float(chill),
                "f_t": HEAT_FROM,
                "F": float(heat),
            }
            columns.append(Sequential(parameters=parameters).predict(predictors=predictors))
        return np.array(columns, dtype=float).T

    return run


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

    mean = seasons.temperature.reshape(seasons.years.size, -1, 24).mean(axis=2)
    chill_needed = 40.0 + np.arange(CULTIVARS) % 30
    heat_needed = 250.0 + 3.0 * np.arange(CULTIVARS)
    run = library_sequence(mean, chill_needed, heat_needed)
    if isinstance(run, str):
        print(run)
        return
    mine, days = timed(lambda: daily_sequence(mean, chill_needed, heat_needed))
    library, theirs = timed(run, times=3)
    np.testing.assert_array_equal(days, theirs)
    print(f"{'daily chill then heat':<52}{mine:9.4f} s")
    label = "daily chill then heat, pyPhenology Sequential"
    print(f"{label:<52}{library:9.4f} s   {library / mine:7.0f} times as long")


if __name__ == "__main__":
    main()
