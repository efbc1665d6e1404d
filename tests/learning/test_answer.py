"""What the grower's dates teach beside the plan."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest
from phenology.test_season import catalogue, plan, said, weather

from topwire.learning.answer import answer
from topwire.learning.findings import LearntDates
from topwire.learning.question import question
from topwire.phenology.answer import answer as place_answer
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.question import question as place_question
from topwire.values.own_date import DateSeen, OwnDate
from topwire.weather.record import Weather


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


def test_years_left_out_and_the_last_year_are_scored() -> None:
    (line,) = learn(gala(8.0, years=8)).cultivars
    assert line.before is not None
    assert line.after is not None
    assert line.before == pytest.approx(8.0, abs=0.5)
    assert line.after < 0.6 * line.before
    assert line.last_year == int(seasons().years[7])
    assert line.last_before == pytest.approx(8.0, abs=0.6)
    assert line.last_after is not None
    assert line.last_after < 0.6 * line.last_before


def weather_until(day: str) -> Weather:
    whole = weather()
    names = ("day", "tmin", "tmax", "rain", "filled", "source")
    return replace(whole, **{name: getattr(whole, name)[whole.day <= np.datetime64(day)] for name in names})


def test_flowers_far_out_of_season_move_nothing_of_this_year() -> None:
    slip = OwnDate("slip", "Gala", DateSeen.FULL_BLOOM, date(2013, 11, 27))
    found = answer(question(plan(), catalogue(), lambda: weather_until("2013-11-28"), [slip]))
    assert found.this_year is None
    assert any("is the date right" in line and "slip" in line for line in said(found))


def test_once_one_cultivar_is_seen_the_others_of_this_year_follow() -> None:
    short = weather_until("2013-05-20")
    year = seasons().years.tolist().index(2013)
    columns = {name: seasons().cultivars.index(name) for name in ("Gala", "McIntosh")}
    plain = {name: float(seasons().full_bloom[year, at]) for name, at in columns.items()}
    late = round(plain["Gala"] + 7.0)
    seen = OwnDate("now", "Gala", DateSeen.FULL_BLOOM, date(2013, 1, 1) + timedelta(days=late - 1))
    found = answer(question(plan(), catalogue(), lambda: short, [seen])).this_year
    assert found is not None
    assert (found.year, found.seen) == (2013, 1)
    now = {line.cultivar: line for line in found.cultivars}
    assert now["Gala"].seen
    assert now["Gala"].bloom.middle == pytest.approx(late, abs=0.1)
    assert 4.0 < now["McIntosh"].bloom.middle - plain["McIntosh"] <= 7.5
    assert now["McIntosh"].bloom.high - now["McIntosh"].bloom.low < 2 * 1.3 * 4.0
    pick = now["McIntosh"].pick
    assert pick is not None
    assert pick.low < pick.middle < pick.high
