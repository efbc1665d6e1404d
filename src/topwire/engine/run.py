"""Runs the steps: each is asked its question; an answer kept for that very question is taken, else it answers anew."""

from __future__ import annotations

import time
import traceback
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from topwire import __version__
from topwire.engine.beside import Aside, Ready
from topwire.engine.department import Department, Earlier, Posed, Rest
from topwire.engine.keys import program_hash, question_key
from topwire.engine.orchard import Orchard, Origin, StepRun, gathered
from topwire.engine.steps import STEPS
from topwire.engine.store import FOLDER, keep, load
from topwire.files.safely import write_safely
from topwire.values.fault import Faults, FileNotice
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer, Notice, refusal, warning
from topwire.values.progress import Progress, silent

if TYPE_CHECKING:
    from topwire.engine.inputs import Inputs

FAILED = "engine.failed"  # code of the notice of an error of ours


def _nobody(orchard: Orchard) -> None:
    """Looks at nothing; the default."""


def plan_orchard(
    inputs: Inputs,
    *,
    progress: Progress = silent,
    until: str | None = None,
    fresh: bool = False,
    came: Callable[[Orchard], None] = _nobody,
    beside: bool = True,
    questions: dict[str, object] | None = None,
    ready: Ready | None = None,
) -> Orchard:
    """Run every step whose question is new, take the rest from the store, and put the Orchard together.

    Parameters
    ----------
    until : str, optional
        Name of the last step wanted; later departments stay absent.
    fresh : bool
        Answer every question anew, kept or not.
    came : callable
        Is given what there is after each step, so that a page can show it while the next one runs.
    beside : bool
        What no other step waits for may be worked out in a process of its own; else it is done at the end.
    questions : dict, optional
        Is filled with the question of each step that was asked, by name.
    ready : Ready, optional
        Processes that read already what works beside will need; they are ended here.

    Notes
    -----
    A step that cannot run leaves its department absent and a notice; later steps that need it say so.
    """
    done: dict[str, object] = {}
    runs: list[StepRun] = []
    notices: list[Notice | FileNotice] = list(inputs.notices)
    still: list[_Still] = []
    questions = {} if questions is None else questions
    ready = ready or Ready()
    if fresh:
        from topwire.engine.learnt import forget

        forget(inputs.folder)
    try:
        for number, step in enumerate(STEPS, start=1):
            missing = tuple(name for name in step.needs if name not in done)
            if missing:
                notices.append(warning("engine.not_asked", concerns=missing, department=step.name))
            else:
                progress_line = f"{number}/{len(STEPS)} {step.name}: {step.says}"
                notices += _run(
                    step, inputs, done, runs, still, progress, progress_line, fresh, beside, questions, ready
                )
            came(gathered(_origin(inputs), done, tuple(runs), tuple(notices)))
            if step.name == until:
                break
        for one in still:
            notices += one.made_whole(inputs.folder, done, progress)
    except BaseException:
        for one in still:
            one.stop()
        raise
    finally:
        ready.stop()
    return gathered(_origin(inputs), done, tuple(runs), tuple(notices))


@dataclass(frozen=True)
class _Still:
    """A part of a step's findings that is still being worked out."""

    name: str
    key: str
    rest: Rest
    works: tuple[Aside[object], ...]

    def made_whole(
        self, folder: Path, done: dict[str, object], progress: Progress
    ) -> tuple[Notice | FileNotice, ...]:
        """Wait for it, and keep the findings with it. Returns why it could not be had; they stand without it then."""
        try:
            # What was left stands last: unless another was free for it, it is done here while they are at work.
            rests = [work.result() for work in reversed(self.works)][::-1]
            done[self.name] = self.rest.whole(done[self.name], rests)
        except Exception as error:
            self.stop()
            return (_failure(self.name, folder, error),)
        keep(folder, self.name, self.key, done[self.name])
        return ()

    def stop(self) -> None:
        for work in self.works:
            work.stop()


