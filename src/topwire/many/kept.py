"""Answers kept one file a place, so that a run goes on where it stopped and none is lost or made twice."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from topwire.files.safely import BESIDE, write_safely
from topwire.many.findings import PlaceAnswer

ROOM = "places"
ORCHARDS = "orchards"  # of whole plans, a folder each
WORK = ".work"  # of the run while it lasts
_HEAD = 140  # bytes of a file's first line: the state and a key


@cache
def _adapter() -> TypeAdapter[Any]:
    return TypeAdapter(PlaceAnswer)


@dataclass(frozen=True)
class KeptAnswers:
    """The answers in the folder of a run."""

    folder: Path

    def path(self, id: str) -> Path:
        """Of a place's file; the files lie in 256 folders, so that none grows too large."""
        room, name = named(id)
        return self.folder / ROOM / room / f"{name}.json"

    def state(self, id: str) -> str:
        """What the kept answer was made from; empty where there is none."""
        try:
            with self.path(id).open("rb") as stream:
                head = stream.read(_HEAD)
        except OSError:
            return ""
        return head.partition(b"\n")[0].decode("ascii", "replace")

    def keep(self, id: str, state: str, body: bytes) -> None:
        """Raises OSError when the folder cannot be written."""
        path = self.path(id)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_safely(path, state.encode() + b"\n" + body)

    def body(self, id: str) -> bytes:
        """The answer as it is kept."""
        return self.path(id).read_bytes().partition(b"\n")[2]

    def answers(self, ids: Iterable[str]) -> Iterator[PlaceAnswer]:
        """One after the other, never all at once. Raises ValueError for a damaged file."""
        for id in ids:
            yield read_answer(self.body(id))

    def clear_half_written(self) -> None:
        """Files that a killed run left half written."""
        for left in (self.folder / ROOM).glob(f"*/.*{BESIDE}"):
            left.unlink(missing_ok=True)


def named(id: str) -> tuple[str, str]:
    """A folder among 256 and a name that every system takes for a file."""
    digest = sha256(id.encode("utf-8", "surrogatepass")).hexdigest()
    plain = re.sub(r"[^A-Za-z0-9_-]+", "_", id)[:40]
    return digest[:2], plain if plain == id else f"{plain}-{digest[:10]}"


def written(answer: PlaceAnswer) -> bytes:
    body: bytes = _adapter().dump_json(answer)
    return body


def read_answer(body: bytes) -> PlaceAnswer:
    """Raises ValueError where it is damaged."""
    try:
        found: PlaceAnswer = _adapter().validate_json(body)
    except ValidationError as error:
        raise ValueError(str(error)) from None
    return found
