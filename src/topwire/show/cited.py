"""Which entries of the bibliography a result really cites."""

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from topwire.engine.orchard import Orchard
from topwire.sources import Source, bibliography


def cited(orchard: Orchard) -> list[Source]:
    """Sources named by notices, bills and comparisons of the orchard, by key."""
    known = bibliography()
    keys = {key for cell in _cells(orchard) for key in keys_in(cell) if key in known}
    return [known[key] for key in sorted(keys)]


def keys_in(cell: str) -> list[str]:
    """Keys of a source cell: “FAO56, table 12|ASCE7-16” cites FAO56 and ASCE7-16."""
    return [part.strip().partition(",")[0].strip() for part in re.split(r"[|;+]", cell) if part.strip()]


def _cells(value: Any) -> Iterator[str]:
    """Every field called `source` in a tree of frozen values."""
    if is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            inner = getattr(value, field.name)
            if field.name == "source" and isinstance(inner, str):
                yield inner
            else:
                yield from _cells(inner)
    elif isinstance(value, (tuple, list)):
        for inner in value:
            yield from _cells(inner)
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _cells(inner)