def _run(
    step: Department,
    inputs: Inputs,
    done: dict[str, object],
    runs: list[StepRun],
    still: list[_Still],
    progress: Progress,
    progress_line: str,
    fresh: bool,
    beside: bool,
    questions: dict[str, object],
    ready: Ready,
) -> tuple[Notice | FileNotice, ...]:
    """One step; its findings into `done`, how it went into `runs`. Returns why it could not answer."""
    began = time.perf_counter()
    begun: list[Aside[object]] = []

    left: deque[Aside[object]] = deque()

    def begin(work: Callable[..., object], *given: object) -> None:
        begun.append(Aside(work, *given, begin=beside, ready=ready, left=left))

    def leave(work: Callable[..., object], *given: object) -> None:
        begun.append(Aside(work, *given, begin=False))
        left.append(begun[-1])

    try:
        posed = step.pose(inputs, Earlier(done, questions))
        questions[step.name] = posed.question
        key = posed.key or question_key(step.name, posed.question)
        found = None if fresh else load(inputs.folder, step.name, key, posed.findings)
        rest = posed.rest
        if found is not None and rest is not None and rest.wanting(found):  # broken off on the way
            if (works := rest.work(found)) is None:
                found = None
            else:
                for work, given in works:
                    begin(work, *given)
        kept = found is not None
        if found is None:
            progress(progress_line)
            if rest is not None:
                if beside:
                    ready.ahead(rest.ahead())
                rest.begin, rest.leave = begin, leave
            found = _answered(step.name, posed, inputs.folder, progress, fresh)
            keep(inputs.folder, step.name, key, found)
        if rest is not None and begun:
            still.append(_Still(step.name, key, rest, tuple(begun)))
            begun.clear()
    except CannotAnswer as reasons:
        return reasons.notices
    except Faults as faults:
        return tuple(notice for notice in faults.notices if isinstance(notice, FileNotice))
    except Exception as error:
        return (_failure(step.name, inputs.folder, error),)
    finally:
        for one in begun:  # whose step did not come to its end
            one.stop()
    done[step.name] = found
    runs.append(StepRun(step.name, key, time.perf_counter() - began if not kept else None))
    return ()


def _answered(name: str, posed: Posed, folder: Path, progress: Progress, fresh: bool) -> object:
    """The answer worked out, from what was kept of it where that may be taken."""
    first = posed.first
    if first is None:
        return posed.answer(progress)
    name = f"first-{name}"
    key = question_key(name, first.question)
    found = None if fresh else load(folder, name, key, first.findings)
    if found is None:
        found = first.answer(progress)
        keep(folder, name, key, found)
    return first.whole(found)


def _origin(inputs: Inputs) -> Origin:
    plan = inputs.plan
    return Origin(
        name=plan.name,
        version=__version__,
        plan_hash=sha256(inputs.plan_text.encode()).hexdigest(),
        weather_hash=inputs.weather_hash,
        catalogue_hash=inputs.catalogue_hash,
        latitude=plan.place.latitude,
        longitude=plan.place.longitude,
        elevation=plan.place.elevation,
        units=plan.unit_system,
        planting_year=plan.years.planting,
        currency=plan.money.currency,
        weather_files=tuple(plan.weather.files),
        weather_credits=inputs.weather_credits,
    )


def fingerprint(orchard: Orchard) -> str:
    """Hash of everything the files in out/ are made from: origin, findings, notices, and the faces' own code."""
    steps = tuple((run.name, run.key) for run in orchard.steps)
    return key_of((program_hash(_FACES), orchard.origin, steps, orchard.notices))


def _failure(name: str, folder: Path, error: Exception) -> Notice:
    """An error of ours, told without a traceback; the traceback is kept for whoever mends it."""
    log = folder / FOLDER / f"{name}-failure.txt"
    try:
        write_safely(log, "".join(traceback.format_exception(error)).encode())
        kept = str(log)
    except OSError:
        kept = ""
    return refusal(FAILED, department=name, error=f"{type(error).__name__}: {error}", kept=kept)


_FACES = ("engine", "season", "tell", "show", "book", "export", "sources")
