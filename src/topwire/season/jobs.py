"""Jobs of the calendar in a week: moved with this year's stages, ticked where they are noted as done."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from difflib import SequenceMatcher

import numpy as np

from topwire.ledger.calendar import running_day
from topwire.ledger.findings import Job, JobKind
from topwire.season.asked import GrownCultivar
from topwire.season.dates import SeasonDates
from topwire.season.findings import AheadLine, JobState, JobWeek, SeasonStage
from topwire.season.seen import WorkNoted
from topwire.values.traits import Grade

WEEK = timedelta(days=7)
LATE_SHOWN = timedelta(days=21)  # how long a job nobody noted as done is still told
SEASON_LONG = timedelta(
    days=60
)  # what lasts longer goes on through a season: once that is over nothing is late
_BLOOM = ("green_tip", "full_bloom", "petal_fall")
_HARVEST = ("first_harvest", "last_harvest")
_USUAL = (  # as `GrownCultivar.usual` has them
    SeasonStage.FIRST_BLOOM,
    SeasonStage.FULL_BLOOM,
    SeasonStage.PETAL_FALL,
    SeasonStage.RIPE,
    SeasonStage.OVER,
)


@dataclass(frozen=True)
class Moves:
    """Days by which this year's stages come after those of the middle year the calendar was made for.

    Attributes
    ----------
    bloom, harvest : middle of all cultivars planted
    pick : by cultivar, of its first and of its last pick
    own : of the stages that the first or the last of the cultivars sets, by that cultivar's own date
    """

    bloom: float
    harvest: float
    pick: Mapping[str, tuple[float, float]]
    own: Mapping[str, float] = field(default_factory=dict)

    def of(self, job: Job) -> tuple[float, float]:
        """Of its first and of its last day."""
        if job.kind is JobKind.PICK:
            # Fruit is ripe by its date, whatever the plan let the job wait for.
            first, last = self.pick.get(job.cultivar, (job.slipped, job.slipped))
            return first - job.slipped, last - job.slipped
        begin = self._stage(job.stage)
        return begin, self._stage(job.until) if job.until in self.own else begin

    def _stage(self, stage: str) -> float:
        if stage in self.own:
            return self.own[stage]
        if stage in _BLOOM:
            return self.bloom
        return self.harvest if stage in _HARVEST else 0.0


def moves_of(dates: SeasonDates, cultivars: Sequence[GrownCultivar], year: int) -> Moves:
    """From the calendar's own days to those of this year."""
    bloom, pick = [], {}
    for line in cultivars:
        bloom.append(_later(SeasonStage.FULL_BLOOM, line, dates, year))
        first, last = (_later(stage, line, dates, year) for stage in (SeasonStage.RIPE, SeasonStage.OVER))
        if np.isfinite(first):
            pick[line.name] = first, last if np.isfinite(last) else first
    middle = _whole(bloom)
    return Moves(
        middle, _whole([first for first, _ in pick.values()]), pick, _own(dates, cultivars, year, middle)
    )


def _own(
    dates: SeasonDates, cultivars: Sequence[GrownCultivar], year: int, otherwise: float
) -> dict[str, float]:
    """Of the stages that the first or the last of the cultivars sets; `otherwise` where no date is known.

    No job that waits for the bees may come sooner because the others' petals have fallen.
    """
    every_other = [line for line in cultivars if line.biennial is Grade.HIGH]
    found = {}
    for name, stage, of, end in (
        ("first_bloom", SeasonStage.FULL_BLOOM, cultivars, min),
        ("last_petal_fall", SeasonStage.PETAL_FALL, cultivars, max),
        ("first_biennial_bloom", SeasonStage.FULL_BLOOM, every_other, min),
        ("last_biennial_bloom", SeasonStage.FULL_BLOOM, every_other, max),
    ):
        known = [pair for pair in (_days(stage, line, dates, year) for line in of) if np.isfinite(pair).all()]
        found[name] = end(now for _, now in known) - end(usual for usual, _ in known) if known else otherwise
    return found


def _later(stage: SeasonStage, line: GrownCultivar, dates: SeasonDates, year: int) -> float:
    """Whole days from the date that the calendar of the year has to this year's; NaN where one of them is not known."""
    usual, now = _days(stage, line, dates, year)
    return now - usual


