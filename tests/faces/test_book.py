"""The book: every chapter, absent departments said, hostile names harmless, the same bytes again, fast when long."""

import io
import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from faces import invented
from pypdf import PdfReader

from topwire.book.blocks import sentence
from topwire.book.build import book_pdf, labels_pdf, sheets_pdf
from topwire.book.contents import Book, contents
from topwire.book.drawings import block_alone, elevations
from topwire.book.field_cards import COLUMNS, FIRST_LINES, LINES, packed
from topwire.book.parts import PARTS
from topwire.book.sheets import code_svg
from topwire.engine.orchard import Orchard
from topwire.sources import bibliography
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import Severity
from topwire.values.units import UnitSystem, feet_and_inches


def all_text(value: object) -> str:
    """Every word of the blocks."""
    if isinstance(value, str):
        return value
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list | tuple) else ()
    return "\n".join(filter(None, map(all_text, inner)))


def words(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def chapters_of(book: Book) -> dict[str, str]:
    """Every word of each chapter, by its title."""
    return {chapter["title"]: all_text(chapter) for chapter in book.data["chapters"]}


@pytest.fixture(scope="module")
def book(out: Path) -> bytes:
    return (out / "book.pdf").read_bytes()


@pytest.fixture(scope="module")
def said(book: bytes) -> str:
    return words(book)


def test_every_chapter_is_there(said: str) -> None:
    for title in PARTS.values():
        assert title in said


def test_names_are_words_never_markup(said: str) -> None:
    assert "#panic(1) *Pippin*" in said
    assert "Invented <orchard>" in said


@pytest.mark.parametrize(
    "name",
    ["#panic(1)", "$x$", "= Heading", "*bold*", "@cite", "<label>", '#import "x"', "\\", "`raw`", "]", "//"],
)
def test_no_name_can_break_the_sheets(name: str) -> None:
    pdf = sheets_pdf(invented.orchard(names=(name, "Gala"), rows=1, places=8))
    assert re.sub(r"\s+", "", name) in re.sub(r"\s+", "", words(pdf))


def test_the_page_behind_the_cover_tells_the_job(book: bytes) -> None:
    first = re.sub(r"\s+", " ", PdfReader(io.BytesIO(book)).pages[1].extract_text())
    assert "116 trees of 5 cultivars in 4 rows" in first
    assert "Needs a decision" in first
    assert "In this book" in PdfReader(io.BytesIO(book)).pages[2].extract_text()


def test_each_notice_stands_in_the_book(orchard: Orchard, said: str) -> None:
    flat = said.replace("- ", "-")
    for notice in all_told(orchard.all_notices(), Reader(orchard.origin.units)):
        says = sentence(notice.says).replace("\xa0", " ")
        assert says in said or says in flat, notice


def test_cautions_stand_in_their_chapter(orchard: Orchard) -> None:
    chapters = chapters_of(contents(orchard))
    for name, result in orchard.departments.items():
        for told in all_told(getattr(result, "notices", ()), Reader(orchard.origin.units)):
            if told.severity is Severity.CAUTION:
                part = "calendar" if name == "ledger" else name  # those of the ledger are cautions of work
                assert told.says in chapters[PARTS[part]]


def test_the_crew_reads_the_trellis_cautions_on_its_sheets(out: Path) -> None:
    assert "planning estimate, not engineering" in words((out / "sheets/planting.pdf").read_bytes())


def test_sources_cited_are_listed_with_their_mark(orchard: Orchard, said: str) -> None:
    (chapter,) = [found for found in contents(orchard).data["chapters"] if found["title"] == "Sources"]
    (cites,) = [block["items"] for block in chapter["blocks"] if block["kind"] == "references"]
    assert [row[0] for row in cites] == [
        "CIDER-CO2", "CIDER-GROUND", "COVER-CORNELL", "FAO29", "GRAZING", "KSU", "LEAF-WSU", "LIME-PSU", "PRESS-YIELD",
        "ROOT-S1", "SO2-LIMIT", "SOIL-RB209", "SOIL-WSU119", "TRAIN-PLAN",
    ]  # fmt: skip
    assert [row[1] for row in cites] == [bibliography()[row[0]].citation for row in cites]
    assert [row[3] for row in cites] == [bibliography()[row[0]].mark for row in cites]
    assert "public domain in the United States" in said


def test_the_trellis_is_drawn_with_its_end(orchard: Orchard) -> None:
    drawings: dict[str, str] = {}
    found = elevations(orchard, drawings)
    assert [block["title"] for block in found] == ["An outer row", "The end, to build from"]
    for drawn in drawings.values():
        root = ElementTree.fromstring(drawn)
        assert {element.get("font-family") for element in root.iter()} <= {None, "Libertinus Serif"}


def test_a_block_has_a_map_of_its_own_trees_only(orchard: Orchard) -> None:
    ground, layout = orchard.ground, orchard.layout
    assert ground is not None
    assert layout is not None
    both = replace(
        ground,
        blocks=(ground.blocks[0], replace(ground.blocks[0], name="North")),
        block=(ground.row >= 2).astype(np.int64),
    )
    one, trees = block_alone(both, layout, 1)
    assert one.capacity == 60
    assert [block.name for block in one.blocks] == ["North"]
    assert str(one.address(0)) == "North 3, tree 1"
    assert trees.longitude.tolist() == layout.longitude[60:].tolist()
    assert trees.runs == ()  # none of the runs is named after the new block


def test_an_absent_department_is_said(orchard: Orchard) -> None:
    book = contents(invented.without(orchard, "trellis", "layout", "choice"))
    chapters = chapters_of(book)
    for title in ("Trellis", "Planting", "Choice"):
        assert "could not be computed" in chapters[title]
        assert "because it failed" in chapters[title]
    assert "could not be computed" not in chapters["Water"]


def test_a_book_of_nothing_is_still_a_book(orchard: Orchard) -> None:
    said = words(book_pdf(invented.without(orchard, *orchard.departments)))
    assert (
        said.count("could not be computed") == len(orchard.departments) + 1
    )  # the ledger's work is a part too


def test_paper_follows_the_units(book: bytes, metric: Orchard) -> None:
    letter, a4 = PdfReader(io.BytesIO(book)).pages[0], PdfReader(io.BytesIO(sheets_pdf(metric))).pages[0]
    assert (round(letter.mediabox.width), round(letter.mediabox.height)) == (612, 792)
    assert (round(a4.mediabox.width), round(a4.mediabox.height)) == (595, 842)


def test_same_orchard_same_bytes(orchard: Orchard, book: bytes) -> None:
    assert book_pdf(orchard) == book
    assert labels_pdf(orchard) == labels_pdf(orchard)


def test_every_tree_stands_on_the_sheets_at_its_distance(orchard: Orchard, out: Path) -> None:
    layout, ground = orchard.layout, orchard.ground
    assert layout is not None
    assert ground is not None
    said = words((out / "sheets/planting.pdf").read_bytes())
    for place in (1, 7, 29):
        distance = feet_and_inches(0.5 + 0.9 * (place - 1))
        assert said.count(f" {place} {distance}") == 4, (place, distance)  # in each of the four rows
    assert "Counted from the south end" in said


def test_labels_say_run_and_stock(out: Path) -> None:
    said = words((out / "labels.pdf").read_bytes())
    assert "South 1, trees 8 to 14" in said
    assert "G.41, planted 2027" in said


def test_a_small_garden_gets_a_label_for_each_tree() -> None:
    said = words(labels_pdf(invented.orchard(rows=1, places=9, units=UnitSystem.METRIC)))
    assert said.count("tree ") == 8


def test_a_label_for_every_tree_where_that_is_asked() -> None:
    orchard = invented.orchard(rows=3, places=30, units=UnitSystem.METRIC)
    planted = int((orchard.layout.cultivar >= 0).sum())  # type: ignore[union-attr]
    assert planted > 60
    assert words(labels_pdf(orchard, "tree")).count("tree ") == planted
    assert "trees 1 to" not in words(labels_pdf(orchard, "tree"))
    assert words(labels_pdf(orchard)) == words(labels_pdf(orchard, "run"))


def test_the_code_on_a_label_has_its_finders_and_quiet_zone() -> None:
    """ISO/IEC 18004: three finder patterns of 7 modules, a quiet zone of 4 modules about the symbol."""
    drawn = code_svg("South 1, tree 1 | Gala")
    size = int(re.search(r'viewBox="0 0 (\d+)', drawn)[1]) - 8  # type: ignore[index]
    stretches = re.findall(r"M(\d+) (\d+)h(\d+)", drawn)
    dark = {(int(x) + step, int(y)) for x, y, long in stretches for step in range(int(long))}
    assert (size - 17) % 4 == 0  # versions are 21, 25, 29 ... modules wide
    assert min(x for x, _ in dark) == min(y for _, y in dark) == 4
    for x, y in ((4, 4), (4 + size - 7, 4), (4, 4 + size - 7)):
        assert all((x + step, y) in dark and (x, y + step) in dark for step in range(7))
        assert (x + 1, y + 1) not in dark
        assert (x + 3, y + 3) in dark


@pytest.mark.parametrize("trees", [1, 5, 60, 111, 400])
def test_sheets_lose_no_tree(trees: int) -> None:
    lines = [
        ["Gal  Gala", "says", "tick"],
        *([str(number), "x"] for number in range(trees)),
        ["GRu  GoldRush", "says", "tick"],
    ]
    pages = packed(lines)
    found = [line[0] for page in pages for column in page for line in column if len(line) == 2]
    assert found == [str(number) for number in range(trees)]
    for number, page in enumerate(pages):
        assert len(page) == COLUMNS
        for column in page:
            high = [{"tick": 3, "": 2}[line[2]] if len(line) == 3 else 1 for line in column]
            assert sum(high) <= (LINES if number else FIRST_LINES)


def test_three_thousand_trees_are_set() -> None:
    names = tuple(f"Cultivar {number}" for number in range(40))
    orchard = invented.orchard(names=names, rows=30, places=101)
    assert len(PdfReader(io.BytesIO(sheets_pdf(orchard))).pages) >= 30


def test_makers_of_fetched_weather_get_their_credit(orchard: Orchard) -> None:
    credit = "Station record: invented network."
    credited = replace(orchard, origin=replace(orchard.origin, weather_credits=(credit,)))
    (chapter,) = [found for found in contents(credited).data["chapters"] if found["title"] == "Sources"]
    assert credit in str(chapter)
