from datetime import date, timedelta

import pytest

from topwire.nursery.schedule import NurseryClock, nursery_dates, spring_shift


@pytest.mark.parametrize("seasons", [1, 2])
def test_work_runs_from_the_stock_order_to_planting(seasons: int) -> None:
    dates = nursery_dates(NurseryClock(2027, seasons, timedelta(0)))
    days = [item.day for item in dates]
    assert days == sorted(days)
    assert all(item.until >= item.day for item in dates)
    found = {item.what: date.fromisoformat(item.day) for item in dates}
    assert found["order rootstocks"].year == 2027 - seasons
    assert found["bench graft"].year == 2027 - seasons + 1
    assert (
        found["bench graft"] < found["line out in the nursery row"] < found["lift and grade"] < found["plant"]
    )
    assert found["plant"].year == 2027
    assert ("head the whips at 75 cm" in found) == (seasons == 2)


def test_spring_is_later_up_north_and_uphill() -> None:
    assert spring_shift(40, 100) == timedelta(0)
    assert spring_shift(42, 100) == timedelta(days=8)
    assert spring_shift(40, 222) == timedelta(days=4)
    assert spring_shift(60, 100) == timedelta(days=21)
    later = nursery_dates(NurseryClock(2027, 1, spring_shift(43, 300)))
    plain = nursery_dates(NurseryClock(2027, 1, timedelta(0)))
    lift = [next(item.day for item in dates if item.what == "lift and grade") for dates in (later, plain)]
    assert lift[0] < lift[1]  # winter comes earlier there


def test_knives_are_cautioned_where_they_are_used() -> None:
    dates = nursery_dates(NurseryClock(2027, 1, timedelta(0)))
    assert "glove" in next(item.how for item in dates if item.what == "bench graft")
