"""Results kept beside the plan."""

from pathlib import Path

import numpy as np
import pytest
from nursery.invented import blank

from topwire.engine.store import FOLDER, KEPT, as_json, keep, load, write_safely
from topwire.nursery.findings import StockLine
from topwire.values.bill import BillLine
from topwire.values.notice import warning
from topwire.water.findings import WaterPlan


def water_plan() -> WaterPlan:
    made: WaterPlan = blank(
        WaterPlan,
        reference_et=np.array([[1.0, np.nan, 3.0]]),
        years=np.array([2001, 2002]),
        season_need=np.array([10.5, np.nan]),
        need_by_leaf=np.array([1.0]),
        zone_hours=np.zeros((1, 6, 2, 52)),
        notices=(warning("water.few_years", years=2),),
    )
    return made


def test_there_and_back_with_unknowns_kept_unknown(tmp_path: Path) -> None:
    made = water_plan()
    keep(tmp_path, "water", "key", made)
    back = load(tmp_path, "water", "key", WaterPlan)
    assert back is not None
    np.testing.assert_array_equal(back.season_need, made.season_need)
    assert back.years.dtype == np.int64
    assert back.notices == made.notices
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


def test_writing_leaves_no_half_file(tmp_path: Path) -> None:
    target = tmp_path / "out" / "a.txt"
    write_safely(target, b"one")
    write_safely(target, b"two")
    assert target.read_bytes() == b"two"
    assert [path.name for path in target.parent.iterdir()] == ["a.txt"]


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