def _days(stage: SeasonStage, line: GrownCultivar, dates: SeasonDates, year: int) -> tuple[float, float]:
    """Of a cultivar's stage the calendar's day and this year's, as days run on; NaN where one of them is not known."""
    usual = float(line.usual[_USUAL.index(stage)])
    now = dates.middle(stage, dates.names.index(line.name))
    if not np.isfinite([usual, now]).all():
        return float("nan"), float("nan")
    return float(running_day(year, usual)), float(date(year, 1, 1).toordinal() + round(now) - 1)


LONG = timedelta(days=28)  # what lasts longer may come again: a note ticks it for a week, its hours for good
_EARLY, _AFTER = timedelta(days=45), timedelta(days=60)  # about its season within which a note is of this job
_MOST_HOURS = 0.8  # of a long job's hours from which it is done
_ALIKE = 0.8  # of the words of a note and a job


@dataclass(frozen=True)
class NotedJobs:
    """Jobs noted: keys of those done, rows done of those that go row by row, and whether any is noted as a job."""

    keys: frozenset[str]
    rows: Mapping[str, tuple[str, ...]]
    any: bool


def noted_jobs(
    day: date,
    work: Sequence[WorkNoted],
    jobs: Sequence[Job],
    moves: Moves,
    names: Mapping[str, tuple[str, ...]],
    picked: Collection[str],
    over: Collection[str] = (),
) -> NotedJobs:
    """Which jobs of the calendar the notes are of.

    Parameters
    ----------
    names : by item of the calendar, what the job may be called in a note
    picked : cultivars of which fruit was picked this year: once its time is over their picking is done
    over : cultivars whose last pick was noted this year
    """
    keys: set[str] = set()
    rows: dict[str, list[str]] = {}
    named = {name.casefold() for item, its in names.items() for name in (item, *its)}
    for job in jobs:
        start, end, _ = _moved(job, moves)
        if start - _EARLY > day or end + _AFTER < day:
            continue
        if job.kind is JobKind.PICK and (job.cultivar in over or (job.cultivar in picked and end < day)):
            keys.add(job.key)
        own = [
            note
            for note in work
            if start - _EARLY <= note.day <= end + _AFTER and _same(note, job, names, named)
        ]
        rows[job.key] = [note.where for note in own if note.where]
        whole = [note for note in own if not note.where]
        if whole and (end < day or _worked(own, job) or _ticked(whole, job, end - start, day)):
            keys.add(job.key)
    found = {key: tuple(dict.fromkeys(where)) for key, where in rows.items() if where}
    return NotedJobs(frozenset(keys), found, any(not note.by_yield for note in work))


def _worked(notes: Sequence[WorkNoted], job: Job) -> bool:
    """Whether the hours noted are about those of the job."""
    return job.hours is not None and sum(note.hours for note in notes) >= _MOST_HOURS * job.hours > 0


def _ticked(whole: Sequence[WorkNoted], job: Job, long: timedelta, day: date) -> bool:
    """Whether notes of all of a job tick it, for good or for the week. Of a harvest only its own key does, as on a
    phone: “picking” is a round of several."""
    if job.kind is JobKind.PICK:
        return any(_said(note) == job.key.casefold() for note in whole)
    for_good = long <= LONG and not all(note.by_yield for note in whole)
    return for_good or _lately(whole, day)


def _lately(notes: Sequence[WorkNoted], day: date) -> bool:
    return any(day - note.day < WEEK for note in notes)


def _same(note: WorkNoted, job: Job, names: Mapping[str, tuple[str, ...]], named: Collection[str]) -> bool:
    """Whether a note is of a job; one that says the very name of a work (`named`) is of no other that sounds alike."""
    said = _said(note)
    if job.kind is JobKind.PICK:
        own = job.key.casefold(), f"pick {job.cultivar}".casefold()
        return said in ("pick", "picking", *own) and note.cultivar in ("", job.cultivar)
    known = [
        name.casefold()
        for name in (job.key, job.work, str(job.work).replace("_", " "), *names.get(job.work, ()))
    ]
    if said in known or said in named:
        return said in known
    return any(SequenceMatcher(None, said, name).ratio() >= _ALIKE for name in known)


