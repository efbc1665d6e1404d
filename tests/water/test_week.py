"""This week: rain, past runs and the forecast move the hours the right way."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from topwire.values.notice import CannotAnswer
from topwire.water.week import WeekAdvice, this_week
from topwire.weather.record import Weather

TODAY = date(2033, 7, 15)


def days(first: str, last: str, *, rain: float = 0.0, tmax: float = 31.0) -> Weather:
    day = np.arange(np.datetime64(first), np.datetime64(last) + 1)
    count = day.size
    return Weather(
        day, np.full(count, tmax - 13), np.full(count, tmax), np.full(count, rain), None, None, None, None,
        np.zeros(count, dtype=bool), np.zeros(count, dtype=int), ("made up",), False, (),
    )  # fmt: skip


PAST = days("2033-01-01", "2033-07-14", rain=1.0, tmax=22.0)


def ask(fence, **changed: object) -> WeekAdvice:  # type: ignore[no-untyped-def]
    given = {"so_far": PAST, "forecast": days("2033-07-15", "2033-07-25"), "today": TODAY} | changed
    records = (given.pop("so_far"), given.pop("forecast"))
    return this_week(fence.asked, fence.result, records=records, **given)  # type: ignore[arg-type]


def test_a_hot_dry_week_wants_water(fence) -> None:  # type: ignore[no-untyped-def]
    advice = ask(fence)
    assert advice.days == 7
    assert advice.rain == 0
    assert advice.reference > 30
    zone = advice.zones[0]
    assert zone.leaf == min(TODAY.year - int(fence.layout.year_planted.max()), 6)
    assert sum(zone.hours) > 0
    assert len(zone.hours) == 7
    assert zone.volume == pytest.approx(sum(zone.hours) * 3600 * fence.result.zones[0].flow_per_tree)
    assert max(zone.hours) <= fence.asked.source.hours_per_day + 1e-9


def test_a_wet_week_wants_none(fence) -> None:  # type: ignore[no-untyped-def]
    advice = ask(
        fence,
        forecast=days("2033-07-15", "2033-07-25", rain=20.0, tmax=20.0),
        run={"zone 1": [(date(2033, 7, 14), 30.0)]},
    )
    assert sum(advice.zones[0].hours) == 0


def test_hours_run_and_hours_missed_count(fence) -> None:  # type: ignore[no-untyped-def]
    dry = days("2033-01-01", "2033-07-14", rain=0.3, tmax=27.0)
    missed = ask(fence, so_far=dry, run={})
    done = ask(fence, so_far=dry, run={"zone 1": [(date(2033, 7, day), 12.0) for day in range(1, 15)]})
    assert missed.zones[0].missing > done.zones[0].missing
    assert sum(missed.zones[0].hours) > sum(done.zones[0].hours)


def test_a_short_forecast_is_told(fence) -> None:  # type: ignore[no-untyped-def]
    advice = ask(fence, forecast=days("2033-07-15", "2033-07-17"))
    assert advice.days == 3
    assert len(advice.zones[0].hours) == 3
    assert any(notice.facts.get("again") == "2033-07-18" for notice in advice.notices)


def test_a_young_tree_is_watered_as_one(fence) -> None:  # type: ignore[no-untyped-def]
    year = int(fence.layout.year_planted.max()) + 1
    young = ask(
        fence,
        today=date(year, 7, 15),
        so_far=days(f"{year}-01-01", f"{year}-07-14", rain=1.0, tmax=22.0),
        forecast=days(f"{year}-07-15", f"{year}-07-25"),
    )
    assert young.zones[0].leaf == 1
    assert young.zones[0].ready < ask(fence).zones[0].ready


def test_no_forecast_for_today_and_no_trees_yet_are_faults(fence) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(CannotAnswer, match="2033-07-15"):
        ask(fence, forecast=days("2033-07-16", "2033-07-25"))
    with pytest.raises(CannotAnswer, match="not_planted"):
        ask(fence, today=date(int(fence.layout.year_planted.max()), 7, 15))


def test_holes_in_the_past_are_filled_and_told(fence) -> None:  # type: ignore[no-untyped-def]
    tmax = PAST.tmax.copy()
    tmax[150:155] = np.nan
    advice = ask(fence, so_far=replace(PAST, tmax=tmax))
    assert any(notice.facts.get("days") == 5 for notice in advice.notices)
