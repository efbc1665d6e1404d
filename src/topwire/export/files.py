"""Every file of `out/` and what makes it."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from topwire.engine.orchard import Orchard
from topwire.engine.store import as_json, made_once
from topwire.export.calendar_file import calendar
from topwire.export.comma import Absent, blends, cultivars, from_sheet, needed, staking, trees
from topwire.export.dates import dates_by_year
from topwire.export.drawing_exchange import dxf
from topwire.export.epanet import network
from topwire.export.geography import geojson
from topwire.export.schema import orchard_schema
from topwire.export.spreadsheet import spreadsheet
from topwire.export.waypoints import gpx
from topwire.show.tables import every_table

if TYPE_CHECKING:
    from topwire.export.ahead import FilesAhead, Made

Writer = Callable[[Orchard], bytes]


def _book(orchard: Orchard) -> bytes:
    from topwire.book.build import book_pdf

    return book_pdf(orchard)


def _sheets(orchard: Orchard) -> bytes:
    from topwire.book.build import sheets_pdf

    needed(orchard.layout, "layout")
    return sheets_pdf(orchard)


def _labels(orchard: Orchard) -> bytes:
    from topwire.book.build import labels_pdf

    needed(orchard.layout, "layout")
    return labels_pdf(orchard)


def _ground_svg(orchard: Orchard) -> bytes:
    from topwire.show.ground_drawing import draw_ground

    drawn = draw_ground(
        needed(orchard.ground, "ground"),
        orchard.layout,
        system=orchard.origin.units,
        choice=orchard.choice,
        place=orchard.place,
    )
    return drawn.encode()


def _json(orchard: Orchard) -> bytes:
    """Without how long each step took: equal plans are equal bytes."""
    return as_json(
        replace(orchard, steps=tuple(replace(run, seconds=None) for run in orchard.steps))
    ).encode()


FILES: Mapping[str, Writer] = {
    "book.pdf": _book,
    "sheets/planting.pdf": _sheets,
    "labels.pdf": _labels,
    "trees.csv": trees,
    "cultivars.csv": cultivars,
    "blends.csv": blends,
    "dates_by_year.csv": dates_by_year,
    "orchard.xlsx": spreadsheet,
    "ground.geojson": geojson,
    "ground.gpx": gpx,
    "ground.dxf": dxf,
    "ground.svg": _ground_svg,
    "staking.csv": staking,
    "grafts.csv": from_sheet("nursery.grafts", "nursery"),
    "bill_trellis.csv": from_sheet("trellis.bill", "trellis"),
    "bill_water.csv": from_sheet("water.bill", "water"),
    "bill_soil.csv": from_sheet("soil.bill", "soil"),
    "bill_first_years.csv": from_sheet("ledger.goods", "ledger"),
    "water.inp": network,
    "calendar.ics": calendar,
    "orchard.json": _json,
    "orchard.schema.json": lambda orchard: orchard_schema().encode(),
}


# Departments of which a file tells, of those that take long: they are begun before all the others have answered.
MADE_OF: Mapping[str, tuple[str, ...]] = {
    "dates_by_year.csv": ("place",),
    "labels.pdf": ("ground", "layout"),
    "sheets/planting.pdf": ("ground", "layout", "trellis"),
    "calendar.ics": ("ledger",),
}

# Made by the process that has found everything: it has read already what these need (scipy for the ranges of dates,
# pydantic), and the spreadsheet shows the book's own tables.
MADE_HERE = {
    "book.pdf", "orchard.xlsx", "ground.geojson", "ground.gpx", "ground.dxf", "orchard.json", "orchard.schema.json",
}  # fmt: skip


def writers(
    orchard: Orchard, ahead: "FilesAhead | None" = None, folder: Path | None = None
) -> dict[str, Callable[[], bytes | None]]:
    """What makes each file of out/; None comes of a file whose department is absent.

    ahead : what has been made of charts and files; None = nothing, and no process beside makes them
    folder : of the orchard, in which what hangs on the program alone is kept; None = it is made anew
    """
    makers = {name: _maker(make, orchard) for name, make in FILES.items()}
    if ahead is not None:
        from topwire.book.build import book_pdf

        ahead.begin_rest(orchard)
        with suppress(
            Exception
        ):  # once for book and spreadsheet; what fails in it fails again where they are made
            every_table(orchard)
        for name in FILES.keys() - MADE_HERE:
            makers[name] = partial(ahead.had, name, makers[name])
        if folder is not None:
            makers["orchard.schema.json"] = partial(made_once, folder, "schema", orchard_schema)
        makers["book.pdf"] = partial(book_pdf, orchard, draw=ahead.charts.svgs)
    return makers


def made(names: Sequence[str], orchard: Orchard) -> "Made":
    """Files by name, without those that could not be made: whoever wants one will learn why."""
    found: Made = {}
    for name in names:
        with suppress(Exception):
            found[name] = _maker(FILES[name], orchard)()
    return found


def _maker(make: Writer, orchard: Orchard) -> Callable[[], bytes | None]:
    def made() -> bytes | None:
        try:
            return make(orchard)
        except Absent:
            return None

    return made
