"""Entries and lines of files are one truth: what check, learning and the nursery read joins both."""

from datetime import date
from pathlib import Path

from records.test_read import CATALOGUE, write

from topwire.engine.state import state_of
from topwire.growth.asked import FruitletRow
from topwire.nursery.learning import TakeRow
from topwire.records.entries import (
    FruitGrade,
    FruitPicked,
    FruitSized,
    SeenStage,
    StageSeen,
    TakeCounted,
    TreeChanged,
    TreeEvent,
)  # fmt: skip
from topwire.records.joined import line_identity
from topwire.records.read import read_records
from topwire.records.store import open_store, undo
from topwire.values.own_date import DateSeen, OwnDate

DAY = date(2031, 4, 28)
LINE = "entry,cultivar,event,date\n1,Gala,full bloom,2031-04-28\n"


def dates(folder: Path) -> list[tuple[str, DateSeen, date]]:
    return [
        (row.cultivar, row.event, row.date) for row in read_records(folder, CATALOGUE).rows("bloom", OwnDate)
    ]


def test_a_noted_date_is_read_as_a_line_is(tmp_path: Path) -> None:
    write(tmp_path, "bloom", LINE)
    with open_store(tmp_path) as store:
        store.append([StageSeen(day=DAY, cultivar="GoldRush", stage=SeenStage.PETAL_FALL)])
        store.append(
            [StageSeen(day=DAY, cultivar="GoldRush", stage=SeenStage.PINK)]
        )  # no date the plan reads
    assert dates(tmp_path) == [("Gala", DateSeen.FULL_BLOOM, DAY), ("GoldRush", DateSeen.PETAL_FALL, DAY)]


def test_an_entry_of_a_cultivar_nobody_knows_hinders_no_plan(tmp_path: Path) -> None:
    with open_store(tmp_path) as store:
        store.append([StageSeen(day=DAY, cultivar="Seedling by the gate", stage=SeenStage.FULL_BLOOM)])
    assert dates(tmp_path) == []


def test_a_line_that_is_an_entry_by_now_counts_once_and_follows_its_corrections(tmp_path: Path) -> None:
    write(tmp_path, "bloom", LINE)
    one = StageSeen(
        day=DAY, cultivar="Gala", stage=SeenStage.FULL_BLOOM, identity=line_identity("bloom", "1")
    )
    with open_store(tmp_path) as store:
        store.append([one])
        assert dates(tmp_path) == [("Gala", DateSeen.FULL_BLOOM, DAY)]
        other = StageSeen(day=date(2031, 4, 30), cultivar="Gala", stage=one.stage, corrects=one.identity)
        store.append([other])
        assert dates(tmp_path) == [("Gala", DateSeen.FULL_BLOOM, date(2031, 4, 30))]
        undo(store, other, day=DAY)
        undo(store, one, day=DAY)
    assert dates(tmp_path) == []


def test_the_first_pick_of_a_year_is_read_from_the_picks(tmp_path: Path) -> None:
    def pick(day: int, **more: object) -> FruitPicked:
        return FruitPicked(day=date(2031, 9, day), cultivar="Gala", mass=3.0, **more)  # type: ignore[arg-type]

    with open_store(tmp_path) as store:
        store.append([pick(9), pick(4), pick(1, grade=FruitGrade.WINDFALL)])
        assert dates(tmp_path) == [("Gala", DateSeen.FIRST_PICK, date(2031, 9, 4))]
        store.append([StageSeen(day=date(2031, 9, 3), cultivar="Gala", stage=SeenStage.FIRST_PICK)])
    assert dates(tmp_path) == [("Gala", DateSeen.FIRST_PICK, date(2031, 9, 3))]


def test_grafts_and_tagged_fruitlets_are_read(tmp_path: Path) -> None:
    with open_store(tmp_path) as store:
        store.append(
            [
                TakeCounted(day=date(2031, 6, 20), cultivar="Gala", started=25, good=22, lot="a"),
                TakeCounted(day=date(2031, 9, 20), cultivar="Gala", started=9, good=8, remark="buds; dry"),
                FruitSized(day=date(2031, 5, 20), cultivar="Gala", diameters=(0.012,), tag="7", cluster="2", leaf=5),
                FruitSized(day=date(2031, 5, 24), cultivar="Gala", diameters=(0.0151,), tag="7"),
                FruitSized(day=date(2031, 5, 20), cultivar="Gala", diameters=(0.011,), tag="8", cluster="2", leaf=5),
                FruitSized(day=date(2031, 5, 24), cultivar="Gala", diameters=(), tag="8"),
                FruitSized(day=date(2031, 5, 20), cultivar="Gala", diameters=(0.011,), tag="9"),
            ]
        )  # fmt: skip
    records = read_records(tmp_path, CATALOGUE)
    (take,) = records.rows("takes", TakeRow)
    assert (take.lot, take.year, take.started, take.good) == ("a", 2031, 25, 22)
    found = [(row.fruitlet, row.first_mm, row.second_mm) for row in records.rows("fruitlets", FruitletRow)]
    assert found == [("7", 12.0, 15.1), ("8", 11.0, None)]


def test_what_no_plan_reads_leaves_the_last_plan_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text("name: Yard\n", encoding="utf-8")
    with open_store(tmp_path) as store:
        before = state_of(tmp_path)
        store.append([TreeChanged(day=DAY, block="South", row=3, place=4, event=TreeEvent.DIED)])
        assert state_of(tmp_path) == before
        store.append([StageSeen(day=DAY, cultivar="Gala", stage=SeenStage.FULL_BLOOM)])
        assert state_of(tmp_path) != before
