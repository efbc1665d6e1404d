"""Keys of questions, and of the program that answers them: an answer is kept under both."""

from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from importlib.resources import files
from importlib.resources.abc import Traversable

from topwire.values.key import key_of

# Rooms whose code can change an answer; faces and texts cannot.
_ROOMS = (
    "values", "catalogue", "plan", "weather", "phenology", "learning", "cellar", "choice", "press", "layout", "growth",
    "nursery", "trellis", "water", "soil", "ledger",
)  # fmt: skip


def question_key(name: str, question: object) -> str:
    """Hash of the question and of the program that answers it."""
    return key_of((program_hash(_ROOMS), name, question))


def program() -> str:
    """Hash of all code and tables: what is read of a folder, the figures, and how they are told."""
    return program_hash(("",))


@cache
def program_hash(rooms: tuple[str, ...]) -> str:
    """Hash of the rooms' code and tables: a changed program never serves an old result."""
    total = sha256()
    for room in rooms:
        for entry in _walk(files("topwire").joinpath(room)):
            total.update(entry.name.encode())
            total.update(entry.read_bytes())
    return total.hexdigest()


def _walk(folder: Traversable) -> Iterator[Traversable]:
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if entry.is_dir():
            yield from _walk(entry)
        elif entry.name.endswith((".py", ".csv", ".typ")):
            yield entry
