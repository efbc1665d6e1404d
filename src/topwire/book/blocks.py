"""The blocks a printed page is made of, as plain data for the templates."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from topwire.show.chart_style import Chart
from topwire.show.table import Table
from topwire.tell.words import Told
from topwire.values.notice import Severity

Block = dict[str, Any]

Drawings = dict[str, str | Chart]  # SVG by file name, or a chart still to be drawn


@dataclass
class Book:
    """The data of the template and the drawings it shows, by file name."""

    data: dict[str, Any]
    drawings: Drawings = field(default_factory=dict)


def text(words: str) -> Block:
    return {"kind": "text", "text": words}


def quiet(words: str) -> Block:
    return {"kind": "quiet", "text": words}


def heading(words: str) -> Block:
    return {"kind": "heading", "text": words}


def drawing(svg: str, says: str) -> Block:
    """A drawing within the text, across its width."""
    return {"kind": "drawing", "svg": svg, "says": says}


def page() -> Block:
    """A new page, unless one has just begun."""
    return {"kind": "page"}


def facts(title: str, items: Iterable[tuple[str, str]]) -> Block:
    return {"kind": "facts", "title": title, "items": [list(item) for item in items]}


def table(found: Table) -> Block:
    return {
        "kind": "table",
        "title": found.title,
        "columns": list(found.columns),
        "rows": [[str(cell) for cell in row] for row in found.rows],
        "right": [found.is_number(column) for column in range(len(found.columns))],
        "widths": list(found.widths),
        "halved": not found.widths and len(found.columns) <= 5 and len(found.rows) >= 12,
        "notes": [note for note in found.notes if note],
        "rests_on": found.rests_on,
    }


def figure(title: str, file: str, says: str, *, width: float = 1.0, share: float = 0.0) -> Block:
    """`width`: share of the text's width; `share`: of the text's height it may take at most, 0 = as it falls."""
    return {"kind": "figure", "title": title, "file": file, "says": says, "width": width, "share": share}


def notices(found: Iterable[Told], severity: Severity, *, title: str = "", where: bool = False) -> Block:
    """All notices of one severity; an empty list prints nothing."""
    items = [
        {
            "says": sentence(notice.says),
            "remedy": notice.remedy,
            "where": notice.department if where else "",
            "source": notice.source,
        }
        for notice in dict.fromkeys(found)
        if notice.severity is severity
    ]
    return {"kind": "notices", "severity": str(severity), "title": title, "items": items}


def sentence(words: str) -> str:
    """Begun with a capital where it begins with a plain word."""
    return words[:1].upper() + words[1:] if re.match(r"[a-z]+[ ,]", words) else words
