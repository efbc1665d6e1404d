"""Invented years against the record they were fitted to: means, spread, extremes, memory, frost dates."""

from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from phenology_support import catalogue

from topwire.phenology.forecast import forecast
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import cut
from topwire.weather.climate import Climate, fit_climate
from topwire.weather.read import read_weather
from topwire.weather.record import Weather
from topwire.weather.repair import ordinary_year
from topwire.weather.years import InventedYears, invent_years, lengthen

EXAMPLES = Path(__file__).parents[2] / "examples"
PLACES = ["valley-inn", "ridge-cider"]
YEARS = 300
ELEMENTS = ["tmin", "tmax"]

Array = npt.NDArray[np.float64]


@cache
def record(place: str) -> Weather:
    return read_weather([EXAMPLES / place / "weather" / "daily.csv"])


@cache
def climate(place: str) -> Climate:
    held = record(place)
    return fit_climate(held.day, held.tmin, held.tmax, held.rain)


@cache
def invented(place: str) -> InventedYears:
    return invent_years(climate(place), YEARS, seed=11)


def month_of(day: npt.NDArray[np.datetime64]) -> npt.NDArray[np.int64]:
    return day.astype("datetime64[M]").astype(np.int64) % 12


def monthly(series: Weather | InventedYears, name: str, *, total: bool = False) -> list[Array]:
    """Means (or totals) of each whole calendar month: twelve arrays, one value a year."""
    values, month = getattr(series, name), month_of(series.day)
    starts = np.flatnonzero(np.diff(month, prepend=-1))
    sums = np.add.reduceat(values, starts)
    lengths = np.diff(np.append(starts, values.size))
    kept = np.isfinite(sums) & (lengths >= 28)
    figure = sums if total else sums / lengths
    return [figure[kept & (month[starts] == one)] for one in range(12)]


def ratios_of_spread(place: str, name: str, *, total: bool = False) -> Array:
    held, made = monthly(record(place), name, total=total), monthly(invented(place), name, total=total)
    return np.array([new.std(ddof=1) / old.std(ddof=1) for old, new in zip(held, made, strict=True)])


@pytest.mark.parametrize("name", ELEMENTS)
@pytest.mark.parametrize("place", PLACES)
def test_monthly_means(place: str, name: str) -> None:
    """Within three standard errors of the record's own mean, and a quarter of a degree over the year."""
    held, made = monthly(record(place), name), monthly(invented(place), name)
    error = np.array([old.std(ddof=1) / np.sqrt(old.size) for old in held])
    apart = np.array([new.mean() - old.mean() for old, new in zip(held, made, strict=True)])
    assert (np.abs(apart) < 3 * error).all()
    assert abs(apart.mean()) < 0.25


@pytest.mark.parametrize("name", ELEMENTS)
@pytest.mark.parametrize("place", PLACES)
def test_months_of_different_years_are_as_unlike(place: str, name: str) -> None:
    """The spread of a month's mean between years. Of 36 years it is itself known to 12 %: 40 % is three of those."""
    ratio = ratios_of_spread(place, name)
    assert (np.abs(ratio - 1) < 0.4).all()
    assert abs(ratio.mean() - 1) < 0.12


@pytest.mark.parametrize("name", ELEMENTS)
@pytest.mark.parametrize("place", PLACES)
def test_days_spread_as_far(place: str, name: str) -> None:
    held, made = record(place), invented(place)
    for one in range(12):
        old = getattr(held, name)[month_of(held.day) == one]
        new = getattr(made, name)[month_of(made.day) == one]
        old = old[np.isfinite(old)]
        assert new.std() / old.std() == pytest.approx(1, abs=0.12)
        for share in (1, 5, 95, 99):
            assert np.percentile(new, share) == pytest.approx(np.percentile(old, share), abs=2.6)


