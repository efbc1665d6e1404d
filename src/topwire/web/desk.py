"""What the server holds of one orchard: its folder, the last plan in both units, and what has changed since."""

import os
import re
import threading
from dataclasses import dataclass, replace
from pathlib import Path

from topwire.engine.inputs import PLAN_FILE
from topwire.engine.orchard import Orchard
from topwire.engine.recall import last_plan, orchard_of, recall_coming
from topwire.engine.state import state_of
from topwire.engine.store import FOLDER
from topwire.values.units import UnitSystem

_NAME = re.compile(r"^name:[ ]*([\"']?)(?P<name>[^#\n]{1,80}?)\1[ ]*(#.*)?$", re.MULTILINE)
_US = re.compile(r"^units:[ ]*[\"']?us\b", re.MULTILINE)
Stamp = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True)
class Planned:
    """A plan as the pages show it.

    Attributes
    ----------
    key : changes when anything that is shown changes
    stale : something in the folder has changed since it was made
    whole : False while a first run is at work
    """

    orchard: Orchard
    key: str
    stale: bool
    whole: bool


class Desk:
    """One orchard's folder, looked at by many requests at once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._guard = threading.Lock()
        self._seen: Stamp | None = None
        self._planned: Planned | None = None
        self._looked: Stamp | None = None
        self._state = ""
        self._read_in: dict[UnitSystem, tuple[str, Orchard]] = {}

    @property
    def plan_path(self) -> Path:
        return self.folder / PLAN_FILE

    @property
    def begun(self) -> bool:
        """Whether there is a plan at all."""
        return self.plan_path.is_file()

    @property
    def name(self) -> str:
        """The orchard's name while nothing is worked out: as the plan's file has it, else its folder's."""
        found = _NAME.search(self._written())
        return found["name"] if found else self.folder.name

    @property
    def units(self) -> UnitSystem:
        """The plan's units while nothing is worked out."""
        return UnitSystem.US if _US.search(self._written()) else UnitSystem.METRIC

    def _written(self) -> str:
        try:
            return self.plan_path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            return ""

    def planned(self) -> Planned | None:
        """The last plan; while a first one is made, what there is of it. None where there is nothing yet."""
        with self._guard:
            kept = self.folder / FOLDER
            seen = _stamps(self.folder, [kept / "last.json", kept / "coming.json"])
            if seen != self._seen:
                self._seen, self._planned = seen, self._read()
            if self._planned is None or not self._planned.whole:
                return self._planned
            stale = self._made_from != self._state_now()  # the guard is held
            if stale != self._planned.stale:
                self._planned = replace(self._planned, stale=stale)
            return self._planned

    @property
    def outdated(self) -> bool:
        """Whether the plan shown may be another version's: the program counts among what has changed since."""
        planned = self.planned()
        return planned is not None and planned.stale

    def orchard(self, system: UnitSystem) -> Orchard | None:
        """The plan as it reads in these units; nothing is computed anew."""
        planned = self.planned()
        if planned is None:
            return None
        kept = self._read_in.get(system)
        if kept is None or kept[0] != planned.key:
            origin = replace(planned.orchard.origin, units=system)
            kept = self._read_in[system] = (planned.key, replace(planned.orchard, origin=origin))
        return kept[1]

    _made_from = ""
    _beyond: tuple[str, ...] = ()

    def _read(self) -> Planned | None:
        last = last_plan(self.folder)
        orchard = None if last is None else orchard_of(self.folder, last)
        if last is not None and orchard is not None:
            self._made_from = last.state
            if self._beyond != last.beyond:  # other files count from now on
                self._beyond, self._looked = last.beyond, None
            return Planned(orchard, _key(orchard), stale=False, whole=True)
        coming = recall_coming(self.folder)
        return None if coming is None else Planned(coming, _key(coming), stale=True, whole=False)

    def state(self) -> str:
        """The hash of everything in the folder that can be read, records too."""
        kept = [self.folder / f"records.db{ending}" for ending in ("", "-wal")]
        with self._guard:
            return f"{self._state_now()} {_stamps(self.folder, kept)}"

    def _state_now(self) -> str:
        """The hash of the folder, computed anew only where a file's time or size has changed."""
        beyond = [self.folder / name for name in self._beyond]
        looked = _stamps(self.folder, [*sorted(_inputs(self.folder)), *beyond])
        if looked != self._looked:
            self._looked, self._state = looked, state_of(self.folder, self._beyond)
        return self._state


def _key(orchard: Orchard) -> str:
    from topwire.engine.run import fingerprint

    return fingerprint(orchard)[:16]


def _inputs(folder: Path) -> list[Path]:
    return [
        path
        for path in folder.rglob("*")
        if path.is_file() and path.relative_to(folder).parts[0] != "out"
        and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    ]  # fmt: skip


def _stamps(folder: Path, paths: list[Path]) -> Stamp:
    found = []
    for path in paths:
        try:
            stat = path.stat()
        except OSError:
            continue
        found.append((os.path.relpath(path, folder), stat.st_mtime_ns, stat.st_size))
    return tuple(found)
