"""A garden's book, pages and spreadsheet: short, by its size, and of one mind."""

import io
import re
import zipfile
from pathlib import Path

import pytest
from engine.shared import planned_fence
from faces.pages import blocks_of, filled, pages_of
from pypdf import PdfReader

from topwire.book.build import book_pdf, sheets_pdf
from topwire.book.contents import contents
from topwire.book.garden import garden
from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.export.spreadsheet import spreadsheet
from topwire.ledger.findings import Spent
from topwire.nursery.findings import NurseryJob
from topwire.show.garden_sheets import bills, garden_trees
from topwire.show.row_picture import draw_rows
from topwire.show.summary import headline
from topwire.show.tables import every_table
from topwire.tell.by_size import told_of
from topwire.tell.reader import Reader
from topwire.values.bill import together

OF_A_FIELD = re.compile(r"\bacres?\b|hectare|/ha\b|/acre|\b0\.00\b|tractor|one anchor in ten", re.IGNORECASE)


@pytest.fixture(scope="module")
def orchard(tmp_path_factory: pytest.TempPathFactory) -> Orchard:
    return plan_orchard(read_inputs(planned_fence(tmp_path_factory)))


@pytest.fixture(scope="module")
def pages(orchard: Orchard) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(book_pdf(orchard))).pages]


def test_the_book_has_at_most_eight_pages(pages: list[str]) -> None:
    assert len(pages) <= 8


def test_the_first_page_names_every_tree(orchard: Orchard) -> None:
    drawn = " ".join(re.findall(r">([^<>]+)</text>", draw_rows(orchard)[0][1]))
    for tree in garden_trees(orchard):
        assert all(word in drawn for word in tree.of.cultivar.split(" "))


def test_a_share_served_is_one_figure_on_the_first_page_and_among_the_sizes(orchard: Orchard) -> None:
    assert orchard.choice is not None
    assert orchard.ledger is not None
    assert len({need.weight for need in orchard.choice.needs}) > 1
    (own,) = (size for size in orchard.ledger.sizes if size.own)
    assert own.served == pytest.approx(orchard.choice.served_kg / orchard.choice.wanted_kg, abs=1e-9)
    assert own.worst_fifth == pytest.approx(orchard.choice.worst_fifth, abs=1e-9)
    assert f"{own.served:.0%}" in dict(headline(orchard))


def test_nothing_is_told_by_the_acre(orchard: Orchard, pages: list[str]) -> None:
    assert not OF_A_FIELD.findall(" ".join(pages))
    for table in every_table(orchard):
        said = " ".join([table.title, *table.columns, table.rests_on, *table.notes])
        assert not re.search(r"\bacre|/ha\b|hectare", said), table.name
    for notice in told_of(orchard, orchard.all_notices(), Reader(orchard.origin.units)):
        assert not re.search(r"\bacres?\b|hectare", f"{notice.says} {notice.remedy}"), notice.says


def test_every_table_and_worksheet_has_content(orchard: Orchard) -> None:
    assert [table.name for table in every_table(orchard) if not table.rows] == ["learning.place"]
    with zipfile.ZipFile(io.BytesIO(spreadsheet(orchard))) as book:
        assert "learning" not in book.read("xl/workbook.xml").decode()
    blocks = [block for chapter in garden(orchard).data["chapters"] for block in chapter["blocks"]]
    assert all(block["rows"] for block in blocks if block["kind"] == "table")


def test_the_list_to_buy_comes_to_what_establishing_costs(orchard: Orchard) -> None:
    assert orchard.ledger is not None
    sheet = next(table for table in every_table(orchard) if table.name == "ledger.shopping")
    costs = [row[3] for row in sheet.rows]
    assert sum(float(cost) for cost in costs[:-1]) == pytest.approx(float(costs[-1]), abs=1.0)
    assert float(costs[-1]) == pytest.approx(orchard.ledger.cost_to_establish)
    for part, lines in bills(orchard).items():
        assert together(lines) == pytest.approx(orchard.ledger.establishment[part], abs=0.5)
    assert orchard.nursery is not None
    assert orchard.nursery.cost == pytest.approx(orchard.ledger.establishment[Spent.TREES])


def test_every_fence_eye_stands_on_a_post(orchard: Orchard) -> None:
    """Rings of the drawing to build from stand where posts do."""
    drawn = draw_rows(orchard, to_build=True)[0][1]
    posts = set(re.findall(r'<line x1="([\d.]+)" [^>]*stroke="#8a6a45" stroke-width="(?:3.5|5)', drawn))
    eyes = set(re.findall(r'<circle cx="([\d.]+)"', drawn))
    assert eyes <= posts
    assert len(eyes) == 6


def test_a_field_keeps_its_chapters(tmp_path: Path, orchard: Orchard) -> None:
    assert orchard.is_garden
    assert not any(table.name.startswith("staking.") for table in every_table(orchard))


def test_its_pages_are_full_and_its_pictures_said(orchard: Orchard) -> None:
    book = garden(orchard)
    assert min(filled(page) for page in pages_of(book)[:-1]) >= 0.55
    for block in blocks_of(book.data, "figure"):
        assert block["says"].endswith("."), block["file"]


def test_the_book_says_when_to_graft_and_names_no_list_it_has_not(orchard: Orchard, pages: list[str]) -> None:
    said = " ".join(" ".join(pages).split())
    assert orchard.ledger is not None
    reader = Reader(orchard.origin.units)
    for work in (NurseryJob.CUT_WOOD, NurseryJob.BENCH_GRAFT, NurseryJob.BUD_FAILURES):
        (job,) = (job for job in orchard.ledger.calendar if job.work == work)
        assert reader.date(job.start) in said
    assert "cambium matched" in said
    assert "The list begins" not in said


def test_the_year_of_grown_trees_has_the_caution_on_sprays(orchard: Orchard, pages: list[str]) -> None:
    """In the garden's book and in a field's book for reading, from the calendar's own line."""
    assert orchard.ledger is not None
    (scout,) = (work for work in orchard.ledger.works if work.item == "scout")
    assert "keep people out" in scout.caution
    assert "bees" in scout.caution
    assert scout.caution in " ".join(" ".join(pages).split())
    (year,) = (part for part in contents(orchard).data["chapters"] if part["key"] == "calendar")
    assert scout.caution in str(year)


def test_cards_and_book_know_one_fence(orchard: Orchard, pages: list[str]) -> None:
    """The cards build no trellis beside a fence that stands: they name its posts, and the trees' line off it."""
    cards = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(sheets_pdf(orchard))).pages)
    said = " ".join(cards.split())
    assert orchard.trellis is not None
    (fence,) = orchard.trellis.fences
    assert fence.posts[-1] == pytest.approx(fence.run)
    places = ", ".join(Reader(orchard.origin.units).tape(at) for at in fence.posts)
    assert f"Posts of the fence, with eyes, at {places}." in said
    beside = "in the line of the wires, 4 in off the fence on its south side"
    assert said.count(beside) == 2
    assert beside in " ".join(" ".join(pages).split())
    for word in (
        "anchors come first",
        "start post",
        "from post to post",
        "part on the trellis",
        "row 1 start",
    ):
        assert word not in said
