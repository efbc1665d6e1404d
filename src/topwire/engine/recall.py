"""The last plan of a folder, brought back without asking a step: what `show` reads while nothing has changed, and what
`plan` tells where nothing is to be done.
"""

from collections.abc import Container
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from pydantic import ValidationError

from topwire.engine.delivery import Delivery, as_it_stands
from topwire.engine.orchard import LastPlan, Orchard, gathered
from topwire.engine.run import FAILED, fingerprint
from topwire.engine.state import LAST, FolderSeen, seen, state_of
from topwire.engine.steps import STEPS
from topwire.engine.store import FOLDER, adapter, load
from topwire.files.safely import write_safely

_COMING = "coming.json"
_ALL = frozenset(step.name for step in STEPS)


def remember(folder: Path, orchard: Orchard, was: FolderSeen | None = None) -> None:
    """Keep what the plan came to, of the folder as it `was` when it was read: what was changed while the plan was made
    makes it an old one. A folder that cannot be written is no fault."""
    _write(folder, LAST, was or seen(folder), orchard)
    with suppress(OSError):
        (folder / FOLDER / _COMING).unlink(missing_ok=True)


def remember_coming(folder: Path, orchard: Orchard) -> None:
    """Keep how far a run has come, for those who look on."""
    _write(folder, _COMING, FolderSeen("", ()), orchard)


def _write(folder: Path, name: str, was: FolderSeen, orchard: Orchard) -> None:
    last = LastPlan(was.state, orchard.origin, orchard.steps, orchard.notices, was.beyond)
    try:
        write_safely(folder / FOLDER / name, adapter(LastPlan).dump_json(last))
    except OSError:
        return


def recall(folder: Path, departments: Container[str] = _ALL) -> Orchard | None:
    """The last plan, whole or some departments of it; None where something has changed since, or an answer is no longer
    kept."""
    last = last_plan(folder)
    try:
        if last is None or last.state != state_of(folder, last.beyond):
            return None
        return orchard_of(folder, last, departments)
    except OSError:
        return None


def standing(folder: Path) -> tuple[Orchard, Delivery] | None:
    """The last plan where nothing is left to do: nothing has changed since, no part of it failed, and out/ is made of
    it and untouched. A run of its steps would take every answer as it is kept."""
    orchard = recall(folder)
    if (
        orchard is None
        or orchard.absent
        or any(getattr(one, "code", "") == FAILED for one in orchard.notices)
    ):
        return None
    delivered = as_it_stands(folder, fingerprint(orchard))
    if delivered is None:
        return None
    return replace(orchard, steps=tuple(replace(run, seconds=None) for run in orchard.steps)), delivered


def last_plan(folder: Path) -> LastPlan | None:
    """What the last plan came to, whatever has changed since; None where there is none."""
    return _read(folder, LAST)


def recall_coming(folder: Path) -> Orchard | None:
    """What the run at work has come to; None where none has."""
    last = _read(folder, _COMING)
    return None if last is None else orchard_of(folder, last)


def _read(folder: Path, name: str) -> LastPlan | None:
    try:
        last: LastPlan = adapter(LastPlan).validate_json((folder / FOLDER / name).read_bytes())
        return last
    except (OSError, ValidationError, ValueError):
        return None


def orchard_of(folder: Path, last: LastPlan, departments: Container[str] = _ALL) -> Orchard | None:
    """Its findings, all or of some departments; None where an answer is no longer kept."""
    keys = {run.name: run.key for run in last.steps if run.name in departments}
    done: dict[str, object] = {}
    for step in STEPS:
        if step.name in keys:
            found = load(folder, step.name, keys[step.name], step.findings)
            if found is None:
                return None
            done[step.name] = found
    return gathered(last.origin, done, last.steps, last.notices)
