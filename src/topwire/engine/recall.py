"""The last plan of a folder, brought back without asking a step: what `show` reads while nothing has changed."""

import os
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from topwire.engine.orchard import LastPlan, Orchard, gathered
from topwire.engine.run import program
from topwire.engine.steps import STEPS
from topwire.engine.store import FOLDER, load
from topwire.files.safely import write_safely
from topwire.records.place_kept import DATABASE
from topwire.records.read import has_store, read_records
from topwire.values.fault import Faults
from topwire.weather.forecast_kept import FOLDER as FORECASTS

_LAST, _COMING = "last.json", "coming.json"
_LARGEST = 200_000_000  # bytes; a file above it is no input of a plan


def state_of(folder: Path) -> str:
    """Hash of everything in the orchard's folder that a plan can read, and of the program."""
    total = sha256(program().encode())
    for path in sorted(input_files(folder)):
        total.update(path.relative_to(folder).as_posix().encode())
        total.update(sha256(path.read_bytes()).digest())
    if has_store(folder):  # of the entries what a plan reads: a dead tree noted makes nothing stale
        with suppress(Faults):
            total.update(read_records(folder, None).content.encode())
    return total.hexdigest()


def input_files(folder: Path) -> list[Path]:
    """Every file of the folder a plan can read."""
    found = []
    for room, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if name not in ("out", FOLDER) and not name.startswith(".")]
        for name in names:
            path = Path(room, name)
            if name.startswith(DATABASE) and Path(room) == folder:
                continue  # its bytes change without its entries, and entries without a plan
            if path.relative_to(folder).is_relative_to(FORECASTS):
                continue  # of the days ahead, which no plan rests on
            if path.is_file() and path.stat().st_size <= _LARGEST:
                found.append(path)
    return found


def remember(folder: Path, orchard: Orchard) -> None:
    """Keep what the plan of this state of the folder came to. A folder that cannot be written is no fault."""
    _write(folder, _LAST, state_of(folder), orchard)
    with suppress(OSError):
        (folder / FOLDER / _COMING).unlink(missing_ok=True)


def remember_coming(folder: Path, orchard: Orchard) -> None:
    """Keep how far a run has come, for those who look on."""
    _write(folder, _COMING, "", orchard)


def _write(folder: Path, name: str, state: str, orchard: Orchard) -> None:
    last = LastPlan(state, orchard.origin, orchard.steps, orchard.notices)
    try:
        write_safely(folder / FOLDER / name, TypeAdapter(LastPlan).dump_json(last))
    except OSError:
        return


def recall(folder: Path) -> Orchard | None:
    """The last plan, whole; None where something has changed since, or an answer is no longer kept."""
    last = last_plan(folder)
    try:
        return None if last is None or last.state != state_of(folder) else orchard_of(folder, last)
    except OSError:
        return None


def last_plan(folder: Path) -> LastPlan | None:
    """What the last plan came to, whatever has changed since; None where there is none."""
    return _read(folder, _LAST)


def recall_coming(folder: Path) -> Orchard | None:
    """What the run at work has come to; None where none has."""
    last = _read(folder, _COMING)
    return None if last is None else orchard_of(folder, last)


def _read(folder: Path, name: str) -> LastPlan | None:
    try:
        return TypeAdapter(LastPlan).validate_json((folder / FOLDER / name).read_bytes())
    except (OSError, ValidationError, ValueError):
        return None


def orchard_of(folder: Path, last: LastPlan) -> Orchard | None:
    """Its findings; None where an answer is no longer kept."""
    keys = {run.name: run.key for run in last.steps}
    done: dict[str, object] = {}
    for step in STEPS:
        if step.name in keys:
            found = load(folder, step.name, keys[step.name], step.findings)
            if found is None:
                return None
            done[step.name] = found
    return gathered(last.origin, done, last.steps, last.notices)
