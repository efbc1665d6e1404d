"""The store of the records: entries appended, never changed, in SQLite beside the plan or in PostgreSQL.

    with open_store(folder) as store:              # folder/records.db; made where there is none
        store.append([FruitPicked(day=..., cultivar="Wealthy", mass=54.4, block="Meadow", row=2, lot="crate 14")])
        picks = store.entries(FruitPicked, since=date(2031, 1, 1), until=date(2031, 9, 14))
        then = store.entries(StageSeen, known_on=date(2031, 4, 20))   # as it was known that evening
        for line in store.history(block="South", row=3, place=41): ...   # a tree's life, corrections included

- `open_store(folder)` takes the orchard's folder: its `records.db`, or the database whose URL stands alone in its
  `records.url`, a file there as seen from the orchard. It also takes a URL: `sqlite:///file`,
  `postgresql+psycopg://...` (extra `postgres`).
- `append` is one transaction: all of them are kept, durably, when it returns, or none. Entries that are there already
  (same identity) are left as they are, so sending again is harmless.
- `entries` gives what holds: corrected and withdrawn entries are left out, and with `known_on` only what had been noted
  by then counts, corrections too. In the order of `day`, then of saving. Filters are done by the database: ask for one
  class, a span of days, a cultivar, and 200,000 entries are no burden.
- `mark()` changes with every entry saved: what was computed under the same mark need not be computed again.
- Several processes may read and write at once; a writer waits up to 20 s for another.

Everything that keeps an entry from being saved is a `NotSaved` with words for the grower; a wrong entry is a
`NotAnEntry` (records/form.py), and nothing of its batch is kept.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from operator import itemgetter
from pathlib import Path
from typing import Any, NamedTuple, Self, TypeVar, overload

from sqlalchemy import Connection, Engine, Select, String, cast, func, insert, select
from sqlalchemy.dialects import postgresql
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from topwire.records.entries import Entry, EntryKind, How, Withdrawn
from topwire.records.form import NotAnEntry, check, same
from topwire.records.kept_row import entry_of, row_of
from topwire.records.opening import NoPlaceNamed, NotSaved, connected, records_url
from topwire.records.place_kept import ELSEWHERE
from topwire.records.tables import ENTRY

E = TypeVar("E", bound=Entry)
_BEGINNING = re.compile(r"[0-9a-f-]{1,36}", re.ASCII)  # of an identity
_ASKED_AT_ONCE = 500  # identities in one question; SQLite takes 999 and more


@dataclass(frozen=True)
class Appended:
    """What came of entries sent.

    Attributes
    ----------
    saved : identities kept now
    known : identities that were there already, the very same
    differing : identities that were there already and say something else; what was there stays
    """

    saved: tuple[str, ...]
    known: tuple[str, ...] = ()
    differing: tuple[str, ...] = ()


class Standing(StrEnum):
    """How an entry stands today."""

    HOLDS = "holds"
    CORRECTED = "corrected"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True)
class HistoryLine:
    """One entry as it was sent, and what became of it; `by` is the identity of what corrected or withdrew it."""

    entry: Entry
    standing: Standing
    by: str | None = None


class Touched(NamedTuple):
    """What an entry is of, and where: a tree, a row (`place` None), a block (`row` None), a cultivar."""

    kind: EntryKind
    block: str
    row: int | None
    place: int | None
    cultivar: str


class RecordStore:
    """The records of one orchard; made by `open_store`."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        self._engine.dispose()

    @property
    def engine(self) -> Engine:
        """The database's engine, for backup and for questions of one's own; writing goes through `append`."""
        return self._engine

    def append(self, entries: Iterable[Entry], *, checked: bool = False) -> Appended:
        """Keep all of `entries`, or none.

        Parameters
        ----------
        checked : `form.check` has passed each of them already

        Raises
        ------
        NotAnEntry
            Where one of them cannot be, or corrects what is not there or is of another kind.
        NotSaved
            No space, no rights, the database is held by another or is none.
        """
        sent: dict[str, Entry] = {}
        for entry in entries:
            before = sent.setdefault(entry.identity, entry)
            if before is not entry and not same(before, entry):
                raise NotAnEntry((("identity", f"{entry.identity} is sent twice and says two things"),))
        for entry in () if checked else sent.values():
            check(entry)
        with _told(), self._engine.connect().execution_options(writes=True) as connection, connection.begin():
            there = _by_identity(connection, list(sent))
            new = [entry for identity, entry in sent.items() if identity not in there]
            _check_targets(connection, new, sent)
            if new:
                _insert(connection, new)
        differing = tuple(identity for identity, found in there.items() if not same(found, sent[identity]))
        return Appended(
            tuple(entry.identity for entry in new),
            tuple(identity for identity in there if identity not in differing),
            differing,
        )

    @overload
    def entries(
        self,
        kind: type[E],
        *,
        since: date | None = None,
        until: date | None = None,
        known_on: date | None = None,
        cultivar: str | None = None,
        block: str | None = None,
        row: int | None = None,
        place: int | None = None,
        lot: str | None = None,
    ) -> tuple[E, ...]: ...
    @overload
    def entries(
        self,
        kind: EntryKind | None = None,
        *,
        since: date | None = None,
        until: date | None = None,
        known_on: date | None = None,
        cultivar: str | None = None,
        block: str | None = None,
        row: int | None = None,
        place: int | None = None,
        lot: str | None = None,
    ) -> tuple[Entry, ...]: ...
    def entries(
        self,
        kind: EntryKind | type[Entry] | None = None,
        *,
        since: date | None = None,
        until: date | None = None,
        known_on: date | None = None,
        cultivar: str | None = None,
        block: str | None = None,
        row: int | None = None,
        place: int | None = None,
        lot: str | None = None,
    ) -> tuple[Entry, ...]:
        """Entries that hold, by day.

        Parameters
        ----------
        kind : a class or its EntryKind; None = all kinds but the undoing ones
        since, until : first and last `day`, inclusive
        known_on : leave out what was noted after this day
        cultivar, block, row, place, lot : only those that name it
        """
        asked = select(ENTRY).order_by(ENTRY.c.day, ENTRY.c.sequence)
        if kind is None:
            asked = asked.where(ENTRY.c.kind != EntryKind.UNDO)
        else:
            asked = asked.where(ENTRY.c.kind == str(kind if isinstance(kind, EntryKind) else kind.KIND))
        if since is not None:
            asked = asked.where(ENTRY.c.day >= since)
        if until is not None:
            asked = asked.where(ENTRY.c.day <= until)
        asked = _narrowed(asked, known_on, cultivar=cultivar, block=block, row=row, place=place, lot=lot)
        with _told(), self._engine.connect() as connection:
            gone = _replaced(connection, known_on)
            return tuple(
                entry_of(line)
                for line in connection.execute(asked).mappings()
                if line["identity"] not in gone
            )

    def history(
        self,
        *,
        kind: EntryKind | None = None,
        cultivar: str | None = None,
        block: str | None = None,
        row: int | None = None,
        place: int | None = None,
        last: int | None = None,
    ) -> tuple[HistoryLine, ...]:
        """Every entry as it was sent, corrected and withdrawn ones with what became of them, in the order of saving.

        Parameters
        ----------
        kind, cultivar, block, row, place : only those that name it, and what corrects or withdraws them
        last : no more than so many, the newest
        """
        asked = select(ENTRY).order_by(ENTRY.c.sequence.desc())
        if kind is not None:
            asked = asked.where(ENTRY.c.kind == str(kind))
        asked = _narrowed(asked, None, cultivar=cultivar, block=block, row=row, place=place)
        if last is not None:
            asked = asked.limit(last)
        with _told(), self._engine.connect() as connection:
            gone = _replaced(connection, None)
            lines = [entry_of(line) for line in connection.execute(asked).mappings()]
        made = []
        for entry in reversed(lines):
            by = gone.get(entry.identity)
            standing = Standing.HOLDS if by is None else Standing.WITHDRAWN if by[1] else Standing.CORRECTED
            made.append(HistoryLine(entry, standing, None if by is None else by[0]))
        return tuple(made)

    def touched(self) -> frozenset[Touched]:
        """What entries that hold are about: each kind, place and cultivar once."""
        about = ENTRY.c.kind, ENTRY.c.block, ENTRY.c.row, ENTRY.c.place, ENTRY.c.cultivar
        named = select(ENTRY.c.corrects).where(ENTRY.c.corrects.is_not(None))
        with _told(), self._engine.connect() as connection:
            gone = _replaced(connection, None)
            free = select(*about).where(ENTRY.c.kind != EntryKind.UNDO, ENTRY.c.identity.not_in(named))
            found = [*connection.execute(free.distinct())]
            once = select(*about, ENTRY.c.identity).where(
                ENTRY.c.kind != EntryKind.UNDO, ENTRY.c.identity.in_(named)
            )
            found += [line[:-1] for line in connection.execute(once) if line.identity not in gone]
        return frozenset(Touched(EntryKind(line[0]), *line[1:]) for line in found)

    def find(self, identities: Sequence[str]) -> tuple[Entry, ...]:
        """The entries of these identities as they were sent, whether or not they hold; unknown ones are left out."""
        with _told(), self._engine.connect() as connection:
            found = _by_identity(connection, identities)
        return tuple(found[identity] for identity in identities if identity in found)

    def one(self, beginning: str) -> Entry:
        """The entry whose identity begins so, as people copy it. Raises NotAnEntry where none or many do."""
        if not _BEGINNING.fullmatch(beginning):
            says = f"no entry begins with “{ascii(beginning[:40])[1:-1]}”; copy its first signs, as 3fa2c1d0"
            raise NotAnEntry((("identity", says),))
        asked = select(ENTRY).where(ENTRY.c.identity.startswith(beginning, autoescape=True)).limit(2)
        with _told(), self._engine.connect() as connection:
            found = [entry_of(line) for line in connection.execute(asked).mappings()]
        if len(found) != 1:
            says = (
                f"more than one entry begins with {beginning}"
                if found
                else f"no entry begins with {beginning}"
            )
            raise NotAnEntry((("identity", says),))
        return found[0]

    def identities(self, kind: EntryKind) -> frozenset[str]:
        """Of all entries of a kind ever sent, holding or not."""
        with _told(), self._engine.connect() as connection:
            return frozenset(connection.scalars(select(ENTRY.c.identity).where(ENTRY.c.kind == str(kind))))

    def mark(self) -> str:
        """What the store holds, in few signs: changes with every entry saved."""
        last = select(ENTRY.c.sequence, ENTRY.c.identity).order_by(ENTRY.c.sequence.desc()).limit(1)
        with _told(), self._engine.connect() as connection:
            count = connection.scalar(select(func.count()).select_from(ENTRY))
            found = connection.execute(last).first()
        return f"{count}:{found[1]}" if found else "0"

    def days_and_facts(
        self, kind: type[Entry], *, since: date, until: date, known_on: date
    ) -> tuple[tuple[date, Mapping[str, Any]], ...]:
        """Days of entries that hold with what only their kind has, in SI, each pair once however often it was noted:
        for who asks whether something was seen, not where."""
        facts = cast(ENTRY.c.facts, String)
        asked = select(ENTRY.c.day, facts).distinct().order_by(ENTRY.c.day)
        asked = asked.where(ENTRY.c.kind == str(kind.KIND), ENTRY.c.day >= since, ENTRY.c.day <= until)
        asked = asked.where(ENTRY.c.known <= known_on)
        with _told(), self._engine.connect() as connection:
            gone = list(_replaced(connection, known_on))
            for start in range(0, len(gone), _ASKED_AT_ONCE):
                asked = asked.where(ENTRY.c.identity.not_in(gone[start : start + _ASKED_AT_ONCE]))
            return tuple((day, json.loads(written)) for day, written in connection.execute(asked))

    def mark_of(self, kinds: Sequence[type[Entry]], *, until: date, known_on: date) -> str:
        """The same of entries of some kinds up to a day, as known on another; corrections of all kinds count."""
        of_kinds = ENTRY.c.kind.in_([str(kind.KIND) for kind in kinds])
        asked = select(func.count(), func.max(ENTRY.c.sequence)).where(ENTRY.c.known <= known_on)
        with _told(), self._engine.connect() as connection:
            own = connection.execute(asked.where(of_kinds, ENTRY.c.day <= until)).one()
            corrections = connection.execute(asked.where(ENTRY.c.corrects.is_not(None))).one()
        return f"{own[0]}:{own[1]}:{corrections[0]}:{corrections[1]}"


