"""Hours fit for bees, flowers found, and what poor springs do to the chance of enough pollen.

Hours after Williams & Sims (1977): above 12.5 deg C, wind below 4.5 m/s, no rain; a good day has six.
"""

import numpy as np
import pytest

from topwire.layout import pollen
from topwire.layout.asked import Genes
from topwire.layout.bees import fit_hours, over_bloom, visited_share
from topwire.layout.bees_question import bee_springs
from topwire.layout.pollen_chance import chance_of_enough, springs_drawn
from topwire.weather.record import Weather

EQUINOX = np.array([80])


def test_hours_by_hand() -> None:
    # warm from 10 to 16 o'clock, twelve hours of light: six hours, fewer for rain, wind and cold
    warm = np.full((1, 24), 10.0)
    warm[0, 10:16] = 15.0
    assert fit_hours(EQUINOX, warm, 0.0)[0] == pytest.approx(6.0)
    assert fit_hours(EQUINOX, warm, 0.0, rain=np.array([1.9]))[0] == pytest.approx(6.0)
    assert fit_hours(EQUINOX, warm, 0.0, rain=np.array([2.0]))[0] == 0.0
    assert fit_hours(EQUINOX, warm, 0.0, wind=np.array([3.3]))[0] == pytest.approx(6.0)
    assert fit_hours(EQUINOX, warm, 0.0, wind=np.array([3.4]))[0] == 0.0  # 4.5 m/s by day
    showers = np.zeros((1, 24))
    showers[0, 12:14] = 3.0
    hourly = fit_hours(EQUINOX, warm, 0.0, rain=np.array([6.0]), hourly_rain=showers)
    assert hourly[0] == pytest.approx(4.0)
    gusts = np.full((1, 24), np.nan)
    gusts[0, 15] = 6.0
    assert fit_hours(EQUINOX, warm, 0.0, wind=np.array([1.0]), hourly_wind=gusts)[0] == pytest.approx(5.0)


def test_bees_do_not_fly_at_night() -> None:
    always = np.full((1, 24), 20.0)
    assert fit_hours(EQUINOX, always, 0.0)[0] == pytest.approx(12.0, abs=0.3)
    assert fit_hours(np.array([355]), always, 60.0)[0] < 7


def test_a_flower_is_found_within_three_days() -> None:
    fit = np.array([[0.0, 0.0, 0.0, 3.0, 0.0, 0.0, 12.0, 0.0]])
    # three days ahead, six hours for all: day 1 sees none, days 2 to 4 three hours, then the good day
    np.testing.assert_allclose(visited_share(fit)[0], [0.0, 0.5, 0.5, 0.5, 1.0, 1.0, 1.0, 0.0])


def test_over_a_bloom_by_hand() -> None:
    by_day = np.array([1.0, 2.0, 3.0, 4.0])
    # from noon of day 1 to noon of day 3: half a day of it, day 2, half of day 3
    np.testing.assert_allclose(
        over_bloom(by_day, np.array([1.0, np.nan]), np.array([3.0, np.nan])), [4.0, 0.0]
    )


def test_a_wet_spring_lowers_the_chance_as_often_as_it_comes() -> None:
    placed = np.array([0, 1] * 10)
    by_kind, total = pollen.fields(np.zeros(20, dtype=int), np.arange(20), placed, 2)
    bloom, fall = np.full((4, 2), 110.0), np.full((4, 2), 120.0)
    genes = Genes(((1, 2), (3, 5)), (2, 2), ((), ()), np.ones(2), 0.75, (1, 2, 3), np.zeros(2))
    fit = np.full((4, 200), 8.0)
    fit[0] = 0.1  # one spring of four keeps them at home
    springs = springs_drawn(bloom, fall, genes, visited=visited_share(fit))
    chance = chance_of_enough(by_kind, total, placed, springs, pollen.threshold())
    assert chance.min() == pytest.approx(0.75, abs=0.08)
    without = springs_drawn(bloom, fall, genes)
    np.testing.assert_array_equal(chance_of_enough(by_kind, total, placed, without, pollen.threshold()), 1.0)


def weather(wind: float | None) -> Weather:
    day = np.arange(np.datetime64("2019-10-01"), np.datetime64("2021-09-01"))
    warm = np.full(day.size, 18.0)
    none = np.zeros(day.size)
    return Weather(
        day, warm - 10, warm, none, None, None if wind is None else none + wind, None, None, none > 0,
        none.astype(np.int64), ("a",), False, (),
    )  # fmt: skip


def test_springs_of_a_record() -> None:
    found = bee_springs(weather(None), [2020, 2021], 45.0)
    assert found.fit.shape == (2, 212)
    assert not found.wind_known
    assert 6 < found.fit[0, 120] < 14
    assert found.fit[1, 120] == pytest.approx(found.fit[0, 120], abs=0.2)
    storm = bee_springs(weather(9.0), [2020, 2021], 45.0)
    assert storm.wind_known
    assert storm.fit.max() == 0.0
