"""What a plan can read of an orchard's folder, as one hash; soon told whether it has changed since the last plan."""

import json
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from itertools import chain
from pathlib import Path

from topwire.engine.keys import program
from topwire.engine.store import FOLDER
from topwire.records.place_kept import DATABASE, TABLES, has_store
from topwire.values.fault import Faults
from topwire.weather.forecast_kept import FOLDER as FORECASTS

LAST = "last.json"  # what the last plan came to
_LARGEST = 200_000_000  # bytes; a file above it is no input of a plan


def changed_since(folder: Path) -> bool:
    """Whether anything has changed since the last plan, or there was none."""
    try:
        last = json.loads((folder / FOLDER / LAST).read_text(encoding="utf-8"))
        return bool(last["state"] != state_of(folder, last["beyond"]))
    except (OSError, ValueError, KeyError, TypeError):
        return True


def state_of(folder: Path, beyond: Sequence[str] = ()) -> str:
    """Hash of everything in the orchard's folder that a plan can read, of files `beyond` it, and of the program."""
    total = sha256(program().encode())
    for name in sorted([*(path.relative_to(folder).as_posix() for path in input_files(folder)), *beyond]):
        total.update(name.encode())
        with suppress(FileNotFoundError, NotADirectoryError):  # one beyond need not be there
            total.update(sha256((folder / name).read_bytes()).digest())
    if has_store(folder):  # of the entries what a plan reads: a dead tree noted makes nothing stale
        from topwire.records.read import read_records

        with suppress(Faults):
            total.update(read_records(folder, None).content.encode())
    return total.hexdigest()


def input_files(folder: Path) -> list[Path]:
    """Every file of the folder a plan can read."""
    found = []
    linked = [folder / name for name in ("catalogue", TABLES) if (folder / name).is_symlink()]
    for room, folders, names in chain.from_iterable(map(os.walk, (folder, *linked))):
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


@dataclass(frozen=True)
class FolderSeen:
    """The state of an orchard's folder, and which files beyond it count with it."""

    state: str
    beyond: tuple[str, ...]


def seen(folder: Path, named: Sequence[str] = ()) -> FolderSeen:
    """The folder as it is now; `named` are the files the plan names, as seen from it."""
    within = {os.path.normpath(path) for path in input_files(folder)}
    beyond = tuple(name for name in named if os.path.normpath(folder / name) not in within)
    return FolderSeen(state_of(folder, beyond), beyond)
