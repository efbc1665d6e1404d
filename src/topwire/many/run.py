"""A run over many places: what is answered already is taken, the rest sent out a window at a time, kept as it comes."""

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from topwire.many.findings import NotAnswered
from topwire.many.kept import KeptAnswers
from topwire.many.listed import ListedPlace, ListedPlaces
from topwire.many.sent import CameBack, SentOut
from topwire.many.template import PlanTemplate
from topwire.many.work import JobDone, PlacesJob, do, made_by, state_of
from topwire.values.progress import Progress

AHEAD = 3  # tasks a worker has before it at most, so that memory stays the same however many places there are
LASTS = 3.0  # [s] a task is made to take: the scheduler's share stays small, and little is lost with a worker
FIRST, MOST = 8, 64  # places of the first tasks, and of any
TOLD_EVERY = 10.0  # [s]

Stated = tuple[ListedPlace, str]  # a place, and the state its answer is kept under


@dataclass(frozen=True)
class ManyWanted:
    """What is asked of all places; see `PlacesJob`."""

    listed: ListedPlaces
    template: PlanTemplate | None
    grid: str
    until: str
    out: Path

    def job(self, places: Sequence[Stated]) -> PlacesJob:
        return PlacesJob(
            tuple(places),
            self.listed.name,
            self.listed.folder.resolve(),
            self.template,
            self.grid,
            self.until,
            self.out.resolve(),
            made_by(),
        )


@dataclass
class Tally:
    """How far a run has come."""

    of: int
    kept: int = 0  # taken from an earlier run
    answered: int = 0
    wrong: list[NotAnswered] = field(default_factory=list)
    seconds: float = 0.0  # of processors
    began: float = field(default_factory=time.monotonic)

    @property
    def left(self) -> int:
        return self.of - self.kept - self.answered - len(self.wrong)

    def said(self) -> str:
        done = self.answered + len(self.wrong)
        rate = (time.monotonic() - self.began) / max(done, 1)
        minutes = self.left * rate / 60.0
        wait = f", about {minutes:,.0f} min left" if minutes >= 1.0 else ""
        told = f", {len(self.wrong):,} with a reason instead" if self.wrong else ""
        return f"{self.of - self.left:,} of {self.of:,} places{told}; {self.left:,} left{wait}"


def to_do(wanted: ManyWanted, kept: KeptAnswers) -> tuple[list[Stated], int]:
    """Places that have no answer made from what they are made from today, and how many have one."""
    todo = []
    for place in wanted.listed.places:
        state = state_of(place, wanted.template, wanted.listed.folder, wanted.grid, wanted.until)
        if kept.state(place.id) != state:
            todo.append((place, state))
    return todo, len(wanted.listed.places) - len(todo)


def run_places(
    wanted: ManyWanted,
    todo: Sequence[Stated],
    already: int,
    kept: KeptAnswers,
    client: Any,
    progress: Progress,
) -> Tally:
    """Answer every place of `todo` and keep its answer.

    Parameters
    ----------
    client : of distributed; what is lost with a worker is done again

    Raises
    ------
    OSError
        When answers cannot be written, or the cluster is lost: what is kept stays, and the next run goes on from it.
    """
    tally = Tally(of=len(todo) + already, kept=already)
    groups = _Groups(
        list(todo), 1 if wanted.until != "place" or wanted.template is None else min(FIRST, MOST)
    )
    sent: SentOut[Sequence[Stated]] = SentOut(client)
    told = time.monotonic()

    def send() -> None:
        room = AHEAD * max(len(client.nthreads()), 1)
        while len(sent) < room and (group := groups.take()):
            sent.send(group, do, wanted.job(group))

    send()
    while len(sent):
        came = sent.next()
        if came is not None:
            _take(came, groups, kept, tally)
        if time.monotonic() - told > TOLD_EVERY:
            told = time.monotonic()
            progress(tally.said())
        send()
    progress(tally.said())
    return tally


def _take(came: CameBack[Sequence[Stated]], groups: "_Groups", kept: KeptAnswers, tally: Tally) -> None:
    """What came of a task."""
    group, done = came.what, came.answer
    if isinstance(done, JobDone):
        for id, state, body in done.answers:
            kept.keep(id, state, body)
        tally.answered += len(done.answers)
        tally.wrong += done.wrong
        tally.seconds += done.seconds
        groups.lasted(len(group), done.seconds)
    elif len(group) > 1:
        groups.alone += [[one] for one in group]  # one of them takes its worker with it
    else:
        ((place, _),) = group
        says = "every worker that tried it was lost; it may want more memory than a worker has."
        tally.wrong.append(NotAnswered(place.id, place.line, says, ours=True))


class _Groups:
    """The places still to be sent, in groups that last about LASTS seconds."""

    def __init__(self, todo: list[Stated], size: int) -> None:
        self.alone: list[list[Stated]] = []
        self._todo: Iterator[Stated] = iter(todo)
        self._size = size
        self._each = 0.0

    def take(self) -> list[Stated]:
        if self.alone:
            return self.alone.pop()
        group = []
        for one in self._todo:
            group.append(one)
            if len(group) >= self._size:
                break
        return group

    def lasted(self, places: int, seconds: float) -> None:
        each = seconds / max(places, 1)
        self._each = each if self._each == 0 else 0.8 * self._each + 0.2 * each
        self._size = int(min(max(LASTS / max(self._each, 1e-3), 1), MOST))
