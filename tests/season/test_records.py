"""What a week sees of the records: dates, jobs, picks, lots, and only what had been noted by then."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from topwire.records.entries import (
    CellarMoved,
    Counted,
    FruitCounted,
    FruitGrade,
    FruitPicked,
    FruitPressed,
    FruitServed,
    FruitSold,
    LotChecked,
    LotFate,
    PestSeen,
    PhMeasured,
    SeenStage,
    StageSeen,
    TreeChanged,
    TreeEvent,
    Watered,
    Withdrawn,
    WorkDone,
)
from topwire.records.store import RecordStore, open_store
from topwire.season.records import seen_by
from topwire.values.own_date import DateSeen


def _noted(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 18, tzinfo=UTC)


def _at(year: int, month: int, day: int) -> dict[str, object]:
    on = date(year, month, day)
    return {"day": on, "noted": _noted(on)}


@pytest.fixture
def store(tmp_path: Path) -> Iterator[RecordStore]:
    with open_store(tmp_path) as opened:
        yield opened


def test_a_lot_is_what_was_picked_less_what_was_taken(store: RecordStore, tmp_path: Path) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 1), cultivar="Gala", mass=60.0, lot="crate 14", stored="north room"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 5), cultivar="Gala", mass=20.0, lot="crate 14"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 5), cultivar="Empire", mass=50.0, grade=FruitGrade.PRESS),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 10, 1), lot="crate 14", mass=15.0, fate=LotFate.KITCHEN),  # type: ignore[arg-type]
            FruitPressed(**_at(2031, 10, 2), cultivar="Empire", mass=30.0),  # type: ignore[arg-type]
            LotChecked(**_at(2031, 10, 3), lot="crate 14", sound=0.9),  # type: ignore[arg-type]
        ]
    )
    before, now = (seen_by(tmp_path, day) for day in (date(2031, 9, 2), date(2031, 10, 4)))
    assert [(lot.lot, lot.kg) for lot in before.lots] == [("crate 14", 60.0)]
    left = {lot.cultivar: lot for lot in now.lots}
    assert left["Gala"].kg == 65.0
    assert left["Gala"].sound == 0.9
    assert left["Empire"].kg == 20.0
    assert now.picked == {"Gala": 80.0, "Empire": 50.0}
    store.append(
        [
            FruitSold(**_at(2031, 10, 4), cultivar="Gala", what="fruit", mass=10.0),  # type: ignore[arg-type]
            FruitServed(**_at(2031, 10, 4), cultivar="Gala", dish="apple pie", portions=24, mass=20.0),  # type: ignore[arg-type]
        ]
    )
    # 65 less what was sold, and less the 5 of the 20 served that the kitchen's 15 did not cover
    assert {lot.cultivar: lot.kg for lot in seen_by(tmp_path, date(2031, 10, 4)).lots}["Gala"] == 50.0
    store.append([CellarMoved(**_at(2031, 10, 5), lot="crate 14", fate=LotFate.LOST)])  # type: ignore[arg-type]
    assert [lot.cultivar for lot in seen_by(tmp_path, date(2031, 10, 6)).lots] == ["Empire"]


def test_a_crate_emptied_and_filled_again_holds_the_new_fruit_only(
    store: RecordStore, tmp_path: Path
) -> None:
    store.append(
        [
            FruitPicked(
                **_at(2031, 8, 30), cultivar="Liberty", mass=40.0, lot="crate 9", stored="north room"
            ),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 2), cultivar="Liberty", mass=12.0, lot="crate 9"),  # type: ignore[arg-type]
            LotChecked(**_at(2031, 9, 20), lot="crate 9", sound=0.6),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 10, 1), lot="crate 9", fate=LotFate.LOST),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 10, 20), cultivar="Arkansas Black", mass=50.0, lot="crate 9"),  # type: ignore[arg-type]
            FruitPressed(**_at(2031, 9, 25), lot="crate 9", mass=2.0, ph=3.3),  # type: ignore[arg-type]
        ]
    )
    seen = seen_by(tmp_path, date(2031, 10, 30))
    assert [(lot.cultivar, lot.picked, lot.kg, lot.taken, lot.sound, lot.stored) for lot in seen.lots] == [
        ("Arkansas Black", date(2031, 10, 20), 50.0, 0.0, None, "")
    ]
    assert [dict(one.fruit) for one in seen.ph] == [{"Liberty": 2.0}]
    store.append(
        [
            CellarMoved(**_at(2031, 11, 1), lot="crate 9", mass=10.0, fate=LotFate.KITCHEN),  # type: ignore[arg-type]
            LotChecked(**_at(2031, 11, 2), lot="crate 9", sound=0.97),  # type: ignore[arg-type]
        ]
    )
    (lot,) = seen_by(tmp_path, date(2031, 11, 3)).lots
    assert (lot.kg, lot.taken, lot.sound, lot.checked) == (40.0, 10.0, 0.97, date(2031, 11, 2))


def test_what_went_out_last_year_is_not_taken_of_this_year_s_fruit(
    store: RecordStore, tmp_path: Path
) -> None:
    store.append(
        [
            FruitPicked(**_at(2030, 9, 5), cultivar="Gala", mass=60.0, lot="crate 1"),  # type: ignore[arg-type]
            FruitPicked(**_at(2030, 9, 5), cultivar="Empire", mass=30.0),  # type: ignore[arg-type]
            FruitServed(**_at(2030, 11, 1), cultivar="Empire", dish="tart", portions=90, mass=30.0),  # type: ignore[arg-type]
            CellarMoved(**_at(2030, 12, 1), lot="crate 1", mass=60.0, fate=LotFate.KITCHEN),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 10), cultivar="Gala", mass=50.0, lot="crate 1"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 10), cultivar="Empire", mass=20.0),  # type: ignore[arg-type]
            FruitServed(**_at(2031, 9, 12), cultivar="Gala", dish="pie", portions=5, mass=5.0),  # type: ignore[arg-type]
            FruitServed(**_at(2031, 9, 12), cultivar="Empire", dish="pie", portions=5, mass=5.0),  # type: ignore[arg-type]
        ]
    )
    for day in (date(2031, 9, 20), date(2031, 11, 20)):  # the picks of the year before known yet, and no more
        lots = seen_by(tmp_path, day).lots
        assert {lot.cultivar: (lot.kg, lot.picked) for lot in lots} == {
            "Gala": (45.0, date(2031, 9, 10)),
            "Empire": (15.0, date(2031, 9, 10)),
        }


def test_a_lot_the_kitchen_took_whole_covers_what_was_served_of_it(
    store: RecordStore, tmp_path: Path
) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 1), cultivar="Gala", mass=30.0, lot="crate 1"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 1), cultivar="Gala", mass=30.0, lot="crate 2"),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 10, 1), lot="crate 1", fate=LotFate.KITCHEN),  # type: ignore[arg-type]
            FruitServed(**_at(2031, 10, 3), cultivar="Gala", dish="pie", portions=25, mass=25.0),  # type: ignore[arg-type]
        ]
    )
    assert {lot.lot: lot.kg for lot in seen_by(tmp_path, date(2031, 10, 10)).lots} == {"crate 2": 30.0}


def test_what_the_kitchen_took_of_a_mixed_crate_is_counted_by_cultivar(
    store: RecordStore, tmp_path: Path
) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 3), cultivar="Gala", mass=10.0, lot="crate 1"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 4), cultivar="Empire", mass=10.0, lot="crate 1"),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 9, 10), lot="crate 1", mass=5.0, fate=LotFate.KITCHEN),  # type: ignore[arg-type]
            FruitServed(**_at(2031, 9, 11), cultivar="Gala", dish="pie", mass=5.0),  # type: ignore[arg-type]
            LotChecked(**_at(2031, 9, 12), lot="crate 1", cultivar="Gala", sound=0.5),  # type: ignore[arg-type]
        ]
    )
    lots = seen_by(tmp_path, date(2031, 9, 20)).lots
    assert {lot.cultivar: (lot.kg, lot.sound) for lot in lots} == {"Gala": (5.0, 0.5), "Empire": (10.0, None)}


def test_a_pick_dated_a_day_after_its_pressing_is_pressed_all_the_same(
    store: RecordStore, tmp_path: Path
) -> None:
    store.append(
        [
            FruitPressed(**_at(2031, 9, 2), cultivar="Gala", mass=90.0),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 3), cultivar="Gala", mass=100.0),  # type: ignore[arg-type]
        ]
    )
    assert [lot.kg for lot in seen_by(tmp_path, date(2031, 9, 20)).lots] == [10.0]


def test_leavings_of_the_harvest_before_are_drawn_last(store: RecordStore, tmp_path: Path) -> None:
    store.append(
        [
            FruitPicked(**_at(2030, 10, 20), cultivar="Empire", mass=8.0, lot="old"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 10, 1), cultivar="Empire", mass=50.0, lot="crate 1"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 10, 5), cultivar="Empire", mass=50.0, lot="crate 2"),  # type: ignore[arg-type]
            FruitSold(**_at(2031, 10, 6), cultivar="Empire", what="fruit", mass=20.0),  # type: ignore[arg-type]
            FruitServed(**_at(2031, 10, 7), cultivar="Empire", dish="pie", mass=10.0),  # type: ignore[arg-type]
            FruitServed(**_at(2031, 10, 8), cultivar="Empire", lot="crate 2", dish="pie", mass=5.0),  # type: ignore[arg-type]
        ]
    )
    lots = {lot.lot: lot.kg for lot in seen_by(tmp_path, date(2031, 10, 10)).lots}
    assert lots == {"old": 8.0, "crate 1": 20.0, "crate 2": 45.0}


def test_a_crate_emptied_and_filled_on_one_day_goes_by_when_it_was_noted(
    store: RecordStore, tmp_path: Path
) -> None:
    at = {"day": date(2031, 10, 18)}
    morning, noon, evening = (_noted(at["day"]) + timedelta(minutes=60 * hours) for hours in (-9, -6, -1))
    store.append(
        [
            FruitPicked(**_at(2031, 10, 1), cultivar="Empire", mass=10.0, lot="bin 9"),  # type: ignore[arg-type]
            FruitPicked(**at, noted=morning, cultivar="Empire", mass=4.0, lot="bin 9"),
            CellarMoved(**at, noted=noon, lot="bin 9", fate=LotFate.KITCHEN),
            FruitPicked(**at, noted=evening, cultivar="GoldRush", mass=33.0, lot="bin 9"),
            FruitPicked(**at, noted=evening, cultivar="Empire", mass=5.0, lot="bin 9"),
        ]
    )
    lots = seen_by(tmp_path, date(2031, 10, 20)).lots
    assert {lot.cultivar: lot.kg for lot in lots} == {"Empire": 5.0, "GoldRush": 33.0}


def test_what_is_made_of_fruit_or_of_nobody_knows_what_takes_nothing(
    store: RecordStore, tmp_path: Path
) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 1), cultivar="Florina", mass=50.0, lot="crate 1"),  # type: ignore[arg-type]
            FruitSold(**_at(2031, 9, 9), cultivar="Florina", what="dried Florina", mass=6.0),  # type: ignore[arg-type]
            FruitSold(**_at(2031, 9, 9), cultivar="Florina", what="apple butter", mass=2.0),  # type: ignore[arg-type]
            FruitSold(**_at(2031, 9, 9), what="fruit", mass=9.0),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 9, 9), fate=LotFate.LOST),  # type: ignore[arg-type]
            FruitSold(**_at(2031, 9, 9), cultivar="Florina", what="cider apples", mass=5.0),  # type: ignore[arg-type]
            FruitSold(**_at(2031, 9, 9), cultivar="Florina", what="windfalls for juice", mass=1.0),  # type: ignore[arg-type]
            FruitSold(**_at(2031, 9, 9), cultivar="Florina", what="for the cake shop", mass=2.0),  # type: ignore[arg-type]
        ]
    )
    assert [lot.kg for lot in seen_by(tmp_path, date(2031, 9, 10)).lots] == [42.0]


def test_a_mixed_crate_is_told_by_cultivar(store: RecordStore, tmp_path: Path) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 1), cultivar="Gala", mass=30.0, lot="crate 1"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 8), cultivar="Empire", mass=10.0, lot="crate 1"),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 10, 1), lot="crate 1", cultivar="Empire", mass=4.0, fate=LotFate.KITCHEN),  # type: ignore[arg-type]
        ]
    )
    lots = seen_by(tmp_path, date(2031, 10, 10)).lots
    assert [(lot.cultivar, lot.lot, lot.kg) for lot in lots] == [
        ("Gala", "crate 1", 30.0),
        ("Empire", "crate 1", 6.0),
    ]


def test_a_ph_is_of_the_fruit_pressed_into_its_juice_by_then(store: RecordStore, tmp_path: Path) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 20), cultivar="Judaine", mass=60.0, lot="crate 3"),  # type: ignore[arg-type]
            FruitPressed(**_at(2031, 10, 1), lot="crate 3", mass=40.0, batch="7", ph=3.2),  # type: ignore[arg-type]
            FruitPressed(**_at(2031, 10, 2), cultivar="Empire", mass=10.0, batch="7"),  # type: ignore[arg-type]
            PhMeasured(**_at(2031, 10, 1), of="juice", batch="7", ph=3.25),  # type: ignore[arg-type]
            PhMeasured(**_at(2031, 10, 3), of="juice", batch="7", ph=3.4),  # type: ignore[arg-type]
            PhMeasured(**_at(2031, 10, 4), of="juice", ph=3.9),  # type: ignore[arg-type]
            PhMeasured(**_at(2031, 10, 4), of="water", cultivar="Empire", ph=7.0),  # type: ignore[arg-type]
        ]
    )
    found = {one.ph: dict(one.fruit) for one in seen_by(tmp_path, date(2031, 10, 5)).ph}
    assert found == {3.2: {"Judaine": 40.0}, 3.25: {"Judaine": 40.0}, 3.4: {"Judaine": 40.0, "Empire": 10.0}}


def test_only_what_was_noted_by_then_is_seen(store: RecordStore, tmp_path: Path) -> None:
    late = StageSeen(
        day=date(2031, 4, 28), noted=_noted(date(2031, 5, 9)), cultivar="Gala", stage=SeenStage.FULL_BLOOM
    )
    store.append([late])
    assert seen_by(tmp_path, date(2031, 5, 1)).dates == ()
    found = seen_by(tmp_path, date(2031, 5, 10)).dates
    assert [(row.cultivar, row.event, row.date) for row in found] == [
        ("Gala", DateSeen.FULL_BLOOM, date(2031, 4, 28))
    ]


def test_earlier_years_are_kept_until_one_of_their_entries_changes(
    store: RecordStore, tmp_path: Path
) -> None:
    (tmp_path / ".topwire").mkdir()
    first = FruitPicked(**_at(2030, 9, 1), cultivar="Gala", mass=60.0)  # type: ignore[arg-type]
    store.append([first])
    day = date(2031, 6, 1)
    for _ in range(2):
        found = seen_by(tmp_path, day)
        assert found.picked_before == {(2030, "Gala"): 60.0}
        assert found.dates[0].event is DateSeen.FIRST_PICK
    store.append([Withdrawn(**_at(2031, 5, 1), corrects=first.identity)])  # type: ignore[arg-type]
    assert seen_by(tmp_path, day).picked_before == {}
    assert seen_by(tmp_path, date(2031, 4, 1)).picked_before == {(2030, "Gala"): 60.0}


def test_counts_work_trees_and_pests(store: RecordStore, tmp_path: Path) -> None:
    tree = {"block": "South", "row": 3, "place": 41}
    store.append(
        [
            FruitCounted(**_at(2031, 7, 1), cultivar="Gala", counted=Counted.FRUITS, count=300, trees=5),  # type: ignore[arg-type]
            WorkDone(**_at(2031, 3, 1), job="prune", block="South", row=3),  # type: ignore[arg-type]
            TreeChanged(**_at(2031, 3, 2), **tree, event=TreeEvent.DIED, cultivar="Gala"),  # type: ignore[arg-type]
            PestSeen(**_at(2031, 6, 1), what="hail"),  # type: ignore[arg-type]
            PestSeen(**_at(2031, 6, 1), what="hail", block="South"),  # type: ignore[arg-type]
        ]
    )
    found = seen_by(tmp_path, date(2031, 7, 2))
    assert (found.counts[0].per_tree, found.counts[0].trees) == (60.0, 5)
    assert (found.work[0].job, found.work[0].where) == ("prune", "South 3")
    assert [(str(one.tree), one.stands) for one in found.trees] == [("South 3, tree 41", False)]
    assert [row.what for row in found.pests] == ["hail"]
    store.append([TreeChanged(**_at(2031, 11, 2), **tree, event=TreeEvent.REPLACED, cultivar="Gala")])  # type: ignore[arg-type]
    (replaced,) = seen_by(tmp_path, date(2031, 12, 1)).trees
    assert (replaced.stands, replaced.cultivar, replaced.planted, replaced.anew) == (True, "Gala", 2031, True)


def test_water_fruit_and_presses_say_that_their_jobs_were_done(store: RecordStore, tmp_path: Path) -> None:
    store.append(
        [
            Watered(**_at(2031, 6, 1), block="South", hours=2.0),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 1), cultivar="Gala", mass=60.0),  # type: ignore[arg-type]
            FruitPressed(**_at(2031, 9, 2), cultivar="Gala", mass=30.0),  # type: ignore[arg-type]
        ]
    )
    work = seen_by(tmp_path, date(2031, 9, 3)).work
    assert {note.job: note.by_yield for note in work} == dict.fromkeys(
        ("water on", "sort and store", "press"), True
    )


def test_lots_that_cannot_be_as_noted_are_seen(store: RecordStore, tmp_path: Path) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 1), cultivar="GoldRush", mass=100.0, lot="crate 900"),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 9, 1), cultivar="Gala", mass=50.0, lot="crate 1"),  # type: ignore[arg-type]
            CellarMoved(
                **_at(2031, 10, 1), cultivar="Winesap", lot="crate 1", mass=5.0, fate=LotFate.KITCHEN
            ),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 10, 1), lot="crate 900", mass=300.0, fate=LotFate.KITCHEN),  # type: ignore[arg-type]
            LotChecked(**_at(2031, 10, 3), lot="crate 99", sound=0.9),  # type: ignore[arg-type]
        ]
    )
    found = seen_by(tmp_path, date(2031, 10, 4))
    assert [(one.lot, one.cultivar, one.picked, one.taken) for one in found.drawn] == [
        ("crate 900", "GoldRush", 100.0, 300.0),
        ("crate 1", "Winesap", 0.0, 5.0),
        ("crate 99", "", 0.0, 0.0),
    ]
    assert [(lot.lot, lot.kg) for lot in found.lots] == [("crate 1", 50.0)]  # nothing of it was Winesap
    assert seen_by(tmp_path, date(2031, 12, 20)).drawn == ()


def test_a_crate_that_was_emptied_is_filled_again(store: RecordStore, tmp_path: Path) -> None:
    store.append(
        [
            FruitPicked(**_at(2031, 9, 1), cultivar="Gala", mass=50.0, lot="crate 1"),  # type: ignore[arg-type]
            CellarMoved(**_at(2031, 10, 1), lot="crate 1", fate=LotFate.KITCHEN),  # type: ignore[arg-type]
            FruitPicked(**_at(2031, 10, 9), cultivar="Gala", mass=20.0, lot="crate 1"),  # type: ignore[arg-type]
        ]
    )
    assert [lot.kg for lot in seen_by(tmp_path, date(2031, 10, 10)).lots] == [20.0]


def test_a_folder_without_records_has_nothing_to_tell(tmp_path: Path) -> None:
    assert seen_by(tmp_path, date(2031, 7, 2)).lots == ()
    assert not (tmp_path / "records.db").exists()
