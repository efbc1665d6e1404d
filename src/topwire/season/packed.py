"""Frozen values of arrays, numbers and names as one file of arrays, for what would be slow to read as text."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any, TypeVar, get_args, get_origin, get_type_hints
from zipfile import BadZipFile

import numpy as np

from topwire.engine.store import FOLDER
from topwire.files.safely import write_safely

KEPT = 3  # newest files of a name
T = TypeVar("T")
_NONE = "none"


def keep_packed(folder: Path, name: str, key: str, value: object) -> None:
    """Keep `value` under its key. A folder that cannot be written is no fault: it will be made again."""
    held = BytesIO()
    parts: dict[str, Any] = _flat(value, "value")
    np.savez(held, **parts)
    try:
        write_safely(_path(folder, name, key), held.getvalue())
        older = sorted((folder / FOLDER).glob(f"{name}-*.npz"), key=lambda path: path.stat().st_mtime)
        for path in older[:-KEPT]:
            path.unlink()
    except OSError:
        return


def load_packed(folder: Path, name: str, key: str, kind: type[T]) -> T | None:
    """What is kept under this key; None where there is nothing, or it is damaged."""
    try:
        with np.load(_path(folder, name, key), allow_pickle=False) as held:
            return _made(kind, held, "value")
    except (OSError, KeyError, ValueError, TypeError, BadZipFile):
        return None


def _path(folder: Path, name: str, key: str) -> Path:
    return folder / FOLDER / f"{name}-{key[:24]}.npz"


def _flat(value: Any, name: str) -> dict[str, np.ndarray]:
    if is_dataclass(value):
        parts: dict[str, np.ndarray] = {}
        for each in fields(value):
            parts |= _flat(getattr(value, each.name), f"{name}.{each.name}")
        return parts
    if value is None:
        return {f"{name}.{_NONE}": np.empty(0)}
    return {name: np.asarray(value)}


def _made(kind: type[T], held: Mapping[str, np.ndarray], name: str) -> T:
    hints = _hints(kind)  # type: ignore[arg-type]
    parts: dict[str, Any] = {}
    for each in fields(kind):  # type: ignore[arg-type]
        inner, hint = f"{name}.{each.name}", hints[each.name]
        ways = (hint, *get_args(hint)) if get_origin(hint) is not tuple else ()  # a class, or it or None
        held_as = next((one for one in ways if is_dataclass(one)), None)
        if f"{inner}.{_NONE}" in held:
            parts[each.name] = None
        elif isinstance(held_as, type):
            parts[each.name] = _made(held_as, held, inner)
        else:
            array = held[inner]
            if hint in (int, float, bool, str):
                parts[each.name] = hint(array.item())
            elif str(hint).startswith("tuple"):
                parts[each.name] = tuple(array.tolist())
            else:
                parts[each.name] = array.item() if array.ndim == 0 else array
    return kind(**parts)


@cache
def _hints(kind: type[Any]) -> Mapping[str, Any]:
    return get_type_hints(kind)
