"""The crop of a year from age, frost, earlier picks, counts and callipers; the first pick from tests of ripeness."""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from topwire.ledger.findings import Maturity
from topwire.season.asked import GrownCultivar
from topwire.season.crop import (
    LogNormal,
    before_counts,
    by_age,
    from_count,
    levels,
    mass_at_harvest,
    target_of,
)
from topwire.season.maturity import RipeDay, by_tests, joined
from topwire.season.seen import RipeTest, SizeSample, TreeCount
from topwire.season.thinning import thinning_of
from topwire.values.estimate import Estimate
from topwire.values.traits import Grade

LEAVES = 6
GALA = GrownCultivar(
    name="Gala",
    rows=(),
    planted=((2028, 30), (2030, 10)),
    kg_per_tree=np.outer(np.arange(LEAVES), [1.0, 2.0, 3.0]),
    trunk_area=np.linspace(2.0, 12.0, LEAVES),
    fruit_target=np.linspace(0.0, 60.0, LEAVES),
    standing=0,
    standing_kg=0.0,
    fruit_mass=0.165,
    load=6.0,
    biennial=Grade.LOW,
    maturity=Maturity(3.0, 6.0, 7.26, 8.16, True),
    best_weeks=16.0,
    mellow_weeks=0.0,
    pressed_only=False,
)


def test_a_crop_is_the_sum_of_its_plantings_by_their_leaf() -> None:
    found = by_age(GALA, 2032)  # leaf 4 and leaf 2
    assert found == Estimate(30 * 3.0 + 10 * 1.0, 30 * 6.0 + 10 * 2.0, 30 * 9.0 + 10 * 3.0)
    assert by_age(GALA, 2028) is None


def test_frost_takes_its_share_and_what_is_not_known_of_it_widens() -> None:
    crop = Estimate(50.0, 100.0, 150.0)
    whole = before_counts(crop, np.full(9, 0.8), 0.8)
    half = before_counts(crop, np.full(9, 0.4), 0.8)
    unsure = before_counts(crop, np.array([0.1, 0.4, 0.8] * 3), 0.8)
    assert half.estimate.middle == pytest.approx(whole.estimate.middle / 2)
    assert unsure.spread > half.spread


def test_counting_more_trees_makes_a_crop_surer_and_draws_it_to_the_count() -> None:
    prior = before_counts(Estimate(50.0, 100.0, 150.0), np.full(9, 0.8), 0.8)
    found = []
    for trees in (1, 5, 25):
        counted = from_count(
            GALA, TreeCount("Gala", date(2032, 7, 1), False, 30.0, trees), 40, 10.0, 60.0, None
        )
        assert counted is not None
        found.append(prior.joined(counted))
    spreads = [one.spread for one in found]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[0] < prior.spread
    told = 0.95 * 30 * 40 * 0.165
    away = [abs(np.log(one.estimate.middle / told)) for one in found]
    assert away == sorted(away, reverse=True)


def test_clusters_beyond_what_a_tree_may_carry_move_nothing() -> None:
    many = [
        from_count(GALA, TreeCount("Gala", date(2032, 4, 20), True, clusters, 5), 40, 10.0, 60.0, None)
        for clusters in (200.0, 400.0, 40.0)
    ]
    assert many[0] == many[1]
    assert many[2] is not None
    assert many[0] is not None
    assert many[2].centre < many[0].centre


def test_a_calliper_at_harvest_says_the_mass_itself() -> None:
    """Box counts (LOAD-BOX) put a fruit of 165 g at about 75 mm."""
    found = mass_at_harvest(SizeSample("Gala", date(2032, 9, 1), 0.075, 0.004, 20), 115.0, 245.0)
    assert found is not None
    assert found[0] == pytest.approx(0.165, rel=0.03)
    assert mass_at_harvest(SizeSample("Gala", date(2032, 5, 10), 0.01, 0.001, 20), 115.0, 245.0) is None
    early = mass_at_harvest(SizeSample("Gala", date(2032, 7, 1), 0.05, 0.004, 20), 115.0, 245.0)
    assert early is not None
    assert early[1] > found[1]


def test_picks_of_earlier_years_teach_the_orchards_level_and_little_of_one() -> None:
    shared = levels({"Gala": [0.4] * 4, "Empire": [0.4] * 4})
    assert 0.2 < shared[""] < 0.4
    one = levels({"Gala": [0.4]})
    assert 0 < one[""] < one["Gala"] < 0.4
    assert levels({}) == {}


def test_a_measured_trunk_sets_the_target_the_published_way() -> None:
    """Six fruits per cm2 of trunk for cultivars that bear every year (LOAD-UMASS)."""
    assert target_of(GALA, 2032, 10.0, {"Gala": (10.0, 5)}) == 60.0
    plan = target_of(GALA, 2032, 8.0, {})
    assert plan == pytest.approx((30 * GALA.fruit_target[3] + 10 * GALA.fruit_target[1]) / 40)


def _starch(*readings: tuple[int, float]) -> list[RipeTest]:
    return [RipeTest("Gala", date(2032, 8, day), 10, value, None, None) for day, value in readings]


def test_starch_moves_the_pick_and_more_readings_make_it_surer() -> None:
    ripe = replace(GALA.maturity, firmness_long=None)
    assert ripe is not None
    at_once = by_tests(_starch((20, 3.0)), ripe)
    early = by_tests(_starch((20, 1.7)), ripe)
    several = by_tests(_starch((10, 1.7), (15, 2.35), (20, 3.0)), ripe)
    assert at_once is not None
    assert early is not None
    assert several is not None
    assert at_once.day == pytest.approx(date(2032, 8, 20).timetuple().tm_yday)
    assert early.day == pytest.approx(at_once.day + 10, abs=0.1)
    assert several.error <= at_once.error + 0.01 < early.error
    assert by_tests([RipeTest("Gala", date(2032, 8, 1), 5, None, None, 12.0)], ripe) is None


def test_forecast_and_tests_weigh_by_their_errors() -> None:
    found = joined(RipeDay(240.0, 8.0), RipeDay(250.0, 4.0))
    assert (found.day, found.error) == (pytest.approx(248.0), pytest.approx(3.578, abs=0.01))
    both = LogNormal(0.0, 1.0).joined(LogNormal(1.0, 1.0))
    assert (both.centre, both.spread) == (0.5, pytest.approx(0.5**0.5))


def test_the_week_thins_what_comes_to_the_table_and_no_cider_fruit() -> None:
    """As the plan's table of fruits to leave: by what the choice serves, not by what the catalogue calls it."""
    dates: Any = SimpleNamespace(names=("Gala",), middle=lambda stage, at: 115.0)
    seen: Any = SimpleNamespace(trunks={}, counts=())
    pressed = replace(GALA, pressed_only=True)
    for line, thinned in ((pressed, ["Gala"]), (replace(pressed, for_cider=True), [])):
        found = thinning_of(date(2033, 5, 15), [line], dates, seen)
        assert [one.cultivar for one in found] == thinned
