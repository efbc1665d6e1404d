"""A consistent copy of the records while others write, and a copy brought back: what is in it is appended."""

import os
import sqlite3
from pathlib import Path

from topwire.records.opening import NotSaved
from topwire.records.store import Appended, RecordStore, open_store


class NoCopy(NotSaved):
    """A copy that cannot be read; the records are as they were."""

    def __init__(self, copy: Path, why: str) -> None:
        super().__init__(why)
        self.args = (f"{copy} is no copy of records, or damaged ({self.why}). The records are as they were.",)


def backup(store: RecordStore, copy: Path) -> int:
    """Write every entry into a new SQLite file and look it through; entries in it.

    Raises
    ------
    FileExistsError
        A copy is never written over.
    NotSaved
        No space, no rights.
    """
    if copy.exists():
        raise FileExistsError(str(copy))
    beside = copy.with_name(f".{copy.name}.new")
    beside.unlink(missing_ok=True)
    try:
        if store.engine.dialect.name == "sqlite":
            _copied(store, beside)
        else:
            with open_store(f"sqlite:///{beside}") as made:
                made.append([line.entry for line in store.history()])
        with open_store(f"sqlite:///{beside}") as made:
            count = int(made.mark().partition(":")[0])
        with sqlite3.connect(beside) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")  # one file, no other beside it
            (found,) = connection.execute("PRAGMA integrity_check").fetchone()
        connection.close()
        if found != "ok":
            raise NotSaved(f"the copy does not read back: {found}")
        descriptor = os.open(beside, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        os.replace(beside, copy)
    except (OSError, sqlite3.Error) as error:
        raise NotSaved(str(error)) from error
    finally:
        beside.unlink(missing_ok=True)
    return count


def _copied(store: RecordStore, copy: Path) -> None:
    """Page by page, consistent while others write."""
    source = store.engine.raw_connection()
    target = sqlite3.connect(copy)
    try:
        assert isinstance(source.driver_connection, sqlite3.Connection)
        source.driver_connection.backup(target)
    finally:
        target.close()
        source.close()


def restore(store: RecordStore, copy: Path) -> Appended:
    """Append every entry of a copy that is not there; what is there stays. The copy itself is not written to.

    Raises
    ------
    FileNotFoundError
    NoCopy
        It is no database, damaged, or one of a later version.
    NotSaved
    """
    if not copy.is_file():
        raise FileNotFoundError(str(copy))
    if not copy.stat().st_size:
        raise NoCopy(copy, "it is empty")
    working = copy.with_name(f".{copy.name}.read")
    try:
        working.write_bytes(copy.read_bytes())
        try:
            with open_store(f"sqlite:///{working}") as kept:
                entries = [line.entry for line in kept.history()]
        except NotSaved as error:
            raise NoCopy(copy, error.why) from error
        return store.append(entries)
    except OSError as error:
        raise NotSaved(str(error)) from error
    finally:
        for left in working.parent.glob(f"{working.name}*"):
            left.unlink()
