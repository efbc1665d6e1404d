"""A plan file's bounds, held before anything is built from it: nesting, aliases, entries, lengths."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceStartEvent,
)

from topwire.values.fault import Faults, fault

DEEPEST = 12  # lists and sections in one another; a plan has five
MOST_ENTRIES = 20_000  # aliases written out
MOST_ALIASES = 100
LONGEST_TEXT = 1_000  # signs
MOST_DIGITS = 40
_SAID = 40  # signs of a name repeated in a message


@dataclass
class _Open:
    """A list or section that is being read."""

    anchor: str | None
    section: bool
    entries: int = 1  # below it, aliases written out
    children: int = 0

    @property
    def wants_key(self) -> bool:
        return self.section and self.children % 2 == 0


@lru_cache(maxsize=8)  # a page, its form and its answer look at one text; what is out of bounds is not kept
def hold_bounds(text: str, name: str) -> None:
    """Nothing where the YAML in `text` keeps within bounds.

    Raises
    ------
    Faults
        With line and limit of the first that is broken.
    ruamel.yaml.error.YAMLError
        Where it is no YAML.
    """
    sizes: dict[str, int] = {}  # entries below an anchor, aliases written out
    open_nodes: list[_Open] = []
    aliases = documents = 0
    for event in _events(text):
        where = f"{name}, line {event.start_mark.line + 1}"
        if isinstance(event, DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise Faults([fault(where, "a second document begins here.", "Take the line “---” away.")])
        elif isinstance(event, MappingStartEvent | SequenceStartEvent):
            _hold_tag(event, where)
            _hold_key(open_nodes, where)
            open_nodes.append(_Open(event.anchor, isinstance(event, MappingStartEvent)))
            if len(open_nodes) > DEEPEST:
                says = f"lists and sections stand more than {DEEPEST} deep in one another."
                raise Faults([fault(where, says, "A plan has five levels at the most.")])
        elif isinstance(event, AliasEvent):
            aliases += 1
            _hold_key(open_nodes, where)
            _hold_alias(event.anchor, aliases, sizes, open_nodes, where)
            _add(open_nodes, sizes[event.anchor], where)
        elif isinstance(event, ScalarEvent):
            _hold_tag(event, where)
            _hold_scalar(event, where)
            if event.anchor:
                sizes[event.anchor] = 1
            _add(open_nodes, 1, where)
        elif open_nodes and type(event).__name__ in ("MappingEndEvent", "SequenceEndEvent"):
            closed = open_nodes.pop()
            if closed.anchor:
                sizes[closed.anchor] = closed.entries
            _add(open_nodes, closed.entries, where)


def _events(text: str) -> Iterator[Any]:
    yield from YAML(typ="safe", pure=True).parse(text)


def _add(open_nodes: list[_Open], entries: int, where: str) -> None:
    """One child more of the list or section that is being read, with what stands below it."""
    if open_nodes:
        open_nodes[-1].children += 1
        open_nodes[-1].entries += entries
        if open_nodes[-1].entries > MOST_ENTRIES:
            raise Faults(
                [fault(where, f"the plan has more than {MOST_ENTRIES:,} entries, aliases written out.")]
            )


def _hold_key(open_nodes: list[_Open], where: str) -> None:
    if open_nodes and open_nodes[-1].wants_key:
        says = "a list, a section or an alias stands where the name of a setting has to stand."
        raise Faults([fault(where, says, "A text with brackets or a star in it goes into quotes.")])


def _hold_alias(
    name: str, aliases: int, sizes: Mapping[str, int], open_nodes: list[_Open], where: str
) -> None:
    if aliases > MOST_ALIASES:
        raise Faults([fault(where, f"more than {MOST_ALIASES} aliases (*).", "Write the values out.")])
    if name in sizes:
        return
    said = name[:_SAID]
    if any(one.anchor == name for one in open_nodes):
        raise Faults([fault(where, f"the alias *{said} stands in itself.", "Write the values out.")])
    says = f"*{said} stands for a value marked &{said}, and there is no &{said} before it."
    raise Faults(
        [fault(where, says, "Write the value out; a text that begins with a star goes into quotes.")]
    )


def _hold_tag(event: Any, where: str) -> None:
    """A tag tells the reader to build something of its own; a plan holds texts, numbers, lists and sections."""
    if event.ctag is not None:
        says = f"a value begins with a tag ({str(event.tag)[:40]})."
        raise Faults([fault(where, says, "Take it away, or put the value in quotes if it begins with “!”.")])


def _hold_scalar(event: Any, where: str) -> None:
    if len(event.value) > LONGEST_TEXT:
        raise Faults(
            [fault(where, f"a text has at most {LONGEST_TEXT:,} signs; this one has {len(event.value):,}.")]
        )
    digits = sum(sign.isdigit() for sign in event.value)
    if event.style is None and digits > MOST_DIGITS:
        raise Faults([fault(where, f"a number has at most {MOST_DIGITS} digits; this one has {digits}.")])
