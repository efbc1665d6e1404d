"""Which entries of the bibliography a result really cites."""

import re
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from topwire.engine.orchard import Orchard
from topwire.sources import Source, bibliography


def cited(orchard: Orchard) -> list[Source]:
    """Sources named by notices, bills and comparisons of the orchard, by key."""
    known = bibliography()
    cells: set[str] = set()
    _into(cells, orchard)
    keys = {key for cell in cells for key in keys_in(cell) if key in known}
    return [known[key] for key in sorted(keys)]


def keys_in(cell: str) -> list[str]:
    """Keys of a source cell: “FAO56, table 12|ASCE7-16” cites FAO56 and ASCE7-16."""
    return [part.strip().partition(",")[0].strip() for part in re.split(r"[|;+]", cell) if part.strip()]


@cache
def _fields(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else ()


def _into(cells: set[str], value: Any) -> None:
    """Every field called `source` in a tree of frozen values."""
    kind: type = type(value)
    for name in _fields(kind):
        inner = getattr(value, name)
        if name == "source" and isinstance(inner, str):
            cells.add(inner)
        else:
            _into(cells, inner)
    if isinstance(value, tuple | list):
        for inner in value:
            _into(cells, inner)
    elif isinstance(value, dict):
        for inner in value.values():
            _into(cells, inner)
