"""What is ripe by a day, and who picks it when."""

from datetime import date

import numpy as np
import pytest

from topwire.season.asked import RowTrees
from topwire.season.findings import PickWeek
from topwire.season.picking import said, share_ripe
from topwire.season.picking_plan import picking_plan
from topwire.values.estimate import Estimate


def test_a_crop_ripens_evenly_between_its_picks() -> None:
    start, end = np.full(5, 240.0), np.full(5, 250.0)
    shares = [share_ripe(day, start, end, 0.1) for day in (230, 245, 260)]
    assert shares[0] < 0.01
    assert 0.4 < shares[1] < 0.6
    assert shares[2] > 0.99
    unsure = share_ripe(235, start, end, 6.0)
    assert shares[0] < unsure < 0.5
    assert share_ripe(245, np.full(3, np.nan), end[:3], 1.0) == 0.0


def _pick(name: str, kg: float, hours: float, last: float) -> PickWeek:
    day = Estimate(200.0, 245.0, 250.0)
    crop = Estimate(kg, kg, kg)
    return PickWeek(name, day, Estimate(last, last, last), crop, kg, kg, ("South 1, 1 to 9",), 3, hours)


def test_no_fruit_is_picked_in_the_rain_nor_beyond_the_hands() -> None:
    day = date(2031, 9, 3)
    picks = (_pick("Gala", 180.0, 12.0, 255.0), _pick("Wealthy", 90.0, 6.0, 250.0))
    plan = picking_plan(day, picks, {day: 6.0}, people=2, hours_a_week=24.0)
    assert plan[0].wet
    assert not plan[0].cultivar
    rounds = [line for line in plan if not line.wet]
    assert rounds[0].cultivar == "Wealthy"  # over first
    assert rounds[0].day == "2031-09-04"
    by_day: dict[str, float] = {}
    for line in rounds:
        by_day[line.day] = by_day.get(line.day, 0.0) + line.hours
    assert max(by_day.values()) <= 24.0 / 6 + 1e-9
    assert sum(line.kg for line in rounds) == 270.0


def test_a_pick_waits_for_the_day_it_is_likely_ripe_and_a_few_minutes_need_one_person() -> None:
    """First pick likely on day 245 (2 September): nothing before it; a fifth of an hour is one person's."""
    day = date(2031, 8, 29)
    plan = picking_plan(day, (_pick("Gala", 20.0, 0.2, 255.0),), {}, people=3, hours_a_week=40.0)
    assert [(line.day, line.people) for line in plan] == [("2031-09-02", 1)]
    assert plan[0].hours == pytest.approx(0.2)
    early = date(2031, 8, 20)  # likely only after the week: on its last day
    plan = picking_plan(early, (_pick("Gala", 20.0, 0.2, 255.0),), {}, people=3, hours_a_week=40.0)
    assert [line.day for line in plan] == ["2031-08-26"]


def test_trees_of_another_cultivar_between_are_never_named() -> None:
    assert said(RowTrees("South 1", 14, 4, 24, ((4, 10), (18, 24)))) == "South 1, 4 to 10 and 18 to 24"
    assert said(RowTrees("South 1", 7, 4, 10)) == "South 1, 4 to 10"
    assert said(RowTrees("South 1", 1, 4, 4)) == "South 1, 4"
