"""Jobs of the calendar on a day: what is late, and what an entry of fruit or water says is done."""

from datetime import date, timedelta

import numpy as np
import pytest

from topwire.ledger.findings import Job, JobKind
from topwire.season.asked import GrownCultivar
from topwire.season.dates import SeasonDates
from topwire.season.findings import JobState, SeasonStage
from topwire.season.jobs import Moves, jobs_of, moves_of, noted_jobs
from topwire.season.seen import WorkNoted
from topwire.values.traits import Grade

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
    return {line.job.work: line.state for line in jobs_of(day, jobs, NONE, {}, done, {})}


def test_a_job_of_a_month_is_told_as_late_for_three_weeks() -> None:
    for days, state in ((5, JobState.LATE), (20, JobState.LATE), (22, None)):
        day = date(2031, 2, 14) + timedelta(days=days)
        assert _states(day, [WIRES], [MOW]).get("check trellis") is state


def test_a_harvest_stands_on_this_years_picks_and_has_their_hours() -> None:
    """The calendar has 17 and 27 September; this year's are the 20th and the 2nd of October, in a leap year too."""
    gala = GrownCultivar(
        "Gala", (), (), np.zeros((0, 3)), np.zeros(0), np.zeros(0), 9, 20.0, 0.18, 3.0, Grade.LOW, None, 20.0, 0.0,
        False, usual=np.array([118.0, 121.0, 130.0, 260.0, 270.0]),
    )  # fmt: skip
    for year, leap in ((2031, 0), (2032, 1)):
        days = {SeasonStage.FULL_BLOOM: 119, SeasonStage.RIPE: 263, SeasonStage.OVER: 275}
        none, reached = (
            np.full(1, np.nan),
            {stage: np.full((3, 1), day + leap) for stage, day in days.items()},
        )
        dates = SeasonDates(("Gala",), reached, none, none, none, none, 0.0, 0.0, none, 1, ())
        moves = moves_of(dates, [gala], year)
        assert (moves.bloom, moves.harvest, moves.pick) == (-2.0, 3.0, {"Gala": (3.0, 5.0)})
        # A store that was not clean in time let the plan put it off by a day.
        planned = str(date(year, 9, 18)), str(date(year, 9, 28)), ""
        pick = Job("pick.Gala.6", JobKind.PICK, "pick", "Gala", 6, *planned, "", 0, (), 1.0, 2.0, 3)
        done = noted_jobs(date(year, 9, 24), [MOW], [pick], moves, {}, ())
        (line,) = jobs_of(date(year, 9, 24), [pick], moves, {}, done, {"Gala": 7.5})
        assert (line.start, line.end, line.hours) == (str(date(year, 9, 20)), str(date(year, 10, 2)), 7.5)
        (plans,) = jobs_of(date(year, 9, 24), [pick], moves, {}, done, {})
        assert plans.hours == pytest.approx(2.0 * 7 / 13)


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
