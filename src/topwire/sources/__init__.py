"""The bibliography: every equation, table row and figure cites one of these keys.

One CSV per room, one key space. The columns are key; citation (authors, year, title, publisher, or what is common
practice); where in it (page, table, equation, or the figure quoted); licence; mark (READ, MEMORY, both where parts
differ, COMPUTED, or that it is common practice); remark (what to beware of, and the address where it was read).
"""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from topwire.values.mark import Mark

COLUMNS = ("key", "citation", "where", "licence", "mark", "remark")


@dataclass(frozen=True)
class Source:
    """One entry of the bibliography."""

    key: str
    citation: str
    where: str
    licence: str
    marks: tuple[Mark, ...]
    remark: str

    @property
    def mark(self) -> str:
        """As it is printed: “READ”, “READ and MEMORY”; a dash where nobody has said."""
        return " and ".join(self.marks) if Mark.UNSAID not in self.marks else "–"


@cache
def bibliography() -> Mapping[str, Source]:
    """All sources by key.

    Raises
    ------
    ValueError
        When two rooms give one key different texts, or a row has other columns: a fault of the package.
    """
    found: dict[str, Source] = {}
    for entry in sorted(files(__package__).iterdir(), key=lambda path: path.name):
        if not entry.name.endswith(".csv"):
            continue
        reader = csv.DictReader(io.StringIO(entry.read_text(encoding="utf-8")))
        if tuple(reader.fieldnames or ()) != COLUMNS:
            raise ValueError(f"{entry.name}: columns {reader.fieldnames}, expected {COLUMNS}")
        for row in reader:
            said: dict[str, Any] = {column: row[column].strip() for column in COLUMNS}
            said["marks"] = tuple(Mark(mark) for mark in said.pop("mark").split(" and "))
            source = Source(**said)
            if found.setdefault(source.key, source) != source:
                raise ValueError(f"{entry.name}: key {source.key} is defined twice with different texts")
    return MappingProxyType(found)
