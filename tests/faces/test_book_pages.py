"""The set pages, measured: none half empty, nothing small, nothing beyond the margins, every picture said in words."""

import io
import re

import pytest
from faces import invented
from faces.pages import EDGE, Page, blocks_of, filled, pages_of
from pypdf import PdfReader

from topwire.book.blocks import Book
from topwire.book.build import all_drawn, typeset
from topwire.book.contents import contents
from topwire.book.drawings import TEXT
from topwire.engine.orchard import Orchard
from topwire.values.units import UnitSystem

FILLED = 0.55  # of a page's bands, but for the cover and the end of a part
NOTHING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 50"></svg>'


MANY = tuple(f"Cultivar {number}" for number in range(34))
ORCHARDS = {
    "few": lambda: invented.orchard(),
    "many": lambda: invented.orchard(names=MANY, rows=12, places=101, units=UnitSystem.METRIC),
}


@pytest.fixture(scope="module", params=list(ORCHARDS))
def orchard(request: pytest.FixtureRequest) -> Orchard:
    return ORCHARDS[request.param]()


@pytest.fixture(scope="module")
def book(orchard: Orchard) -> Book:
    found = contents(orchard)
    return Book(found.data, all_drawn(found.drawings))


@pytest.fixture(scope="module")
def words(book: Book) -> list[str]:
    (pdf,) = typeset("book", book.data, book.drawings)
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module")
def ink(book: Book) -> list[Page]:
    return pages_of(book)


def heads(words: list[str], book: Book) -> list[str]:
    """The part each page belongs to, by its running head; none before the first."""
    titles = sorted((chapter["title"] for chapter in book.data["chapters"]), key=len, reverse=True)
    name = book.data["title"]
    found = []
    for page in words:
        first = page.split("\n", 1)[0].removeprefix(name).strip()
        found.append(next((title for title in titles if first.startswith(title)), ""))
    return found


def test_no_page_is_left_half_empty(book: Book, words: list[str], ink: list[Page]) -> None:
    part = heads(words, book)
    assert set(part) - {""} == {chapter["title"] for chapter in book.data["chapters"]}
    empty = []
    for at, page in enumerate(ink):
        ends = at + 1 == len(ink) or part[at] != part[at + 1] or not part[at]
        if not ends and filled(page) < FILLED:
            empty.append((at + 1, part[at], round(filled(page), 2)))
    assert not empty


def test_nothing_stands_beyond_the_margins(ink: list[Page]) -> None:
    for at, page in enumerate(ink):
        assert not page[:, : EDGE - 2].any(), at + 1
        assert not page[:, page.shape[1] - EDGE + 2 :].any(), at + 1
        assert page.any(), at + 1


def test_no_word_is_smaller_than_nine_points(book: Book) -> None:
    """Of all that is set; drawings are measured by themselves."""
    (pdf,) = typeset("book", book.data, dict.fromkeys(book.drawings, NOTHING))
    sizes: set[float] = set()
    for page in PdfReader(io.BytesIO(pdf)).pages:

        def seen(text: str, _cm: object, _tm: object, _font: object, size: float) -> None:
            if text.strip():
                sizes.add(round(size, 1))

        page.extract_text(visitor_text=seen)
    assert len(sizes) > 3
    assert min(sizes) >= 9.0


def test_no_letter_of_a_drawing_is_smaller_than_seven_points(book: Book) -> None:
    wide, high = TEXT
    found = 0
    for block in blocks_of(book.data, "figure"):
        drawn = str(book.drawings[block["file"]])
        box = re.search(r'viewBox="[\d.+-]+ [\d.+-]+ ([\d.]+) ([\d.]+)"', drawn)
        assert box, block["file"]
        scale = wide * block["width"] / float(box[1])
        if block["share"]:
            scale = min(scale, high * block["share"] / float(box[2]))
        letters = [float(size) * scale for size in re.findall(r'font-size[=:]"?([\d.]+)', drawn)]
        found += len(letters)
        assert min(letters, default=9.0) >= 6.9, (block["file"], min(letters))
    assert found > 100


def test_every_picture_has_its_caption(book: Book) -> None:
    figures = list(blocks_of(book.data, "figure"))
    assert len(figures) > 10
    for block in figures:
        assert len(block["says"]) > 20, block["file"]
        assert block["says"].endswith("."), block["says"]


def test_a_table_keeps_its_captions_with_its_rows(book: Book, words: list[str]) -> None:
    """No page ends with the captions of a table whose rows follow on the next."""
    flat = [re.sub(r"[\s-]+", "", page) for page in words]
    foot = re.sub(r"[\s-]+", "", book.data["foot"])
    for table in blocks_of(book.data, "table"):
        captions = re.sub(r"[\s-]+", "", "".join(table["columns"]))
        for page in flat:
            assert not page.partition(foot)[0].endswith(captions), table["title"]


def test_the_book_is_short_and_begins_with_its_map(book: Book, words: list[str]) -> None:
    assert book.data["cover"][0]["file"] == "cover.svg"
    assert "The job in a page" in words[1]
    assert "In this book" in words[2]
    assert len(words) <= 50
    assert heads(words, book).index(book.data["chapters"][0]["title"]) == 3