@pytest.mark.parametrize("place", PLACES)
def test_rain(place: str) -> None:
    held, made = monthly(record(place), "rain", total=True), monthly(invented(place), "rain", total=True)
    old, new = np.array([one.mean() for one in held]), np.array([one.mean() for one in made])
    np.testing.assert_allclose(new, old, rtol=0.12)
    assert new.sum() == pytest.approx(old.sum(), rel=0.04)
    ratio = ratios_of_spread(place, "rain", total=True)
    assert (np.abs(ratio - 1) < 0.45).all()
    assert abs(ratio.mean() - 1) < 0.12


@pytest.mark.parametrize("place", PLACES)
def test_wet_days_and_their_runs(place: str) -> None:
    held, made = record(place), invented(place)
    known = np.isfinite(held.rain[1:]) & np.isfinite(held.rain[:-1])
    old, new = held.rain >= 0.25, made.rain >= 0.25
    assert new.mean() == pytest.approx(old[np.isfinite(held.rain)].mean(), abs=0.01)
    old_follow = (old[1:] & old[:-1])[known].sum() / old[:-1][known].sum()
    assert (new[1:] & new[:-1]).sum() / new[:-1].sum() == pytest.approx(old_follow, abs=0.02)


@pytest.mark.parametrize("place", PLACES)
def test_heavy_rain(place: str) -> None:
    held, made = record(place).rain, invented(place).rain
    held = held[np.isfinite(held)]
    for share in (90, 99, 99.9):
        assert np.percentile(made, share) == pytest.approx(np.percentile(held, share), rel=0.25)


def departure(series: Weather | InventedYears, name: str) -> Array:
    of_year = (series.day - series.day.astype("datetime64[Y]")).astype(np.int64) + 1
    values: Array = getattr(series, name)
    return values - ordinary_year(of_year, values)


def correlation(one: Array, other: Array, lag: int) -> float:
    now, before = one[lag:], other[: other.size - lag]
    known = np.isfinite(now) & np.isfinite(before)
    return float(np.corrcoef(now[known], before[known])[0, 1])


@pytest.mark.parametrize("place", PLACES)
def test_days_follow_each_other(place: str) -> None:
    held, made = record(place), invented(place)
    for first in ELEMENTS:
        for second in ELEMENTS:
            for lag in (0, 1, 2, 3, 5):
                old = correlation(departure(held, first), departure(held, second), lag)
                new = correlation(departure(made, first), departure(made, second), lag)
                assert new == pytest.approx(old, abs=0.08), (first, second, lag)


@pytest.mark.parametrize("place", PLACES)
def test_wet_days_are_cooler_by_day_and_milder_by_night(place: str) -> None:
    held, made = record(place), invented(place)
    for name in ELEMENTS:
        figures = []
        for series in (held, made):
            wet, values = series.rain >= 0.25, departure(series, name)
            known = np.isfinite(values) & np.isfinite(series.rain)
            figures.append(values[known & wet].mean() - values[known & ~wet].mean())
        assert figures[1] == pytest.approx(figures[0], abs=0.3)
    assert figures[1] < 0  # the highest temperature, last in the loop


def frosts(series: Weather | InventedYears, threshold: float) -> tuple[Array, Array]:
    """Day of year of the last frost of spring and the first of autumn, whole years only."""
    year = series.day.astype("datetime64[Y]")
    of_year = (series.day - year).astype(np.int64) + 1
    last, first = [], []
    for one in np.unique(year):
        here = year == one
        if np.isfinite(series.tmin[here]).sum() < 360:
            continue
        cold = of_year[here & (series.tmin <= threshold)]
        if (cold < 200).any():
            last.append(cold[cold < 200].max())
        if (cold > 200).any():
            first.append(cold[cold > 200].min())
    return np.array(last, dtype=float), np.array(first, dtype=float)


@pytest.mark.parametrize("threshold", [0.0, -2.2])
@pytest.mark.parametrize("place", PLACES)
def test_frost_dates(place: str, threshold: float) -> None:
    """Means within three standard errors (some 6 days) and no more than 7 days; spread within a half."""
    for old, new in zip(frosts(record(place), threshold), frosts(invented(place), threshold), strict=True):
        error = 3 * old.std(ddof=1) / np.sqrt(old.size)
        assert abs(new.mean() - old.mean()) < min(max(error, 3.0), 7.0)
        assert new.std() / old.std() == pytest.approx(1, abs=0.5)


