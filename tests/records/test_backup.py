"""A copy made while others write, and brought back; databases of every released schema open."""

import shutil
import sqlite3
import threading
from pathlib import Path

import pytest
from records.support import every_kind, postgres_url
from records.test_store import DAY, pick

from topwire.records.backup import backup, restore
from topwire.records.opening import SCHEMA, NotSaved
from topwire.records.store import open_store, undo

RELEASED = Path(__file__).parent / "released"


def test_a_copy_made_while_another_writes_is_consistent(tmp_path: Path) -> None:
    with open_store(tmp_path) as store, open_store(tmp_path) as other:
        store.append(every_kind())
        stop = threading.Event()

        def write() -> None:
            while not stop.is_set():
                one = pick()
                other.append([one, pick(50.0, corrects=one.identity)])

        writer = threading.Thread(target=write)
        writer.start()
        try:
            count = backup(store, tmp_path / "copy.db")
        finally:
            stop.set()
            writer.join()
    assert count >= len(every_kind())
    (tmp_path / "new").mkdir()
    with open_store(tmp_path / "new") as store:
        assert len(restore(store, tmp_path / "copy.db").saved) == count
        assert restore(store, tmp_path / "copy.db").saved == ()
        assert len(store.history()) == count
    assert sorted(path.name for path in tmp_path.iterdir() if "copy" in path.name) == ["copy.db"]


@pytest.mark.parametrize("source", ["sqlite", "postgresql"])
def test_what_was_withdrawn_stays_so_in_the_copy(tmp_path: Path, source: str) -> None:
    one, other = pick(), pick(3.0)
    with open_store(tmp_path if source == "sqlite" else postgres_url()) as store:
        store.append([one, other])
        undo(store, one, day=DAY)
        backup(store, tmp_path / "copy.db")
    (tmp_path / "new").mkdir()
    with open_store(tmp_path / "new") as store:
        restore(store, tmp_path / "copy.db")
        assert store.entries() == (other,)


def test_a_copy_is_never_written_over_and_a_wrong_one_is_told(tmp_path: Path) -> None:
    (tmp_path / "copy.db").write_text("a letter, and no database " * 200)
    with open_store(tmp_path) as store:
        with pytest.raises(FileExistsError):
            backup(store, tmp_path / "copy.db")
        with pytest.raises(
            NotSaved, match=r"copy\.db is no copy of records, or damaged .* The records are as they were"
        ):
            restore(store, tmp_path / "copy.db")
        (tmp_path / "empty.db").touch()
        with pytest.raises(NotSaved, match="it is empty"):
            restore(store, tmp_path / "empty.db")
        with pytest.raises(FileNotFoundError):
            restore(store, tmp_path / "other.db")


@pytest.mark.parametrize("path", sorted(RELEASED.glob("*.db")), ids=lambda path: path.stem)
def test_a_database_of_each_released_schema_opens_with_all_its_entries(tmp_path: Path, path: Path) -> None:
    shutil.copy(path, tmp_path / "records.db")
    with open_store(tmp_path) as store:
        kept = store.find([entry.identity for entry in store.entries()])
        assert {entry.KIND for entry in kept} | {"undo"} == {entry.KIND for entry in every_kind()}
        store.append([pick()])
    with sqlite3.connect(tmp_path / "records.db") as connection:
        assert connection.execute("SELECT version_num FROM alembic_version").fetchone() == (SCHEMA,)
    connection.close()


def test_the_first_schema_is_among_the_released() -> None:
    assert "entries_1" in {path.stem for path in RELEASED.glob("*.db")}