def _said(note: WorkNoted) -> str:
    return " ".join(note.job.casefold().split())


def _whole(days: list[float]) -> float:
    known = [day for day in days if np.isfinite(day)]
    found = float(np.median(known)) if known else 0.0
    return float(round(found)) if np.isfinite(found) else 0.0


def jobs_of(
    day: date,
    jobs: Sequence[Job],
    moves: Moves,
    rows: Mapping[str, tuple[str, ...]],
    done: "NotedJobs",
    picking: Mapping[str, float],
) -> tuple[JobWeek, ...]:
    """Jobs to do in the week from `day` on, the pressing first.

    Parameters
    ----------
    rows : by cultivar
    done : what is noted; where nothing is, no job is late
    picking : hours of this week's picks, by cultivar whose crop is known: they are those of its job
    """
    found = []
    for job in jobs:
        start, end, moved = _moved(job, moves)
        if start >= day + WEEK or end < day - LATE_SHOWN:
            continue
        finished = job.key in done.keys
        if end < day and (finished or not done.any or end - start > SEASON_LONG):
            continue
        state = (
            JobState.DONE
            if finished
            else JobState.LATE
            if end < day
            else JobState.NOW
            if start <= day
            else JobState.COMING
        )
        where = rows.get(job.cultivar, ())
        hours = None if job.hours is None else job.hours * _share_of_week(day, start, end, state)
        if job.kind is JobKind.PICK and state is not JobState.DONE:
            hours = picking.get(job.cultivar, hours)
        found.append(
            JobWeek(
                job,
                state,
                start.isoformat(),
                end.isoformat(),
                moved,
                hours,
                where,
                done.rows.get(job.key, ()),
            )
        )
    order = list(JobState)
    return tuple(
        sorted(
            found,
            key=lambda line: (line.state is JobState.DONE, line.end, order.index(line.state), line.job.key),
        )
    )


def _share_of_week(day: date, start: date, end: date, state: JobState) -> float:
    """Of a job's hours, spread evenly over its days; all of a late one, none of one that is done."""
    if state in (JobState.LATE, JobState.DONE):
        return 1.0 if state is JobState.LATE else 0.0
    inside = (min(end, day + WEEK - timedelta(days=1)) - max(start, day)).days + 1
    return max(inside, 0) / ((end - start).days + 1)


def ahead_of(
    day: date,
    jobs: Sequence[Job],
    moves: Moves,
    dates: SeasonDates,
    cultivars: Sequence[GrownCultivar],
    done: Collection[str],
    bearing: Collection[str],
) -> tuple[AheadLine, ...]:
    """The four weeks after this one; only cultivars that are `bearing` come to harvest."""
    lines = []
    for number in range(1, 5):
        first = day + number * WEEK
        begins = []
        for job in jobs:
            start, _, _ = _moved(job, moves)
            if first <= start < first + WEEK and job.kind is not JobKind.PICK and job.key not in done:
                begins.append(job)
        lines.append(
            AheadLine(
                first.isoformat(),
                _coming(first, dates, cultivars, SeasonStage.FULL_BLOOM),
                _coming(first, dates, [line for line in cultivars if line.name in bearing], SeasonStage.RIPE),
                tuple(begins),
                float(sum(job.hours or 0.0 for job in begins)),
            )
        )
    return tuple(lines)


def _coming(
    first: date, dates: SeasonDates, cultivars: Sequence[GrownCultivar], stage: SeasonStage
) -> tuple[str, ...]:
    """Cultivars whose middle day of a stage falls into the week."""
    start = (first - date(first.year, 1, 1)).days + 1
    found = []
    for line in cultivars:
        if line.bearing(first.year):
            when = dates.middle(stage, dates.names.index(line.name))
            if start <= when < start + 7:
                found.append(line.name)
    return tuple(found)


def _moved(job: Job, moves: Moves) -> tuple[date, date, float]:
    first, last = moves.of(job)
    start, end = (
        date.fromisoformat(job.start) + timedelta(first),
        date.fromisoformat(job.end) + timedelta(last),
    )
    return start, max(start, end), first
