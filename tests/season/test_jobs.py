"""Jobs of the calendar on a day: what is late, and what an entry of fruit or water says is done."""

from dataclasses import replace
from datetime import date, timedelta

from topwire.ledger.findings import Job, JobKind
from topwire.season.findings import JobState, JobWeek
from topwire.season.jobs import Moves, jobs_of, noted_jobs
from topwire.season.seen import WorkNoted
from topwire.show.season_sheets import _left_where

NONE = Moves(0.0, 0.0, {})
NAMES = {"water on": ("water on", "water from now on"), "water off": ("water off", "empty the irrigation")}
MOW = WorkNoted(date(2031, 5, 2), "mow", "", "")


def _job(work: str, start: date, end: date) -> Job:
    days = start.isoformat(), end.isoformat(), end.isoformat()
    return Job(f"{work}.6", JobKind.TABLE, work, "", 6, *days, "", 0, (), 0.0, 2.0, 1)


WATER = _job("water on", date(2031, 4, 17), date(2031, 11, 9))
EMPTY = _job("water off", date(2031, 11, 9), date(2031, 11, 16))
WIRES = _job("check trellis", date(2031, 1, 15), date(2031, 2, 14))


def _states(day: date, jobs: list[Job], work: list[WorkNoted]) -> dict[str, JobState]:
    done = noted_jobs(day, work, jobs, NONE, NAMES, ())
    return {line.job.work: line.state for line in jobs_of(day, jobs, NONE, {}, done)}


def test_a_job_of_a_month_is_told_as_late_for_three_weeks() -> None:
    for days, state in ((5, JobState.LATE), (20, JobState.LATE), (22, None)):
        day = date(2031, 2, 14) + timedelta(days=days)
        assert _states(day, [WIRES], [MOW]).get("check trellis") is state


def test_a_season_long_job_is_never_late() -> None:
    assert _states(date(2031, 11, 8), [WATER], [MOW]) == {"water on": JobState.NOW}
    assert _states(date(2031, 11, 12), [WATER], [MOW]) == {}


def test_water_run_ticks_the_watering_for_a_week_and_no_other_job() -> None:
    ran = WorkNoted(date(2031, 10, 30), "water on", "", "", by_yield=True)
    assert _states(date(2031, 11, 3), [WATER, EMPTY], [MOW, ran])["water on"] is JobState.DONE
    assert _states(date(2031, 11, 8), [WATER, EMPTY], [MOW, ran])["water on"] is JobState.NOW
    assert _states(date(2031, 11, 20), [WATER, EMPTY], [MOW, ran]) == {"water off": JobState.LATE}
    # Who notes no jobs is not told that they are late.
    assert _states(date(2031, 11, 20), [WATER, EMPTY], [ran]) == {}


def test_a_short_harvest_is_not_stored_with_its_first_pick() -> None:
    store = _job("sort and store", date(2031, 9, 1), date(2031, 9, 20))
    first = WorkNoted(date(2031, 9, 1), "sort and store", "", "", by_yield=True)
    assert _states(date(2031, 9, 12), [store], [MOW, first])["sort and store"] is JobState.NOW
    assert _states(date(2031, 9, 22), [store], [MOW, first]) == {}


def test_a_round_of_a_harvest_only_begins_it_until_the_last_pick() -> None:
    days = (date(2031, 9, 13), date(2031, 9, 23))
    job = replace(_job("pick", *days), key="pick.Gala.4", kind=JobKind.PICK, cultivar="Gala")
    day = date(2031, 9, 11)

    def told(*notes: WorkNoted, over: tuple[str, ...] = ()) -> JobWeek:
        done = noted_jobs(day, notes, [job], NONE, NAMES, ("Gala",), over)
        return jobs_of(day, [job], NONE, {"Gala": ("South 8, 1 to 80",)}, done)[0]

    row, anywhere = (WorkNoted(day, "picking", "Gala", where) for where in ("South 8", ""))
    for line in (told(row), told(row, anywhere)):
        assert (line.state, line.part_done) == (JobState.COMING, ("South 8",))
        assert _left_where(line) == "South 8, 1 to 80; begun in South 8"
    assert told(anywhere).state is JobState.COMING
    for line in (told(row, over=("Gala",)), told(row, WorkNoted(day, job.key, "Gala", ""))):
        assert line.state is JobState.DONE
        assert _left_where(line) == "South 8, 1 to 80; done in South 8"