def open_store(folder_or_url: Path | str, *, make: bool = True) -> RecordStore:
    """The records of the orchard in a folder, or behind a URL; the schema moved on where it is an older one.

    Parameters
    ----------
    make : make the database where there is none; False = raise FileNotFoundError then, and where nothing can be written
        be content to read

    Raises
    ------
    NotSaved
        It cannot be opened: no rights, no database, one of a later version, no server; or records.url names none.
    """
    try:
        return RecordStore(connected(records_url(folder_or_url), make=make))
    except FileNotFoundError as missing:
        if isinstance(folder_or_url, Path) and (folder_or_url / ELSEWHERE).is_file():
            # A slip in its name would be an orchard without records.
            raise NoPlaceNamed(
                f"there is no file {missing}; topwire note makes it, where its folder is"
            ) from None
        raise


def undo(store: RecordStore, *entries: Entry, day: date, who: str = "", how: How = How.DESK) -> Appended:
    """Take back entries, all or none. Undoing what undid an earlier one makes that one hold again."""
    named = dict.fromkeys(entry.identity for entry in entries)
    return store.append([Withdrawn(day=day, corrects=identity, who=who, how=how) for identity in named])


@contextmanager
def _told() -> Iterator[None]:
    try:
        yield
    except SQLAlchemyError as error:
        original = error.orig if isinstance(error, DBAPIError) else error
        raise NotSaved(str(original)) from error


