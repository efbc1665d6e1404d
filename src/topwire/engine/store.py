"""Results kept beside the plan, so that a step whose inputs have not changed is not run again."""

import json
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from topwire.engine.keys import program
from topwire.files.safely import write_safely
from topwire.values.key import key_of

if TYPE_CHECKING:
    from pydantic import TypeAdapter

FOLDER = ".topwire"
KEPT = 4  # newest results of a step: what-if runs do not push out the plan's own


F = TypeVar("F")


@cache
def adapter(kind: Any) -> "TypeAdapter[Any]":
    """A class's way to JSON and back; making it takes as long as reading a result."""
    from pydantic import TypeAdapter

    return TypeAdapter(kind)


def load(folder: Path, name: str, key: str, result_type: type[F]) -> F | None:
    """The kept result of a step, or None where there is none made from the same inputs."""
    path = _path(folder, name, key)
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    head, _, body = text.partition("\n")
    if head != key:
        return None
    try:
        found: F = adapter(result_type).validate_json(body)  # type: ignore[arg-type]
        return found
    except ValueError:
        return None  # damaged: made anew


def has(folder: Path, name: str, key: str) -> bool:
    """Whether a result is kept under this key, be it damaged or not."""
    try:
        with _path(folder, name, key).open(encoding="utf-8") as kept:
            return kept.readline().rstrip("\n") == key
    except (OSError, UnicodeDecodeError):
        return False


def keep(folder: Path, name: str, key: str, result: object) -> None:
    """Keep a step's result under its key. A folder that cannot be written is no fault: the step will run again."""
    body = adapter(type(result)).dump_json(result).decode()  # type: ignore[arg-type]
    try:
        write_safely(_path(folder, name, key), f"{key}\n{body}".encode())
        older = sorted((folder / FOLDER).glob(f"{name}-*.json"), key=lambda path: path.stat().st_mtime)
        for path in older[:-KEPT]:
            path.unlink()
    except OSError:
        return


def made_once(folder: Path, name: str, make: Callable[[], str]) -> bytes:
    """A text that hangs on nothing but the program and what it is made with: kept like a step's result."""
    from pydantic import VERSION

    key = key_of((program(), VERSION, sys.version))
    text = load(folder, name, key, str)
    if text is None:
        text = make()
        keep(folder, name, key, text)
    return text.encode()


def _path(folder: Path, name: str, key: str) -> Path:
    return folder / FOLDER / f"{name}-{key[:16]}.json"


def as_json(value: object) -> str:
    """Any frozen result as JSON text."""
    plain = adapter(type(value)).dump_python(value, mode="json")  # type: ignore[arg-type]
    return json.dumps(plain, ensure_ascii=False, allow_nan=False)
