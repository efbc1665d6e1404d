"""What the grower's dates teach beside the plan."""

from datetime import date, timedelta
from functools import cache

import numpy as np
from phenology.test_season import catalogue, plan, said, weather

from topwire.learning.answer import answer
from topwire.learning.findings import LearntDates
from topwire.learning.question import question
from topwire.phenology.answer import answer as place_answer
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.question import question as place_question
from topwire.values.own_date import DateSeen, OwnDate


@cache
def seasons() -> PlaceSeasons:
    return place_answer(place_question(plan(), catalogue(), weather()))


def learn(own: list[OwnDate], **place: object) -> LearntDates:
    return answer(question(plan(**place), catalogue(), weather, own))


def gala(late: float, years: int = 3) -> list[OwnDate]:
    days = seasons().full_bloom[:years, seasons().cultivars.index("Gala")]
    return [
        OwnDate(
            str(year), "Gala", DateSeen.FULL_BLOOM, date(year, 1, 1) + timedelta(days=round(day + late) - 1)
        )
        for year, day in zip(seasons().years.tolist(), days, strict=False)
    ]


def test_without_a_date_nothing_is_learnt_and_no_weather_is_read() -> None:
    def unread() -> object:
        raise AssertionError

    found = answer(question(plan(), catalogue(), unread, []))  # type: ignore[arg-type]
    assert found.learned == ()
    assert found.notices == ()


def test_what_a_cultivars_dates_say_stands_beside_the_forecast() -> None:
    found = learn(gala(8.0))
    (line,) = found.cultivars
    assert line.cultivar == "Gala"
    assert line.dates == 3
    assert 1.5 < line.shift < 8.0
    assert line.error < seasons().bloom_error[seasons().cultivars.index("Gala")]


def test_the_plan_follows_a_date_only_from_the_year_stated() -> None:
    own = gala(8.0)
    plain = seasons().full_bloom
    beside = place_answer(place_question(plan(), catalogue(), weather(), observed=own))
    followed = place_answer(
        place_question(plan(own_dates_until=own[-1].date.year), catalogue(), weather(), observed=own)
    )
    np.testing.assert_array_equal(beside.full_bloom, plain)
    assert np.nanmean(followed.full_bloom - plain) > 0.1
    assert "write place.own_dates_until" in " ".join(said(learn(own)))
    assert "beside the plan" not in " ".join(said(learn(own, own_dates_until=own[-1].date.year)))


def test_own_dates_that_teach_nothing_are_told() -> None:
    own = [
        OwnDate("a", "Galla", DateSeen.FULL_BLOOM, date(2005, 5, 1)),
        OwnDate("b", "Gala", DateSeen.FULL_BLOOM, date(1950, 5, 1)),
        OwnDate("c", "Gala", DateSeen.FULL_BLOOM, date(2005, 10, 1)),
        OwnDate("d", "Dolgo", DateSeen.FULL_BLOOM, date(2005, 10, 1)),
    ]
    told = [line for line in said(learn(own)) if "teach nothing" in line]
    assert any("no such cultivar" in line for line in told)
    assert any("no usable weather" in line and "1950" in line for line in told)
    (far,) = [line for line in told if "is the date right" in line]
    assert far.count("2005") == 2