def _narrowed(asked: Select[Any], known_on: date | None, **named: str | int | None) -> Select[Any]:
    for name, value in named.items():
        if value is not None:
            asked = asked.where(ENTRY.c[name] == value)
    return asked if known_on is None else asked.where(ENTRY.c.known <= known_on)


def _replaced(connection: Connection, known_on: date | None) -> dict[str, tuple[str, bool]]:
    """What no longer holds: by its identity, what replaced it and whether that withdrew it.

    Of several corrections of one entry the one noted last holds, on every machine the same.
    """
    asked = select(ENTRY.c.identity, ENTRY.c.corrects, ENTRY.c.kind, ENTRY.c.noted).where(
        ENTRY.c.corrects.is_not(None)
    )
    if known_on is not None:
        asked = asked.where(ENTRY.c.known <= known_on)
    lines = sorted(connection.execute(asked), key=lambda line: (line.noted, line.identity), reverse=True)
    by_target: dict[str, list[Any]] = {}
    for line in lines:
        by_target.setdefault(line.corrects, []).append(line)
    decided: dict[str, str | None] = {}  # identity -> what replaced it; None where it holds

    def replaced_by(identity: str) -> str | None:
        # An entry is gone when any that names it holds; without recursion, for chains may be long.
        waiting = [identity]
        while waiting:
            at = waiting[-1]
            over = [line.identity for line in by_target.get(at, ())]
            open_ = [one for one in over if one not in decided]
            if open_:
                waiting.extend(open_)
                continue
            decided[at] = next((one for one in over if decided[one] is None), None)
            waiting.pop()
        return decided[identity]

    withdraws = {line.identity for line in lines if line.kind == EntryKind.UNDO}
    gone: dict[str, tuple[str, bool]] = {}
    for target, over in by_target.items():
        holding = [line.identity for line in over if replaced_by(line.identity) is None]
        if holding:
            gone[target] = (holding[0], holding[0] in withdraws)
            for rival in holding[1:]:
                if rival not in withdraws:
                    gone[rival] = (holding[0], holding[0] in withdraws)
    return gone


