"""What a worker does: answers a handful of places, one after the other, and sends their answers back as bytes."""

import os
import shutil
import time
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from tempfile import gettempdir

from topwire.engine.at_work import Busy
from topwire.engine.keys import program_hash, question_key
from topwire.engine.orchard import CannotPlan
from topwire.engine.run import FAILED
from topwire.engine.state import input_files
from topwire.many.climate import summed_up
from topwire.many.findings import NotAnswered
from topwire.many.grid import WeatherGrid, open_grid
from topwire.many.kept import written
from topwire.many.listed import CELL, ListedPlace
from topwire.many.template import PlanTemplate, ReadTemplate, told_at, weather_of
from topwire.many.whole import whole_answer
from topwire.phenology.answer import answer, winters_of
from topwire.phenology.asked import PlaceQuestion
from topwire.phenology.question import question
from topwire.plan.model import Plan
from topwire.records.place_kept import DATABASE
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.fault import Faults, FileNotice
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer, Notice
from topwire.values.severity import Severity
from topwire.values.units import UnitSystem
from topwire.weather.read import record_of
from topwire.weather.record import Weather


@dataclass(frozen=True)
class PlacesJob:
    """Some places to be answered together.

    Attributes
    ----------
    places : with the state their answers are to be kept under
    table, folder : name of the table of places, and where its weather files lie
    grid : file of gridded weather, or empty
    until : last step wanted; empty = all
    out : folder of the run, where whole plans are made
    program : hash of the program that asks
    """

    places: tuple[tuple[ListedPlace, str], ...]
    table: str
    folder: Path
    template: PlanTemplate | None
    grid: str
    until: str
    out: Path
    program: str


@dataclass(frozen=True)
class JobDone:
    """Answers as they are to be kept, by id, and the places that have none."""

    answers: tuple[tuple[str, str, bytes], ...]  # id, state, body
    wrong: tuple[NotAnswered, ...]
    seconds: float  # of the processor
    worker: int  # its process


def made_by() -> str:
    """Hash of the program whose answers these are."""
    return key_of((question_key("place", None), program_hash(("engine", "many"))))


def do(job: PlacesJob) -> JobDone:
    """Every place of the job; one that fails is told and leaves the others as they are.

    Raises
    ------
    RuntimeError
        When this worker has another program than the one that asks: its figures could differ.
    """
    began = time.process_time()
    if job.program != made_by():
        raise RuntimeError("this worker has another version of topwire than the run that asks")
    answers: list[tuple[str, str, bytes]] = []
    wrong: list[NotAnswered] = []
    if job.until == "place" and job.template is not None:
        _places_only(job, answers, wrong)
    else:
        for place, state in job.places:
            try:
                found = whole_answer(
                    place,
                    state,
                    _template(job),
                    job.table,
                    job.folder,
                    job.out,
                    job.until,
                    _weather(job, place) if job.template is not None else None,
                )
                answers.append((place.id, state, written(found)))
            except Exception as error:
                wrong.append(not_answered(place, error, job.table))
    return JobDone(tuple(answers), tuple(wrong), time.process_time() - began, os.getpid())


def state_of(place: ListedPlace, template: PlanTemplate | None, folder: Path, grid: str, until: str) -> str:
    """Hash of all that a place's answer is made from; sizes and times of its files stand for what is in them."""
    files: list[tuple[str, int, int]] = []
    for path in _files_of(place, template, folder, grid):
        try:
            found = path.stat()
            files.append((str(path), found.st_size, found.st_mtime_ns))
        except OSError:
            files.append((str(path), -1, -1))
    return key_of((made_by(), until, replace(place, line=0), template.key if template else "", tuple(files)))


def _files_of(place: ListedPlace, template: PlanTemplate | None, folder: Path, grid: str) -> list[Path]:
    if place.folder:
        return [*input_files(Path(place.folder)), Path(place.folder) / DATABASE]
    if place.weather:
        return [folder / name for name in place.weather]
    return [Path(grid)] if grid else sorted(template.folder.glob("weather/*")) if template else []