@pytest.mark.parametrize("place", PLACES)
def test_the_coldest_night_of_the_year(place: str) -> None:
    held, made = record(place), invented(place)
    figures = []
    for series in (held, made):
        year = series.day.astype("datetime64[Y]")
        coldest = [
            np.nanmin(series.tmin[year == one])
            for one in np.unique(year)
            if np.isfinite(series.tmin[year == one]).sum() > 340
        ]
        figures.append((np.mean(coldest), np.std(coldest), len(coldest)))
    (old, spread, count), (new, new_spread, _) = figures
    assert abs(new - old) < max(3 * spread / np.sqrt(count), 1.5)
    assert new_spread / spread == pytest.approx(1, abs=0.4)


def test_the_lowest_never_passes_the_highest() -> None:
    made = invented("valley-inn")
    assert (made.tmin <= made.tmax).all()
    assert (made.rain >= 0).all()


def test_the_same_seed_gives_the_same_years() -> None:
    one, two = invent_years(climate("valley-inn"), 3, seed=5), invent_years(climate("valley-inn"), 3, seed=5)
    other = invent_years(climate("valley-inn"), 3, seed=6)
    np.testing.assert_array_equal(one.tmin, two.tmin)
    np.testing.assert_array_equal(one.rain, two.rain)
    assert (one.tmin != other.tmin).any()


def test_three_years_of_record_are_enough() -> None:
    held = record("ridge-cider")
    few = slice(365 * 5, 365 * 8)
    short = fit_climate(held.day[few], held.tmin[few], held.tmax[few], held.rain[few])
    made = invent_years(short, 200, seed=2)
    assert made.tmin.mean() == pytest.approx(held.tmin[few].mean(), abs=0.4)
    assert made.tmax.std() == pytest.approx(held.tmax[few].std(), rel=0.05)
    assert made.tmin.min() > -60


def test_less_is_refused() -> None:
    held = record("ridge-cider")
    few = slice(0, 700)
    with pytest.raises(ValueError, match="need at least three years"):
        fit_climate(held.day[few], held.tmin[few], held.tmax[few], held.rain[few])


def test_without_rain_all_days_are_dry() -> None:
    held = record("ridge-cider")
    none = np.full(held.day.size, np.nan)
    made = invent_years(fit_climate(held.day, held.tmin, held.tmax, none), 20, seed=1)
    assert not made.rain.any()
    assert made.tmin.mean() == pytest.approx(np.nanmean(held.tmin), abs=0.6)


def test_a_longer_record_says_that_it_is_invented() -> None:
    longer = lengthen(record("valley-inn"), 60, seed=4)
    assert longer.day.size == 60 * 365 + 15
    assert np.diff(longer.day).max() == np.timedelta64(1, "D")
    assert "60 years were invented" in longer.notices[0].says
    assert "seed 4" in longer.notices[0].says


@pytest.mark.parametrize(("place", "latitude"), [("valley-inn", 39.18), ("ridge-cider", 40.71)])
def test_apples_bloom_as_in_the_record(place: str, latitude: float) -> None:
    """What the years are for: full bloom of all cultivars, over 150 invented years and over the record."""
    traits = traits_of(catalogue())
    held = forecast(cut(record(place), latitude), traits).full_bloom
    made = forecast(cut(lengthen(record(place), 150, seed=3), latitude), traits).full_bloom
    met = np.isfinite(held).all(axis=0) & np.isfinite(made).all(axis=0)
    assert met.sum() > 100
    assert np.abs(made[:, met].mean(axis=0) - held[:, met].mean(axis=0)).max() < 3.0
    ratio = made[:, met].std(axis=0) / held[:, met].std(axis=0)
    assert (ratio > 0.75).all()
    assert (ratio < 1.4).all()
