"""What stands in the book, part by part, as plain data; the templates only set it."""

from collections.abc import Callable, Iterable
from typing import Any

from topwire.book.blocks import Block, Book, Drawings, facts, notices, quiet, table, text
from topwire.book.closing import assumptions, more, sources, sureness
from topwire.book.drawings import cover_map
from topwire.book.field_cards import planting_blocks
from topwire.book.idea_pages import ideas_of, rest_of, rest_said
from topwire.book.ideas import department_of
from topwire.book.parts import APART, PARTS, READERS
from topwire.book.sheets import bring_out_blocks, paper, staking_blocks
from topwire.engine.orchard import Orchard
from topwire.show.summary import headline, job
from topwire.show.tables import department_tables
from topwire.tell.layout import opening
from topwire.tell.reader import Reader, counted
from topwire.tell.speech import all_told
from topwire.values.notice import Severity

OPENINGS = {
    "place": "What the weather of past years means for apples here. Each year of the record is taken as one that "
    "could come again; low, middle and high are the year in ten below, the middle one, and the year in ten above.",
    "learning": "What the dates you wrote down say beside the plan's own.",
    "choice": "Which cultivars, and how many trees of each, so that the kitchen is served in good years and bad, with "
    "the trees full grown. How the crop grows up to that stands under Years.",
    "press": "What is made of the fruit, in which weeks it is pressed, and in which vessel it ends.",
    "ground": "The blocks, the way their rows run, and every place a tree can stand.",
    "nursery": "What to graft, what to buy and when, so that the trees are there with the chance you asked for.",
    "trellis": "Posts, ends and wires that stand in a storm at full crop, what to buy, and in which order to build.",
    "water": "How much water, through what, and when.",
    "years": "From the first leaf to the full crop: how the trees grow to the top wire and what they carry.",
    "soil": "What the ground needs before the trees, and the trees after; local extension decides.",
    "calendar": "Hours week by week, and the work of a year in order.",
    "ledger": "What it costs, what it is worth, and what would change that.",
}

Chapter = dict[str, Any]


def contents(orchard: Orchard, parts: Iterable[str] = ()) -> Book:
    """The book for reading as data, or the parts of these names, each in full."""
    asked = tuple(parts)
    drawings: Drawings = {}
    made: dict[str, Callable[[], Chapter]] = {
        key: lambda key=key: _department(orchard, key, drawings, full=bool(asked))  # type: ignore[misc]
        for key in OPENINGS | {"layout": ""}
    }
    made |= {
        "sureness": lambda: sureness(orchard, drawings, full=bool(asked)),
        "assumptions": lambda: assumptions(orchard),
        "sources": lambda: sources(orchard),
        "staking": lambda: {"blocks": staking_blocks(orchard) or [text("There is no ground yet.")]},
        "bringing-out": lambda: {"blocks": bring_out_blocks(orchard) or [text("Nothing is planted yet.")]},
        "cards": lambda: {"blocks": planting_blocks(orchard)},
    }
    if not _dates_seen(orchard):
        del made["learning"]
    if not _presses(orchard):
        del made["press"]
    shown = [key for key in (asked or PARTS) if key in made and (asked or key not in APART)]
    opens = len(shown) > 1  # a part alone begins with itself
    origin = orchard.origin
    place = f"{_degrees(origin.latitude, 'NS')}, {_degrees(origin.longitude, 'EW')}"
    data: dict[str, Any] = {
        "title": origin.name,
        "subtitle": f"An orchard plan for the autumn of {origin.planting_year}; {place}",
        "paper": paper(origin.units),
        "foot": f"{origin.name}: a plan, not a promise. topwire {origin.version}, plan {origin.plan_hash[:8]}",
        "cover": [] if asked else cover_map(orchard, drawings),
        "figures": headline(orchard) if opens else [],
        "front": _job(orchard) if opens else [],
        "next": [] if asked else _next_days(orchard),
        "readers": _readers(shown, asked),
        "apart": not asked,
        "chapters": [{"title": PARTS[key], "key": key, **made[key]()} for key in shown],
    }
    return Book(data, drawings)


def _readers(shown: list[str], asked: tuple[str, ...]) -> list[dict[str, object]]:
    """Who reads which part; what is printed apart has no page here."""
    if len(shown) < 2:
        return []
    known = shown if asked else [*shown, *APART]
    found: list[dict[str, object]] = [
        {
            "name": name,
            "says": says,
            "parts": [
                {"key": key, "title": PARTS[key], "here": key in shown} for key in keys if key in known
            ],
        }
        for name, (says, keys) in READERS.items()
    ]
    return [one for one in found if one["parts"]]


def _dates_seen(orchard: Orchard) -> bool:
    """Whether there is anything of the grower's own dates to tell."""
    learnt = orchard.learning
    return learnt is None or bool(learnt.learned or learnt.this_year or learnt.notices)


def _presses(orchard: Orchard) -> bool:
    """Whether anything is pressed, or it is not known why not."""
    return orchard.press is None or bool(orchard.press.drinks)


def _degrees(value: float, signs: str) -> str:
    return f"{abs(value):.2f}° {signs[value < 0]}"


def _job(orchard: Orchard) -> list[Block]:
    """The job on one page; everything else is detail."""
    warnings = [
        notice
        for notice in all_told(orchard.all_notices(), Reader(orchard.origin.units))
        if notice.severity in (Severity.FAULT, Severity.WARNING)
    ]
    shown = warnings[:5]
    more = len(warnings) - len(shown)
    return [
        facts("", job(orchard)),
        notices(shown, Severity.FAULT, where=True),
        notices(shown, Severity.WARNING, where=True),
        *([quiet(f"And {counted(more, 'further decision')}, each in its part.")] if more > 0 else []),
    ]


def _next_days(orchard: Orchard) -> list[Block]:
    """What is done first, beside the contents."""
    found = next(
        (one for one in department_tables(orchard, "ledger") if one.name == "ledger.next_days"), None
    )
    return [table(found)] if found is not None and found.rows else []


def _opening(orchard: Orchard, name: str) -> str:
    """What a part begins with; of the planting, what was measured of it."""
    if name != "layout":
        return OPENINGS[name]
    if orchard.layout is None:
        return "Who stands where."
    return opening(orchard.layout, Reader(orchard.origin.units))


def _department(orchard: Orchard, name: str, drawings: Drawings, *, full: bool) -> Chapter:
    """Opening and pages of one idea each; in full also every table they leave out."""
    if orchard.departments[department_of(name)] is None:
        return {"blocks": _absent(orchard, department_of(name))}
    ideas = ideas_of(orchard, name, drawings)
    if full:
        return {
            "opening": _opening(orchard, name),
            "ideas": ideas,
            "blocks": rest_of(orchard, name, drawings),
        }
    return {
        "opening": _opening(orchard, name),
        "more": more(name, rest_said(orchard, name)),
        "ideas": ideas,
        "blocks": [],
    }


def _absent(orchard: Orchard, name: str) -> list[Block]:
    """Why a department is missing."""
    told = [
        notice
        for notice in all_told(orchard.notices, Reader(orchard.origin.units))
        if notice.department.split(",")[0].split(":")[0] == name
    ]
    blocks = [text("This department could not be computed. The rest of the plan stands without it.")]
    return blocks + [notices(told, severity) for severity in Severity]
