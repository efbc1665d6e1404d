"""A garden's book: a few pages to build, plant and eat from, in place of a field's chapters."""

from collections.abc import Iterator

from topwire.book.blocks import Block, Book, Drawings, facts, notices, quiet, table
from topwire.book.drawings import drawn_as, whip_trees
from topwire.book.field_cards import beside_fence
from topwire.book.sheets import paper
from topwire.engine.orchard import Orchard
from topwire.show.garden_words import opening, outline
from topwire.show.kitchen_calendar import draw_calendar
from topwire.show.row_picture import draw_rows
from topwire.show.table import Table
from topwire.show.tables import every_table
from topwire.tell.by_size import told_of
from topwire.tell.reader import Reader
from topwire.tell.words import Told
from topwire.values.fault import FileNotice
from topwire.values.notice import Notice, Severity

# Where a caution is printed: beside the work it belongs to.
_CAUTIONS_OF = {
    "buying": ("nursery",),
    "wires": ("trellis",),
    "water": ("water", "soil"),
    "doubts": ("place", "choice", "layout", "years", "ledger"),
}
# With the bill; and of the whole list of work, which stands on the pages alone.
_SAID_ELSEWHERE = frozenset({"prices.proposed", "water.prices", "trellis.prices_proposed", "ledger.begins"})


def garden(orchard: Orchard) -> Book:
    """The garden's whole book as data."""
    drawings: Drawings = {}
    reader = Reader(orchard.origin.units)
    sheets = {found.name: found for found in every_table(orchard)}
    chapters = [
        {"title": title, "blocks": blocks, "runs_on": runs_on}
        for title, runs_on, blocks in (
            ("The trees and what to buy", False, _buying(orchard, sheets)),
            ("Wires", True, _wires(orchard, sheets, drawings)),
            ("Until they are planted", True, _tables(sheets, "ledger.own_grafts")),
            ("The first three summers", True, _summers(orchard, sheets, drawings)),
            ("The year", True, _year(sheets)),
            ("What to eat when", True, _eating(orchard, sheets, drawings, reader)),
            ("Doubts", True, _doubts(orchard, reader)),
        )
        if blocks
    ]
    origin = orchard.origin
    data: dict[str, object] = {
        "title": origin.name,
        "subtitle": opening(orchard),
        "paper": paper(origin.units),
        "foot": f"{origin.name}: a plan, not a promise. topwire {origin.version}, plan {origin.plan_hash[:8]}",
        "front": _front(orchard, drawings, reader),
        "chapters": chapters,
        "short": True,
    }
    return Book(data, drawings)


def _front(orchard: Orchard, drawings: Drawings, reader: Reader) -> list[Block]:
    rows = draw_rows(orchard, system=orchard.origin.units)
    says = "Every tree with its name, from the front, to scale."
    found = [drawn_as("" if len(rows) == 1 else row, drawn, says, drawings) for row, drawn in rows]
    told = told_of(orchard, (one for one in orchard.all_notices() if not _of_the_fence(one)), reader)
    return [
        *found,
        facts("", outline(orchard, reader)),
        notices(told, Severity.FAULT),
        notices(told, Severity.WARNING),
    ]


def _buying(orchard: Orchard, sheets: dict[str, Table]) -> list[Block]:
    return [
        *_tables(sheets, "layout.each_tree", "nursery.ways", "ledger.shopping"),
        *_cautions(orchard, "buying"),
    ]


def _wires(orchard: Orchard, sheets: dict[str, Table], drawings: Drawings) -> list[Block]:
    drawn = [
        drawn_as(f"{row}, to build from", picture, "To scale, from the front; rings are eyes.", drawings)
        for row, picture in draw_rows(orchard, system=orchard.origin.units, to_build=True)
    ]
    verdict = told_of(orchard, filter(_of_the_fence, orchard.all_notices()))
    found = [
        *(notices(verdict, severity) for severity in (Severity.WARNING, Severity.ASSUMPTION)),
        *drawn,
        *_tables(sheets, "trellis.fences"),
        *(quiet(says) for says in _beside_fences(orchard)),
        *_tables(sheets, "trellis.build_order"),
    ]
    return [*found, *_cautions(orchard, "wires")] if found else []


def _beside_fences(orchard: Orchard) -> list[str]:
    blocks = orchard.ground.blocks if orchard.ground is not None else ()
    reader = Reader(orchard.origin.units)
    return [f"{block.name}: {says}" for block in blocks if (says := beside_fence(orchard, block, reader))]


def _summers(orchard: Orchard, sheets: dict[str, Table], drawings: Drawings) -> list[Block]:
    return [
        *whip_trees(orchard, drawings, 0.62),
        *_tables(sheets, "years.summers", "years.wires", "years.feathers", "water.by_tree"),
        *_cautions(orchard, "water"),
    ]


def _year(sheets: dict[str, Table]) -> list[Block]:
    return _tables(sheets, "ledger.months")


def _eating(orchard: Orchard, sheets: dict[str, Table], drawings: Drawings, reader: Reader) -> list[Block]:
    drawn = draw_calendar(orchard, reader)
    found = []
    if drawn:
        found.append(drawn_as("", drawn, "Each cell a week; as full as the week is served.", drawings))
    return [*found, *_tables(sheets, "choice.plates", "years.kitchen")]


def _doubts(orchard: Orchard, reader: Reader) -> list[Block]:
    told = told_of(orchard, _doubtful(orchard), reader)
    credit = " ".join(orchard.origin.weather_credits)
    files = ", ".join(orchard.origin.weather_files)
    return [
        *_cautions(orchard, "doubts"),
        notices(told, Severity.ASSUMPTION),
        notices(told, Severity.REMARK),
        quiet(f"Weather: {files}. {credit}".strip()),
        quiet(
            "Everything else the plan reckons stands on its pages (topwire serve) and in orchard.xlsx; the sources "
            "behind each figure: topwire sources."
        ),
    ]


def _doubtful(orchard: Orchard) -> Iterator[Notice | FileNotice]:
    """Every notice but for those told elsewhere in the book: the fence’s verdict, prices, the list’s beginning."""
    for notice in orchard.all_notices():
        if not _of_the_fence(notice) and getattr(notice, "code", "") not in _SAID_ELSEWHERE:
            yield notice


def _of_the_fence(notice: object) -> bool:
    """The verdict on a standing fence stands beside its drawing."""
    return getattr(notice, "code", "") in ("trellis.fence_bears", "trellis.wall_bears")


def _cautions(orchard: Orchard, part: str) -> list[Block]:
    told: list[Told] = []
    for name in _CAUTIONS_OF[part]:
        told += told_of(orchard, getattr(orchard.departments[name], "notices", ()))
    return [notices(told, Severity.CAUTION)]


def _tables(sheets: dict[str, Table], *names: str) -> list[Block]:
    return [table(sheets[name]) for name in names if name in sheets and sheets[name].rows]
