from datetime import date

import pytest

from topwire.nursery.findings import NurseryJob
from topwire.nursery.schedule import nursery_dates, spring_shift
from topwire.tell.nursery import JOBS


@pytest.mark.parametrize("seasons", [1, 2])
def test_work_runs_from_the_stock_order_to_planting(seasons: int) -> None:
    dates = nursery_dates(2027, seasons, 0)
    days = [item.first for item in dates]
    assert days == sorted(days)
    assert all(item.last >= item.first for item in dates)
    found = {item.job: date.fromisoformat(item.first) for item in dates}
    assert found[NurseryJob.ORDER_STOCKS].year == 2027 - seasons
    assert found[NurseryJob.BENCH_GRAFT].year == 2027 - seasons + 1
    assert found[NurseryJob.BENCH_GRAFT] < found[NurseryJob.LINE_OUT] < found[NurseryJob.BUD_FAILURES]
    assert (NurseryJob.HEAD_WHIPS in found) == (seasons == 2)


def test_spring_is_later_up_north_and_uphill() -> None:
    assert spring_shift(40, 100) == 0
    assert spring_shift(42, 100) == 8
    assert spring_shift(40, 222) == 4
    assert spring_shift(60, 100) == 21
    later = nursery_dates(2027, 1, spring_shift(43, 300))
    plain = nursery_dates(2027, 1, 0)
    graft = [
        next(item.first for item in dates if item.job is NurseryJob.BENCH_GRAFT) for dates in (later, plain)
    ]
    assert graft[0] > graft[1]


def test_knives_are_cautioned_where_they_are_used() -> None:
    assert "glove" in JOBS[NurseryJob.BENCH_GRAFT].remedy


def test_every_job_has_words() -> None:
    assert set(JOBS) == set(NurseryJob)
