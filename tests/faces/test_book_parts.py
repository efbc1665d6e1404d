"""Parts of the book printed alone, and its contents by reader."""

from io import BytesIO
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader
from web.desk import furnished

from topwire.book.build import book_pdf
from topwire.book.parts import PARTS, READERS, NoSuchPart, parts_wanted
from topwire.cli import main
from topwire.engine.orchard import Orchard


def words(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


def test_every_part_has_its_reader_and_the_contents_name_them_with_their_pages(orchard: Orchard) -> None:
    assert {key for _, keys in READERS.values() for key in keys} == set(PARTS)
    pages = words(book_pdf(orchard))
    first = " ".join(pages[2].split())
    for says, _ in READERS.values():
        assert says in first
    where = next(number for number, page in enumerate(pages, 1) if number > 3 and "Trellis" in page)
    assert f"{where}" in first


def test_a_part_alone_is_short_and_a_reader_gets_his(orchard: Orchard) -> None:
    trellis, crew, whole = (
        words(book_pdf(orchard, wanted))
        for wanted in (parts_wanted(["trellis"]), parts_wanted([], "crew"), parts_wanted([]))
    )
    assert len(trellis) < len(crew) < len(whole)
    assert "To decide" not in trellis[0]
    opening = " ".join(crew[:2])
    assert "To plant" in opening
    assert "For the bank" not in opening
    banker = " ".join(words(book_pdf(orchard, parts_wanted([], "banker"))))
    assert "The smallest" in banker or "For the bank" in banker
    assert "The year of grown trees" not in banker
    with pytest.raises(NoSuchPart, match="there are place"):
        parts_wanted(["trelis"])


def test_nothing_but_drawings_is_smaller_than_nine_points(orchard: Orchard) -> None:
    sizes: set[float] = set()
    for page in PdfReader(BytesIO(book_pdf(orchard, ("assumptions", "sources", "staking")))).pages:

        def seen(text: str, _cm: object, tm: list[float], _font: object, size: float) -> None:
            if text.strip():
                sizes.add(round(abs(tm[3]) * size if size < 2 else size, 1))

        page.extract_text(visitor_text=seen)
    assert sizes
    assert min(sizes) >= 9.0


def test_the_command_writes_what_it_is_asked(orchard: Orchard, tmp_path: Path) -> None:
    folder = furnished(tmp_path / "yard", orchard)

    def run(*more: str) -> tuple[int, str]:
        done = CliRunner().invoke(main, ["book", str(folder), *more])
        return done.exit_code, done.output

    assert run("--part", "trellis")[0] == 2 or (folder / "out" / "book-trellis.pdf").is_file()
    code, said = run("--part", "trelis")
    assert code == 2
    assert "no part “trelis”" in said
    assert run("--list")[1].count("\n") == len(PARTS)
    nothing = CliRunner().invoke(main, ["book", str(tmp_path / "none")])
    assert nothing.exit_code == 2
    assert "topwire plan" in nothing.output
