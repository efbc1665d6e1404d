"""Which settings a plan may hold, by their paths."""

from collections.abc import Sequence
from difflib import get_close_matches
from functools import cache
from typing import Any

from pydantic import BaseModel

from topwire.plan.model import Plan
from topwire.plan.read import section_of


def setting_is_known(path: Sequence[str | int]) -> bool:
    """Whether a plan may hold something at `path`: keys, and places in lists."""
    named = [part for part in path if isinstance(part, str)]
    if not named:
        return False
    section = section_of(tuple(named[:-1]))
    if section is None:
        return len(named) > 1 and setting_is_known(named[:-1])  # a table of the grower's own keys
    return named[-1] in {field.alias or key for key, field in section.model_fields.items()}


def near_settings(said: str) -> str:
    """The setting most like what was said; empty where none is."""
    by_end: dict[str, str] = {path.rpartition(".")[2]: path for path in reversed(every_setting())}
    if said in by_end:
        return by_end[said]
    near = get_close_matches(said, every_setting(), n=1)
    return near[0] if near else ""


@cache
def every_setting() -> tuple[str, ...]:
    """Dotted paths of all settings that stand in no list."""
    return tuple(_below(Plan, ""))


def _below(section: type[BaseModel], before: str) -> list[str]:
    found = []
    for key, field in section.model_fields.items():
        path = f"{before}{field.alias or key}"
        inner: Any = field.annotation
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            found += _below(inner, f"{path}.")
        else:
            found.append(path)
    return found