def _insert(connection: Connection, new: Sequence[Entry]) -> None:
    if connection.dialect.name != "sqlite":
        kept = postgresql.insert(ENTRY).on_conflict_do_nothing(index_elements=["identity"])
        connection.execute(kept, [row_of(entry) for entry in new])
        return
    # The statement is Core's; its values are bound here, a third quicker for 100,000 of them. The writer's lock is
    # held: what was not there above is not there now.
    columns = list(row_of(new[0]))
    statement = insert(ENTRY).compile(dialect=connection.dialect, column_keys=columns)
    take = itemgetter(*(statement.positiontup or columns))
    rows = []
    for entry in new:
        row = row_of(entry)
        row["facts"] = json.dumps(row["facts"])
        row["day"], row["known"] = row["day"].isoformat(), row["known"].isoformat()
        row["noted"] = row["noted"].isoformat(" ", "microseconds")
        rows.append(take(row))
    connection.exec_driver_sql(str(statement), rows)


def _check_targets(connection: Connection, new: Sequence[Entry], sent: dict[str, Entry]) -> None:
    wanted = [entry.corrects for entry in new if entry.corrects is not None and entry.corrects not in sent]
    there = _by_identity(connection, wanted) | sent
    for entry in new:
        if entry.corrects is None:
            continue
        target = there.get(entry.corrects)
        if target is None:
            raise NotAnEntry((("corrects", f"there is no entry {entry.corrects}"),))
        if entry.KIND not in (target.KIND, EntryKind.UNDO):
            says = f"{entry.corrects} is of the kind {target.KIND}; a correction is of the same kind"
            raise NotAnEntry((("corrects", says),))


def _by_identity(connection: Connection, identities: Sequence[str]) -> dict[str, Entry]:
    found = {}
    for start in range(0, len(identities), _ASKED_AT_ONCE):
        some = identities[start : start + _ASKED_AT_ONCE]
        for line in connection.execute(select(ENTRY).where(ENTRY.c.identity.in_(some))).mappings():
            found[line["identity"]] = entry_of(line)
    return found
