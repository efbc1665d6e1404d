"""One run at a time writes in an orchard's folder; readers are never held up."""

import os
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

from topwire.engine.exchange import recover
from topwire.engine.store import FOLDER
from topwire.files.safely import BESIDE

BUILDING = "out-"  # beginning of the names of folders in which out/ is built
_LOCK, _WHO = "lock", "at-work.txt"
_LEFT_BEHIND = 600.0  # [s] age from which a file still being written belongs to a run that was killed


class Busy(Exception):
    """Another run is at work in the folder; `who` says which and since when, as far as it is known."""

    def __init__(self, who: str) -> None:
        self.who = who
        super().__init__(who)


@contextmanager
def at_work(folder: Path) -> Iterator[None]:
    """Hold the orchard's folder for writing, and clear away what a killed run left.

    Raises
    ------
    Busy
        When another run holds it.
    OSError
        When the folder cannot be written.
    """
    from filelock import FileLock, Timeout

    room = folder / FOLDER
    room.mkdir(exist_ok=True)  # a folder that was taken away is not made again
    lock = FileLock(room / _LOCK, timeout=0)
    try:
        lock.acquire()
    except Timeout:
        raise Busy(_who(room)) from None
    try:
        with suppress(OSError):
            (room / _WHO).write_text(
                f"process {os.getpid()}, since {datetime.now():%H:%M:%S}", encoding="utf-8"
            )
        _clear(folder)
        yield
    finally:
        with suppress(OSError):
            (room / _WHO).unlink(missing_ok=True)
        lock.release()


def _who(room: Path) -> str:
    try:
        return (room / _WHO).read_text(encoding="utf-8")[:80]
    except (OSError, UnicodeDecodeError):
        return "a process that has not said its name"


def _clear(folder: Path) -> None:
    """Half-built folders and half-written files of runs that were killed."""
    with suppress(OSError):
        recover(folder / FOLDER, folder / "out")
        for left in (folder / FOLDER).glob(f"{BUILDING}*"):
            shutil.rmtree(left, ignore_errors=True)
        for left in (folder / FOLDER).glob(f".*{BESIDE}"):
            if time.time() - left.stat().st_mtime > _LEFT_BEHIND:
                left.unlink(missing_ok=True)
