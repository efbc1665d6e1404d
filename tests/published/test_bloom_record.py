"""Bloom against two records of Golden Delicious (MUIR2023) that the figures were fitted to, years held out.

The bars: a year left out at most 4.3 d at Winchester and 4.8 d at Rock Springs; a place left out at most 6 d. Published
work reaches 4 to 6 d (DREPPER2020 5.0). The years of Rock Springs were shifted to agree with the weather, so its error
is on the bright side.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from phenology_support import EXAMPLES, catalogue, seasons_of

from topwire.catalogue.model import Chill
from topwire.catalogue.seasons import BloomGroup
from topwire.checks.phenology import GROUP_STARTS, MEDIUM_START, bloom_records
from topwire.phenology.bloom import BloomNeed, bloom_hours, day_of_year, hours_from_october
from topwire.phenology.calibration import (
    BloomRecord,
    fit_need,
    leave_one_out_mean,
    leave_one_year_out,
    root_mean_square,
)
from topwire.phenology.chill import portions
from topwire.phenology.forecast import Forecast, forecast
from topwire.phenology.heat import growing_degree_hours
from topwire.phenology.question import traits_of
from topwire.phenology.traits import HEAT_OF_A_DAY

GOLDEN = 0


@cache
def records() -> dict[str, BloomRecord]:
    return bloom_records(EXAMPLES)


@cache
def fitted() -> BloomNeed:
    return fit_need(list(records().values()), MEDIUM_START)


@cache
def forecast_of(name: str, step: float = 0.0) -> Forecast:
    return forecast(seasons_of(name).warmed(step), traits_of(catalogue()))


def shipped(group: Chill) -> BloomGroup:
    return {row.group: row for row in catalogue().rows("bloom_groups", BloomGroup)}[group]


def test_records_are_long() -> None:
    assert {place: record.years.size for place, record in records().items()} == {
        "Winchester": 33,
        "Rock Springs": 35,
    }


def test_the_shipped_figures_are_the_fitted_ones() -> None:
    row = shipped(Chill.MEDIUM)
    assert (row.begin, row.required, row.fading) == (
        MEDIUM_START.begin,
        MEDIUM_START.required,
        MEDIUM_START.fading,
    )
    assert row.least == pytest.approx(fitted().least, rel=0.01)
    assert row.extra == pytest.approx(fitted().extra, rel=0.01)


@pytest.mark.parametrize("group", list(Chill))
def test_every_group_blooms_with_golden_delicious_at_the_fitted_places(group: Chill) -> None:
    row, start = shipped(group), GROUP_STARTS[group]
    assert (row.begin, row.required, row.fading) == (start.begin, start.required, start.fading)
    need = BloomNeed(row.begin, row.required, row.least, row.extra, row.fading)
    late = [np.mean(record.forecast(need) - record.forecast(fitted())) for record in records().values()]
    assert np.mean(late) == pytest.approx(0.0, abs=0.15)


def test_heat_of_a_day_about_bloom() -> None:
    means = []
    for record in records().values():
        middle = np.rint(hours_from_october(record.observed)).astype(int)
        row = np.arange(record.years.size)
        means.append((record.heat[row, middle + 132] - record.heat[row, middle - 132]).mean() / 11)
    assert np.mean(means) == pytest.approx(HEAT_OF_A_DAY, rel=0.01)


def test_a_year_left_out_one_parameter_set() -> None:
    errors = dict(zip(records(), leave_one_year_out(list(records().values()), MEDIUM_START), strict=True))
    for place, bar in (("Winchester", 4.3), ("Rock Springs", 4.8)):
        naive = root_mean_square(leave_one_out_mean(records()[place].observed))
        assert np.isfinite(errors[place]).all()
        assert root_mean_square(errors[place]) <= bar
        assert root_mean_square(errors[place]) < 0.75 * naive


@pytest.mark.parametrize(("place", "bar"), [("Winchester", 4.3), ("Rock Springs", 4.8)])
def test_a_year_left_out_one_place_alone(place: str, bar: float) -> None:
    (errors,) = leave_one_year_out([records()[place]], MEDIUM_START)
    assert root_mean_square(errors) <= bar


@pytest.mark.parametrize(("place", "other"), [("Winchester", "Rock Springs"), ("Rock Springs", "Winchester")])
def test_a_place_left_out(place: str, other: str) -> None:
    need = fit_need([records()[other]], MEDIUM_START)
    errors = records()[place].forecast(need) - records()[place].observed
    naive = records()[other].observed.mean() - records()[place].observed
    assert root_mean_square(errors) <= 6.0
    assert root_mean_square(errors) < 0.5 * root_mean_square(naive)


def test_overlap_costs_nothing_where_winters_are_cold() -> None:
    """OVERLAP2017 (abstract read): overlapping chill and heat did better than one after the other at 14 places.

    At these two, once day length weighs the heat, both do alike; the overlap earns its keep where chill is short.
    """
    sequence = replace(MEDIUM_START, begin=MEDIUM_START.required, extra=1e-6)
    for record in records().values():
        overlap = record.forecast(fit_need([record], MEDIUM_START)) - record.observed
        least = min(
            root_mean_square(record.forecast(replace(sequence, least=least)) - record.observed)
            for least in np.linspace(5000, 9000, 41)
        )
        assert root_mean_square(overlap) < least + 0.25


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
    """Tunis (AQUACROP): most winters bring less chill than any published figure for Golden Delicious asks for."""
    found = forecast_of("tunis")
    missed = np.isnan(found.full_bloom[:, GOLDEN])
    by_bloom = found.chill[:, -1]
    assert missed.mean() > 0.5
    assert missed[by_bloom < 50].all()


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
    need = BloomNeed(chill_needed, chill_needed, heat_needed, 0.0, 0.0)
    theirs = day_of_year(bloom_hours(chill, heat, need)[:, 0])
    ours = forecast_of("brussels").first_bloom[:, traits_of(catalogue()).names.index(cultivar)]
    assert np.mean(ours - theirs) == pytest.approx(0.0, abs=6.0)
    assert np.corrcoef(ours, theirs)[0, 1] > 0.8
