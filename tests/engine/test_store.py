"""Results kept beside the plan."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from faces import invented

from topwire.engine.store import FOLDER, KEPT, as_json, keep, load, made_once
from topwire.files.safely import write_safely, write_where_asked
from topwire.nursery.findings import StockLine
from topwire.phenology.findings import PlaceSeasons
from topwire.values.bill import BillLine
from topwire.values.key import key_of
from topwire.values.notice import warning


def place() -> PlaceSeasons:
    """Findings with figures that are not known, whole numbers and a notice."""
    found = invented.place(("Gala", "GoldRush"))
    last = found.last_frost.copy()
    last[1] = np.nan
    return replace(found, last_frost=last, notices=(warning("place.few_years", years=2),))


def test_there_and_back_with_unknowns_kept_unknown(tmp_path: Path) -> None:
    made = place()
    keep(tmp_path, "place", "key", made)
    back = load(tmp_path, "place", "key", PlaceSeasons)
    assert back is not None
    np.testing.assert_array_equal(back.last_frost, made.last_frost)
    assert back.years.dtype == np.int64
    assert back.notices == made.notices
    assert key_of(back) == key_of(made)  # what is asked of kept findings is what was asked of them fresh
    assert "NaN" not in as_json(made)


def test_another_key_or_a_damaged_file_is_made_anew(tmp_path: Path) -> None:
    keep(tmp_path, "stock", "key", StockLine("G.41", 3, False))
    assert load(tmp_path, "stock", "key", StockLine) == StockLine("G.41", 3, False)
    assert load(tmp_path, "stock", "other", StockLine) is None
    assert load(tmp_path, "stock", "key", BillLine) is None
    (kept,) = (tmp_path / FOLDER).iterdir()
    kept.write_text("key\n{broken", encoding="utf-8")
    assert load(tmp_path, "stock", "key", StockLine) is None
    assert load(tmp_path, "nothing", "key", StockLine) is None


def test_what_hangs_on_the_program_alone_is_made_once_a_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert made_once(tmp_path, "text", lambda: "é one") == "é one".encode()
    assert made_once(tmp_path, "text", lambda: "two") == "é one".encode()
    monkeypatch.setattr("topwire.engine.store.program", lambda: "another")
    assert made_once(tmp_path, "text", lambda: "two") == b"two"


def test_writing_leaves_no_half_file(tmp_path: Path) -> None:
    target = tmp_path / "out" / "a.txt"
    write_safely(target, b"one")
    write_safely(target, b"two")
    assert target.read_bytes() == b"two"
    assert [path.name for path in target.parent.iterdir()] == ["a.txt"]


def test_what_stands_in_a_named_place_and_is_of_another_kind_stays(tmp_path: Path) -> None:
    kept, page = tmp_path / "records.db", tmp_path / "week.pdf"
    kept.write_bytes(b"SQLite format 3")
    with pytest.raises(FileExistsError, match="of another kind"):
        write_where_asked(kept, b"%PDF-1.7")
    assert kept.read_bytes() == b"SQLite format 3"
    for content in (b"%PDF-1.7", b"%PDF-1.7 again"):
        write_where_asked(page, content)
        assert page.read_bytes() == content


def test_a_folder_that_cannot_be_written_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / FOLDER).write_text("in the way", encoding="utf-8")
    keep(tmp_path, "stock", "key", StockLine("G.41", 3, False))
    with pytest.raises(OSError, match=r"."):
        write_safely(tmp_path / FOLDER / "stock.json", b"x")


def test_only_the_newest_are_kept(tmp_path: Path) -> None:
    for number in range(9):
        keep(tmp_path, "stock", f"key{number}", StockLine("G.41", number, False))
    assert len(list((tmp_path / FOLDER).iterdir())) == KEPT
    assert load(tmp_path, "stock", "key8", StockLine) == StockLine("G.41", 8, False)
