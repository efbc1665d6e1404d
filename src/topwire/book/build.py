"""Sets book, planting sheets and labels with Typst. Words travel as a data file, never as markup."""

import json
from collections.abc import Callable, Mapping
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory

from topwire.book.contents import contents
from topwire.book.garden import garden
from topwire.book.guest_cards import guest_data
from topwire.book.sheets import labels_data, sheets_data
from topwire.book.week import week_data
from topwire.engine.orchard import Orchard
from topwire.guests.findings import GuestsFindings
from topwire.season.findings import WeekFindings
from topwire.show.chart_style import Chart, Spec, svgs

Draws = Callable[[list[Spec]], list[str]]

TEMPLATES = ("style.typ", "book.typ", "sheets.typ", "labels.typ", "week.typ", "guests.typ")


def book_pdf(orchard: Orchard, parts: tuple[str, ...] = (), *, draw: Draws = svgs) -> bytes:
    """The book for reading, or the parts of these names, each in full.

    draw : what draws the charts
    """
    book = garden(orchard) if orchard.is_garden and not parts else contents(orchard, parts)
    return _set("book", book.data, all_drawn(book.drawings, draw))


def sheets_pdf(orchard: Orchard) -> bytes:
    """Planting and staking sheets alone."""
    return _set("sheets", sheets_data(orchard), {})


def labels_pdf(orchard: Orchard, each: str = "") -> bytes:
    """Labels with their codes on a plain grid, for each “tree” or “run”, “” = by the orchard's size."""
    return _set("labels", labels_data(orchard, each), {})


def week_pdf(found: WeekFindings) -> bytes:
    """The week on one page, for the kitchen door."""
    return _set("week", week_data(found), {})


def guests_pdf(found: GuestsFindings, part: str, size: str | None) -> bytes:
    """Cards, board or walk for guests."""
    return _set("guests", guest_data(found, part, size), {})


def all_drawn(drawings: Mapping[str, str | Chart], draw: Draws = svgs) -> dict[str, str]:
    """SVG by file name."""
    charts = {file: drawing for file, drawing in drawings.items() if isinstance(drawing, Chart)}
    made = draw([chart.spec for chart in charts.values()]) if charts else []
    ready = {file: drawing for file, drawing in drawings.items() if isinstance(drawing, str)}
    return ready | dict(zip(charts, made, strict=True))


def typeset(
    name: str, data: Mapping[str, object], drawings: Mapping[str, str | Chart], *, pictures: float = 0.0
) -> list[bytes]:
    """One template set with its data: the file, or with `pictures` [dots an inch] each page as a PNG.

    The fonts are those that come with Typst, so every machine sets the same.
    """
    import typst

    with TemporaryDirectory(prefix="topwire-") as folder:
        room = Path(folder)
        for template in TEMPLATES:
            (room / template).write_bytes(files(__package__).joinpath(template).read_bytes())
        for file, drawn in all_drawn(drawings).items():
            (room / file).write_text(drawn, encoding="utf-8")
        (room / f"{name}.json").write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
        how = {"format": "png", "ppi": pictures} if pictures else {"format": "pdf"}
        made: bytes | list[bytes] | None = typst.compile(
            str(room / f"{name}.typ"), root=folder, ignore_system_fonts=True, timestamp=0, **how
        )
    assert made is not None  # nothing was named to write to
    return made if isinstance(made, list) else [made]


def _set(name: str, data: Mapping[str, object], drawings: Mapping[str, str | Chart]) -> bytes:
    return typeset(name, data, drawings)[0]
