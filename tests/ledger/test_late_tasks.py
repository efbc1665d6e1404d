"""A late start, the last dates, and the work between two dates."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from ledger.test_account import ledger, question_of
from ledger.test_calendar import jobs_of
from nursery.invented import ground, layout

from topwire.ledger.answer import answer
from topwire.ledger.tasks import rows_of, tasks_between, trees_by_row

BASE = question_of()


def test_a_late_start_leaves_out_what_is_past_and_moves_the_rest() -> None:
    begin = date(BASE.planting, 1, 10)
    book = answer(replace(BASE, begin=begin.isoformat()))
    once = [job for job in book.calendar if job.leaf is None]
    assert min(date.fromisoformat(job.start) for job in once) >= begin
    assert {line.work for line in book.late if line.begins is None} <= {
        "sow cover", "turn in cover", "autumn cover", "turn in green",
    }  # fmt: skip
    jobs = {job.key: job for job in book.calendar}
    for job in book.calendar:
        for key in job.after:
            assert jobs[key].start <= job.start


def test_begun_after_the_grafting_weeks_it_says_so() -> None:
    book = answer(replace(BASE, begin=f"{BASE.planting}-06-20"))
    assert "bench_graft" not in {job.work for job in book.calendar}
    assert "lift" not in {job.work for job in book.calendar}
    said = [notice for notice in book.notices if notice.code == "ledger.too_late_to_graft"]
    assert len(said) == 1


def test_early_enough_nothing_moves() -> None:
    assert jobs_of(BASE) == jobs_of(replace(BASE, begin=f"{BASE.planting - 3}-01-01"))


def test_done_by_its_last_date_the_trees_are_set_on_their_day() -> None:
    book = ledger()
    planted = next(job.start for job in book.calendar if job.work == "plant")
    last = {line.work: line.last for line in book.late}
    for name in ("soil test", "fence", "order_stocks", "bench_graft", "order material"):
        if name in last:
            found = last[name]
            assert found is not None
            assert found < planted
    jobs = {job.work: job for job in book.calendar if job.leaf is None}
    for name in ("cut_wood", "bench_graft", "callus", "line_out"):  # of a season, whatever waits for them
        assert str(last[name]) <= max(jobs[name].end, jobs[name].latest), name
    assert str(last["order_stocks"]) < jobs["bench_graft"].end
    for name, day in last.items():
        if day is not None and name in jobs:
            assert day >= jobs[name].end or name == "plant", name


def test_tasks_between_takes_its_part_of_the_hours() -> None:
    book = ledger()
    job = next(job for job in book.calendar if job.hours and job.start < job.end)
    first, last = date.fromisoformat(job.start), date.fromisoformat(job.end)
    middle = first + (last - first) // 2
    parts = [
        next(due for due in tasks_between(book.calendar, *span) if due.job.key == job.key)
        for span in ((first - timedelta(5), middle), (middle + timedelta(1), last + timedelta(5)))
    ]
    assert sum(due.hours or 0 for due in parts) == pytest.approx(job.hours)
    whole = tasks_between(book.calendar, date(1900, 1, 1), date(2200, 1, 1))
    assert [due.job for due in whole] == list(book.calendar)


def test_rows_share_a_jobs_hours() -> None:
    rows = trees_by_row(ground(), layout({"Honeycrisp": "G.214"}))
    assert sum(sum(kinds.values()) for kinds in rows.values()) == int((layout({}).cultivar >= 0).sum())
    for job in ledger().calendar:
        parts = rows_of(job, rows)
        assert sum(part.share for part in parts) == pytest.approx(1.0 if job.by_row else 0.0)


def test_every_task_has_hours_and_what_takes_material_a_bill() -> None:
    book = ledger()
    bare = {job.work for job in book.calendar if job.hours is None}
    assert not bare
    assert {job.bill for job in book.calendar} >= {"trellis.bill", "nursery.grafts", "ledger.goods"}
