"""The plan's text as a page changes it: what changed outside meanwhile is never overwritten, and every change can be
taken back.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path

from topwire.engine.inputs import PLAN_FILE, gather
from topwire.engine.store import FOLDER
from topwire.files.safely import write_safely
from topwire.plan.read import LARGEST, read_plan_text
from topwire.values.fault import Faults, FileNotice, fault

_BEFORE, _LOCK = "plan-before", "plan-lock"
KEPT = 40  # changes that can be taken back
_WAIT = 5.0  # [s] for another page that is saving


class ChangedMeanwhile(Exception):
    """The plan is no longer as it was read; `now` is its text."""

    def __init__(self, now: str) -> None:
        self.now = now
        super().__init__("plan.yaml has changed meanwhile")


@dataclass(frozen=True)
class PlanChange:
    """One change of the plan that can be taken back: what it was, when, and the text before it."""

    what: str
    when: str
    before: str
    after_hash: str


def hash_of_text(text: str) -> str:
    """By which a page knows whether the plan is still as it read it."""
    return sha256(text.encode()).hexdigest()


def faults_of(folder: Path, text: str) -> tuple[FileNotice, ...]:
    """Everything wrong with `text` as the plan of the folder; the weather is not read."""
    try:
        return gather(folder, text=text).faults
    except Faults as found:
        return found.notices


def save_plan(folder: Path, text: str, *, seen: str, what: str) -> None:
    """Write `text` as the plan, and keep what stood there.

    Parameters
    ----------
    seen : hash of the text the change was made from
    what : the change in words, for taking it back

    Raises
    ------
    ChangedMeanwhile
        When the file is another by now; it stays as it is.
    Faults
        When it is larger than a plan may be.
    """
    if len(text.encode()) > LARGEST:
        raise Faults([fault(PLAN_FILE, f"a plan has at most {LARGEST // 1000} kB of text.")])
    path = folder / PLAN_FILE
    with _alone(folder):
        now = read_plan_text(path)
        if hash_of_text(now) != seen:
            raise ChangedMeanwhile(now)
        if now == text:
            return
        _keep(folder, PlanChange(what, f"{datetime.now():%Y-%m-%d %H:%M:%S}", now, hash_of_text(text)))
        _write(path, text)


def last_change(folder: Path) -> PlanChange | None:
    """The change that would be taken back; None where there is none, or the plan was changed outside after it."""
    kept = _kept(folder)
    if not kept:
        return None
    try:
        found = PlanChange(**json.loads(kept[-1].read_text(encoding="utf-8")))
        now = read_plan_text(folder / PLAN_FILE)
    except (OSError, ValueError, TypeError, Faults):
        return None
    return found if found.after_hash == hash_of_text(now) else None


def take_back(folder: Path) -> PlanChange | None:
    """Put the plan back as it was before the last change; None where there is nothing to take back."""
    with _alone(folder):
        found = last_change(folder)
        if found is not None:
            _write(folder / PLAN_FILE, found.before)
            _kept(folder)[-1].unlink(missing_ok=True)
        return found


def _write(path: Path, text: str) -> None:
    """With the line ends the file has."""
    windows = path.exists() and b"\r\n" in path.read_bytes()
    plain = text.replace("\r\n", "\n")
    write_safely(path, (plain.replace("\n", "\r\n") if windows else plain).encode())


def _keep(folder: Path, change: PlanChange) -> None:
    room = folder / FOLDER / _BEFORE
    room.mkdir(exist_ok=True)
    kept = _kept(folder)
    number = int(kept[-1].stem) + 1 if kept else 1
    write_safely(room / f"{number:06d}.json", json.dumps(asdict(change)).encode())
    for path in kept[: max(0, len(kept) + 1 - KEPT)]:
        path.unlink(missing_ok=True)


def _kept(folder: Path) -> list[Path]:
    return sorted(path for path in (folder / FOLDER / _BEFORE).glob("*.json") if path.stem.isdigit())


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """One page saves at a time."""
    from filelock import FileLock

    (folder / FOLDER).mkdir(exist_ok=True)
    with FileLock(folder / FOLDER / _LOCK, timeout=_WAIT):
        yield
