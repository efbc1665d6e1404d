"""Bloom against two records of Golden Delicious (MUIR2023) that may be shipped, with the shipped figures.

The figures were fitted to these and two further places at once; benchmarks/fit_dates.py prints errors of places and
periods left out. Published work reaches 4 to 6 d (DREPPER2020 5.0). The years of Rock Springs were shifted to agree
with the weather, so its error is on the bright side.
"""

import csv
from functools import cache

import numpy as np
import numpy.typing as npt
import pytest
from phenology_support import DATA, EXAMPLES, catalogue, seasons_of

from topwire.phenology.calibration import BLOOM_SPREAD
from topwire.phenology.chill import portions
from topwire.phenology.forecast import Forecast, forecast
from topwire.phenology.heat import growing_degree_hours
from topwire.phenology.question import traits_of
from topwire.phenology.ranges import range_of
from topwire.phenology.seasons import cut
from topwire.weather.read import read_weather

GOLDEN = 0
PLACES = {"Winchester": ("valley-inn", 39.18), "Rock Springs": ("ridge-cider", 40.71)}


@cache
def record(place: str) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Years, forecast and observed full bloom of Golden Delicious."""
    folder, latitude = PLACES[place]
    weather = read_weather([EXAMPLES / folder / "weather" / "daily.csv"])
    seasons = cut(weather, latitude)
    full = forecast(seasons, traits_of(catalogue())).full_bloom[:, GOLDEN]
    with (DATA / "bloom_golden_delicious.csv").open(encoding="utf-8") as lines:
        seen = {
            int(row["year"]): float(row["full_bloom"])
            for row in csv.DictReader(lines)
            if row["place"] == place
        }
    rows = [row for row, year in enumerate(seasons.years.tolist()) if year in seen]
    years = seasons.years[rows]
    return years, full[rows], np.array([seen[int(year)] for year in years])


@cache
def forecast_of(name: str, step: float = 0.0) -> Forecast:
    return forecast(seasons_of(name).warmed(step, step), traits_of(catalogue()))


@pytest.mark.parametrize(("place", "bar"), [("Winchester", 3.5), ("Rock Springs", 3.8)])
def test_after_one_shift_of_the_place(place: str, bar: float) -> None:
    years, ours, seen = record(place)
    assert years.size >= 30
    error = ours - seen
    assert abs(error.mean()) < 2 * BLOOM_SPREAD.place
    assert error.std() <= bar
    assert error.std() < 0.65 * seen.std()  # of the naive forecast, the mean date


@pytest.mark.parametrize("place", PLACES)
def test_no_trend_is_left(place: str) -> None:
    years, ours, seen = record(place)
    assert abs(np.polyfit(years, ours - seen, 1)[0]) * 10 < 1.0


def test_low_to_high_holds_four_dates_of_five() -> None:
    """Each place's range from its weather and the model's error in a year, its place known."""
    inside = []
    for place in PLACES:
        _, ours, seen = record(place)
        error = float(np.hypot(BLOOM_SPREAD.year, BLOOM_SPREAD.single))
        found = range_of(ours - np.mean(ours - seen), error)
        assert found is not None
        inside += ((seen >= found.low) & (seen <= found.high)).tolist()
        # of each year's own date
        half = 1.2816 * error
        inside += (np.abs(ours - np.mean(ours - seen) - seen) <= half).tolist()
    assert 0.72 <= np.mean(inside) <= 0.92


def test_a_warm_spring_counts_as_the_record_says() -> None:
    """Slope of bloom on the mean of March and April: ours within a fifth of the record's, both places together."""
    ratio = []
    for place, (folder, latitude) in PLACES.items():
        years, ours, seen = record(place)
        seasons = cut(read_weather([EXAMPLES / folder / "weather" / "daily.csv"]), latitude)
        rows = np.isin(seasons.years, years)
        warm = (seasons.tmin + seasons.tmax)[rows, 92 + 59 : 92 + 120].mean(axis=1) / 2
        ratio.append(np.polyfit(warm, ours, 1)[0] / np.polyfit(warm, seen, 1)[0])
    assert np.mean(ratio) == pytest.approx(1.0, abs=0.2)


def test_a_kelvin_advances_bloom_in_the_north_west_as_published() -> None:
    """HOFFMANN2013 (abstract read): 5.5 d a kelvin in Lower Saxony; here Brussels and Cambridge (AQUACROP)."""
    for name in ("brussels", "cambridge"):
        advance = np.mean(
            forecast_of(name).full_bloom[:, GOLDEN] - forecast_of(name, 1.0).full_bloom[:, GOLDEN]
        )
        assert advance == pytest.approx(5.5, abs=1.5)


def test_belgium_blooms_in_the_last_days_of_april() -> None:
    """Common practice, no source: full bloom of Golden Delicious in Belgium and the Rhineland, 20 April to 10 May."""
    assert 110 < forecast_of("brussels").full_bloom[:, GOLDEN].mean() < 130


def test_flowers_are_open_about_nine_days() -> None:
    """Bloom of a cultivar lasts about 9 days, longer when cool (Michigan State University, read; catalogue notes)."""
    for name in ("brussels", "champion"):
        found = forecast_of(name)
        days = (found.petal_fall - found.first_bloom)[:, GOLDEN]
        assert 7.0 < np.nanmean(days) < 15.0
        assert np.nanstd(days) > 1.0


def test_spread_of_cultivars_is_wider_in_slow_springs() -> None:
    """Standard deviation of the same cultivars 1.1 d in one fast spring, 2.9 d elsewhere (ABC2021, NCHIL302)."""
    spread = {
        name: np.nanmean(np.nanstd(forecast_of(name).full_bloom, axis=1)) for name in ("brussels", "champion")
    }
    assert spread["brussels"] > spread["champion"]


def test_warm_winters_are_told_and_not_dated() -> None:
    """Tunis (AQUACROP): no record of Golden Delicious has bloom with fewer portions than 40."""
    found = forecast_of("tunis")
    missed = np.isnan(found.full_bloom[:, GOLDEN])
    assert missed.any()
    assert missed[found.chill[:, -1] < 40].all()
    assert found.chill_missed[missed, GOLDEN].all()


@pytest.mark.parametrize(
    ("cultivar", "chill_needed", "heat_needed"),
    [("Belle de Boskoop", 59.16, 4430.0), ("Cox's Orange Pippin", 79.6, 4268.0)],
)
def test_belgian_parameters_agree_on_the_start_of_flowering(
    cultivar: str, chill_needed: float, heat_needed: float
) -> None:
    """DREPPER2020, table A: chill then heat fitted to 69 years of north-east Belgium, errors 4.1 to 5.7 d.

    Their start of chill was not readable and is taken as 1 October; the weather is that of Brussels (AQUACROP).
    """
    seasons = seasons_of("brussels")
    chill = np.cumsum(portions(seasons.temperature), axis=1)
    heat = np.cumsum(growing_degree_hours(seasons.temperature), axis=1)
    start = np.argmax(chill >= chill_needed, axis=1)
    used = heat[np.arange(heat.shape[0]), start]
    theirs = np.argmax(heat - used[:, None] >= heat_needed, axis=1) / 24.0 - 91.5
    ours = forecast_of("brussels").first_bloom[:, traits_of(catalogue()).names.index(cultivar)]
    assert np.mean(ours - theirs) == pytest.approx(0.0, abs=9.0)  # before a shift of the place
    assert np.corrcoef(ours, theirs)[0, 1] > 0.8
