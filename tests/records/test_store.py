"""Entries kept, corrected, withdrawn and read back, on SQLite and on PostgreSQL alike."""

import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest
from records.support import every_kind, postgres_url

from topwire.records.entries import (
    ENTRY_TYPES,
    Entry,
    EntryKind,
    FruitPicked,
    How,
    SeenStage,
    StageSeen,
    TakeCounted,
    TreeChanged,
    TreeEvent,
    TrunkMeasured,
    Withdrawn,
)
from topwire.records.form import NotAnEntry, fields_of, from_plain, to_plain
from topwire.records.opening import NotSaved
from topwire.records.store import RecordStore, Standing, Touched, open_store, undo

DAY = date(2031, 9, 14)


@pytest.fixture(params=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[RecordStore]:
    where = tmp_path if request.param == "sqlite" else postgres_url()
    with open_store(where) as opened:
        yield opened


def pick(mass: float = 54.4, **more: object) -> FruitPicked:
    return FruitPicked(day=DAY, cultivar="Wealthy", mass=mass, block="Meadow", row=2, lot="crate 14", **more)  # type: ignore[arg-type]


def test_every_kind_comes_back_as_it_was_sent(store: RecordStore) -> None:
    sent = every_kind()
    assert {entry.KIND for entry in sent} == set(ENTRY_TYPES)
    store.append(sent)
    assert store.find([entry.identity for entry in sent]) == tuple(sent)
    for entry in sent:
        assert from_plain(to_plain(entry)) == entry


def test_a_second_sending_is_harmless_and_another_text_under_one_identity_is_told(store: RecordStore) -> None:
    one = pick()
    assert store.append([one]).saved == (one.identity,)
    mark = store.mark()
    assert store.append([one, one]).known == (one.identity,)
    assert store.append([replace(one, mass=99.0)]).differing == (one.identity,)
    assert store.mark() == mark
    assert store.entries(FruitPicked) == (one,)


def test_a_correction_stands_in_place_and_undoing_it_brings_the_first_back(store: RecordStore) -> None:
    one = pick()
    other = pick(50.0, corrects=one.identity)
    store.append([one, other])
    assert store.entries(FruitPicked) == (other,)
    undo(store, other, day=DAY)
    assert store.entries(FruitPicked) == (one,)
    (taken_back,) = store.entries(EntryKind.UNDO)
    undo(store, taken_back, day=DAY)
    assert store.entries(FruitPicked) == (other,)
    lines = store.history(kind=EntryKind.PICK)
    assert [(line.entry, line.standing, line.by) for line in lines] == [
        (one, Standing.CORRECTED, other.identity),
        (other, Standing.HOLDS, None),
    ]


def test_what_was_touched_is_told_once_and_only_where_it_holds(store: RecordStore) -> None:
    first, again, wrong = pick(), pick(12.0), pick(9.0, place=4)
    store.append([first, again, wrong])
    store.append([Withdrawn(day=DAY, corrects=wrong.identity)])
    assert store.touched() == {Touched(EntryKind.PICK, "Meadow", 2, None, "Wealthy")}
    store.append([replace(pick(), row=3, corrects=first.identity)])
    assert {one.row for one in store.touched()} == {2, 3}  # `again` still stands in row 2


def test_of_two_corrections_the_one_noted_last_holds_whatever_came_first(store: RecordStore) -> None:
    one = pick()
    later = pick(51.0, corrects=one.identity, noted=datetime(2031, 9, 16, 8, tzinfo=UTC))
    earlier = pick(52.0, corrects=one.identity, noted=datetime(2031, 9, 15, 8, tzinfo=UTC))
    store.append([one])
    store.append([later])
    store.append([earlier])
    assert store.entries(FruitPicked) == (later,)


def test_as_known_on_a_date_leaves_out_what_was_noted_after_it(store: RecordStore) -> None:
    virginia = timezone(timedelta(hours=-5))
    one = pick(noted=datetime(2031, 9, 14, 22, 30, tzinfo=virginia))  # 15 September in UTC
    mended = pick(50.0, corrects=one.identity, noted=datetime(2031, 9, 20, 7, tzinfo=virginia))
    store.append([one, mended])
    assert store.entries(FruitPicked, known_on=DAY - timedelta(days=1)) == ()
    assert store.entries(FruitPicked, known_on=DAY) == (one,)
    assert store.entries(FruitPicked, known_on=date(2031, 9, 20)) == (mended,)
    assert store.find([one.identity])[0].noted.utcoffset() == timedelta(hours=-5)


def test_entries_are_asked_for_by_what_they_name(store: RecordStore) -> None:
    trunk = TrunkMeasured(day=DAY, block="South", row=3, place=41, diameter=0.031)
    bloom = StageSeen(day=date(2031, 4, 28), cultivar="Gala", stage=SeenStage.FULL_BLOOM)
    dead = TreeChanged(day=DAY, block="South", row=3, place=41, event=TreeEvent.DIED)
    store.append([trunk, bloom, dead, pick()])
    assert store.entries(block="South", row=3, place=41) == (trunk, dead)
    assert store.entries(cultivar="Gala") == (bloom,)
    assert store.entries(lot="crate 14")[0].KIND is EntryKind.PICK
    assert store.entries(until=date(2031, 5, 1)) == (bloom,)
    assert store.entries(since=date(2031, 5, 1), kind=EntryKind.STAGE) == ()
    assert len(store.history(last=2)) == 2
    assert store.one(trunk.identity[:8]) == trunk
    with pytest.raises(NotAnEntry, match="no entry begins"):
        store.one("zz")


@pytest.mark.parametrize(
    ("entry", "field", "says"),
    [
        (pick(-1.0), "mass", "-1 kg does not fit: above 0 to 100,000 kg"),
        (TakeCounted(day=DAY, started=3, good=True), "good", "no whole number"),
        (pick(remark="a\x00b"), "remark", "control character"),
        (pick(identity="14"), "identity", "is a uuid"),
        (TakeCounted(day=DAY, started=3, good=4), "good", "no count"),
        (TreeChanged(day=DAY, event=TreeEvent.DIED, block="South", row=3), "place", "which tree"),
        (Withdrawn(day=DAY), "corrects", "which entry"),
        (TrunkMeasured(day=DAY, diameter=3.1), "diameter", "above 0 to 1,000 mm"),
        (pick(noted=datetime(2031, 9, 14)), "noted", "offset from UTC"),
        (pick(corrects="0b0e3a52-7c1f-4c3e-9f6a-1d2c3b4a5f60"), "corrects", "there is no entry"),
    ],
)
def test_what_cannot_be_an_entry_is_refused_and_its_batch_with_it(
    tmp_path: Path, entry: Entry, field: str, says: str
) -> None:
    with open_store(tmp_path) as store:
        with pytest.raises(NotAnEntry) as found:
            store.append([pick(), entry])
        assert [name for name, told in found.value.wrong if says in told] == [field]
        assert store.entries() == ()


def test_a_correction_is_of_the_same_kind(store: RecordStore) -> None:
    one = pick()
    store.append([one])
    with pytest.raises(NotAnEntry, match="same kind"):
        store.append([TrunkMeasured(day=DAY, diameter=0.03, corrects=one.identity)])


@pytest.mark.parametrize(
    ("plain", "says"),
    [
        ({"kind": "pik"}, "did you mean pick"),
        ({"kind": "pick", "day": "14/9/2031", "mass": 3}, "no date"),
        ({"kind": "pick", "day": "2031-09-14"}, "mass: it has to be said"),
        ({"kind": "pick", "day": "2031-09-14", "mass": "3 lb"}, "no number"),
        ({"kind": "pick", "day": "2031-09-14", "mass": 3, "cultivr": "Gala"}, "did you mean cultivar"),
        ({"kind": "pick", "day": "2031-09-14", "mass": True}, "no number"),
        (
            {"kind": "sample", "day": "2031-09-14", "of": "soil", "figures": [["pH", True, ""]]},
            "no figure of a laboratory",
        ),
    ],
)
def test_a_mapping_that_is_no_entry_is_told_field_by_field(plain: dict[str, object], says: str) -> None:
    with pytest.raises(NotAnEntry, match=says):
        from_plain(plain)


def test_every_field_says_what_it_is_and_figures_have_bounds() -> None:
    for kind in ENTRY_TYPES:
        for field in fields_of(kind).values():
            assert field.fact.says, (kind, field.name)
            assert field.sort is not object, (kind, field.name)
            if field.sort is float:
                assert field.bounds, (kind, field.name)


def test_a_file_that_is_no_database_is_told(tmp_path: Path) -> None:
    (tmp_path / "records.db").write_text("hello, this is a letter and no database at all" * 99)
    with pytest.raises(NotSaved, match="no database"):
        open_store(tmp_path)
    with pytest.raises(FileNotFoundError):
        open_store(tmp_path / "elsewhere", make=False)


def test_a_file_named_elsewhere_is_seen_from_the_orchards_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    orchard, anywhere = tmp_path / "orchard", tmp_path / "anywhere"
    for folder in (orchard, anywhere):
        folder.mkdir()
        monkeypatch.chdir(folder)
        (orchard / "records.url").write_text("sqlite:///kept.db\n", encoding="utf-8")
        with open_store(orchard) as store:
            store.append([pick()])
    assert (orchard / "kept.db").is_file()
    assert not (anywhere / "kept.db").exists()
    for none in ("sqlite://", "sqlite:///:memory:"):
        (orchard / "records.url").write_text(none, encoding="utf-8")
        with pytest.raises(NotSaved, match="names no file"):
            open_store(orchard)


def test_a_database_of_a_later_version_is_left_alone(tmp_path: Path) -> None:
    with open_store(tmp_path) as store, store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = 'entries_99'")
    with pytest.raises(NotSaved, match="later version"):
        open_store(tmp_path)


def test_where_nothing_can_be_written_the_records_can_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A backup on a stick, a full disk."""
    with open_store(tmp_path) as store:
        store.append(every_kind())
        kept = store.entries()

    def hindered(*_: object) -> None:
        raise sqlite3.OperationalError("attempt to write a readonly database")

    monkeypatch.setattr("topwire.records.opening._settled", hindered)
    with open_store(tmp_path, make=False) as store:
        assert store.entries() == kept
    log = tmp_path / "records.db-wal"
    for text, who_writes in ((b"", True), (b"entries of another writer", False)):
        log.write_bytes(text)  # what stands in it alone would be missed
        with pytest.raises(NotSaved, match="may not be written here"):
            open_store(tmp_path, make=who_writes)


def test_how_is_kept(store: RecordStore) -> None:
    store.append([pick(how=How.PHONE, who="Ann")])
    (found,) = store.entries(FruitPicked)
    assert (found.how, found.who) == (How.PHONE, "Ann")