def _places_only(job: PlacesJob, answers: list[tuple[str, str, bytes]], wrong: list[NotAnswered]) -> None:
    """The first step alone; chill of all places is summed together."""
    template = _template(job)
    assert template is not None
    posed: list[tuple[ListedPlace, str, Plan, PlaceQuestion, tuple[str, ...]]] = []
    for place, state in job.places:
        try:
            plan = template.plan_of(place, job.table)
            inputs = template.inputs_of(place, plan, job.folder, _weather(job, place))
            weather = weather_of(inputs, place, job.table)
            asked = question(
                inputs.plan,
                inputs.catalogue,
                weather,
                changes=inputs.changes,
                known=template.known(plan.place.bloom_stretch),
            )
            posed.append((place, state, inputs.plan, asked, warnings_of(weather)))
        except Exception as error:
            wrong.append(not_answered(place, error, job.table))
    winters = winters_of([asked for *_, asked, _ in posed])
    for (place, state, plan, asked, warned), winter in zip(posed, winters, strict=True):
        try:
            found = summed_up(
                answer(asked, winters=winter),
                asked.traits,
                plan,
                template.catalogue,
                template.ratings,
                id=place.id,
                state=state,
                key=question_key("place", asked),
                warnings=warned,
            )
            answers.append((place.id, state, written(found)))
        except Exception as error:
            wrong.append(not_answered(place, error, job.table))


def _weather(job: PlacesJob, place: ListedPlace) -> Weather | None:
    """The record of the place's cell; None where its weather is in files. Raises Faults."""
    if place.weather or not job.grid:
        return None
    where = f"{job.table}, line {place.line}"
    grid = open_grid(Path(job.grid))
    if place.cell:
        return _of_cell(grid, grid.stated(place.cell, where), where)
    settings = dict(place.settings)
    template = _template(job)
    plan = template.plan_of(place, job.table).place if template else None
    north = float(settings.get("place.latitude") or (plan.latitude if plan else 0.0))
    east = float(settings.get("place.longitude") or (plan.longitude if plan else 0.0))
    return _of_cell(grid, grid.nearest(north, east, where), where)


def _of_cell(grid: WeatherGrid, cell: tuple[int, ...], where: str) -> Weather:
    with told_at(f"{where}, {CELL}"):
        return record_of(grid.reading(cell))


def warnings_of(weather: Weather) -> tuple[str, ...]:
    """What reading the record warns of."""
    return tuple(str(one) for one in weather.notices if one.severity is Severity.WARNING)


def not_answered(place: ListedPlace, error: Exception, table: str) -> NotAnswered:
    """Why a place has no answer, in one line; of a row of a table with the row."""
    if isinstance(error, Faults):
        said = [str(one) for one in error.notices if isinstance(one, FileNotice)]
        return NotAnswered(place.id, place.line, _one_line(said))
    if isinstance(error, CannotAnswer | CannotPlan):
        told = all_told(error.notices, Reader(UnitSystem.METRIC))
        failed = any(isinstance(one, Notice) and one.code == FAILED for one in error.notices)
        row = "" if place.folder else f"{table}, line {place.line}, "
        return NotAnswered(place.id, place.line, row + _one_line([str(one) for one in told]), ours=failed)
    if isinstance(error, Busy):
        says = f"another run is at work in its folder ({error.who})."
        return NotAnswered(place.id, place.line, says, ours=True)
    return NotAnswered(place.id, place.line, _one_line([f"{type(error).__name__}: {error}"]), ours=True)


def _one_line(said: list[str]) -> str:
    more = f" (and {len(said) - 1} more)" if len(said) > 1 else ""
    return " ".join(said[0].split()) + more if said else "no reason was given."


def _template(job: PlacesJob) -> ReadTemplate | None:
    return None if job.template is None else _read(job.template.key, job.template)


@lru_cache(maxsize=4)
def _read(_key: str, template: PlanTemplate) -> ReadTemplate:
    """A worker reads the template once. Tables lie in a folder of its own process."""
    room = Path(gettempdir()) / f"topwire-{os.getpid()}"
    try:
        return ReadTemplate(template, room)
    finally:
        shutil.rmtree(room, ignore_errors=True)
