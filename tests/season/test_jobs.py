"""Jobs of the calendar on a day: what is late, and what an entry of fruit or water says is done."""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from topwire.ledger.findings import Job, JobKind
from topwire.season.asked import GrownCultivar
from topwire.season.dates import SeasonDates
from topwire.season.findings import JobState, JobWeek, SeasonStage
from topwire.season.jobs import Moves, jobs_of, moves_of, noted_jobs
from topwire.season.seen import WorkNoted
from topwire.show.season_sheets import _left_where
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
        days = {
            SeasonStage.FULL_BLOOM: 119, SeasonStage.PETAL_FALL: 128, SeasonStage.RIPE: 263, SeasonStage.OVER: 275,
        }  # fmt: skip
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


def test_a_round_of_a_harvest_only_begins_it_until_the_last_pick() -> None:
    days = (date(2031, 9, 13), date(2031, 9, 23))
    job = replace(_job("pick", *days), key="pick.Gala.4", kind=JobKind.PICK, cultivar="Gala")
    day = date(2031, 9, 11)

    def told(*notes: WorkNoted, over: tuple[str, ...] = ()) -> JobWeek:
        done = noted_jobs(day, notes, [job], NONE, NAMES, ("Gala",), over)
        return jobs_of(day, [job], NONE, {"Gala": ("South 8, 1 to 80",)}, done, {})[0]

    row, anywhere = (WorkNoted(day, "picking", "Gala", where) for where in ("South 8", ""))
    for line in (told(row), told(row, anywhere)):
        assert (line.state, line.part_done) == (JobState.COMING, ("South 8",))
        assert _left_where(line) == "South 8, 1 to 80; begun in South 8"
    assert told(anywhere).state is JobState.COMING
    for line in (told(row, over=("Gala",)), told(row, WorkNoted(day, job.key, "Gala", ""))):
        assert line.state is JobState.DONE
        assert _left_where(line) == "South 8, 1 to 80; done in South 8"


def test_bees_wait_for_this_years_last_petal_and_each_biennial_for_its_bloom() -> None:
    """One cultivar late: the middle of them all stays where it was, the job that waits for the last one does not."""
    names, usual = ("Gala", "GoldRush", "Stoke Red"), np.array([115.0, 116.0, 128.0])
    bloom = usual + np.array([0.0, 0.0, 6.0])
    reached = {
        SeasonStage.FULL_BLOOM: bloom,
        SeasonStage.PETAL_FALL: bloom + 9,
        SeasonStage.RIPE: bloom + 130,
        SeasonStage.OVER: bloom + 140,
    }
    dates: Any = SimpleNamespace(names=names, middle=lambda stage, at: float(reached[stage][at]))
    lines: Any = [
        SimpleNamespace(
            name=name, biennial=Grade.LOW if name == "Gala" else Grade.HIGH,
            usual=np.array([day - 4, day, day + 9, day + 130, day + 140]),
        )
        for name, day in zip(names, usual, strict=True)
    ]  # fmt: skip
    moves = moves_of(dates, lines, 2031)
    assert moves.bloom == 0
    table = JobKind.TABLE
    out = Job("out.6", table, "hives out", "", 6, "2031-05-17", "2031-05-20", "2031-05-20", "last_petal_fall", 0, (),
              0.0, 0.5, 1)  # fmt: skip
    thin = Job("thin.6", table, "biennial first", "", 6, "2031-04-27", "2031-05-15", "2031-05-15",
               "first_biennial_bloom", 1, (), 0.0, 2.0, 2, until="last_biennial_bloom")  # fmt: skip
    done = noted_jobs(date(2031, 5, 12), [], [out, thin], moves, {}, ())
    found = {line.job.work: line for line in jobs_of(date(2031, 5, 18), [out, thin], moves, {}, done, {})}
    assert (found["hives out"].start, found["hives out"].end) == ("2031-05-23", "2031-05-26")
    assert (found["biennial first"].start, found["biennial first"].end) == ("2031-04-27", "2031-05-21")
