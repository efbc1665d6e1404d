"""From a folder or a URL to an open database of today's schema."""

from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError, SQLAlchemyError

from topwire.records.place_kept import DATABASE, ELSEWHERE
from topwire.values.fault import Faults, FileNotice, fault, hindrance

SCHEMA = "entries_2"  # the newest; a test holds it against the migrations
_WAIT = 20.0  # [s] for another writer
_MOVING = 7_405_281  # number of PostgreSQL's advisory lock while a schema is moved on


class NotSaved(Exception):
    """The records cannot be read or written; `why` in the database's words, `str()` in ours."""

    def __init__(self, why: str) -> None:
        self.why = why.strip().splitlines()[0] if why.strip() else "no reason was given"
        Exception.__init__(self, _in_words(self.why))
        # As those who gather faults tell it: the machine's doing.
        self.notices: tuple[FileNotice, ...] = (hindrance("records", str(self)),)


class NoPlaceNamed(NotSaved, Faults):
    """What the grower wrote as the place of the records is none: a fault of theirs, whoever meets it."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.notices = (fault(ELSEWHERE, f"{self.why}."),)


_BRING = "Move it away and bring your copy: topwire records FOLDER --restore COPY"
_WORDS = {
    "disk is full": "there is no space left for the records. Nothing of it was saved; make room and try again.",
    "disk I/O error": "the records could not be written (no space, or the disk fails). Nothing of it was saved.",
    "database is locked": "another program holds the records. Nothing of it was saved; try again when it has ended.",
    "readonly": "the records may not be written here: look at the rights of records.db and its folder.",
    "unable to open": "records.db cannot be opened: look at the rights of the folder, or whether it is a file.",
    "not a database": f"records.db is no database. {_BRING}",
    "malformed": f"records.db is damaged. {_BRING}",
}


def _in_words(why: str) -> str:
    for sign, words in _WORDS.items():
        if sign in why:
            return words
    return f"the records cannot be reached: {why}."


_NO_PLACE = (
    "disk is full",
    "disk I/O error",
    "readonly",
    "unable to open",
)  # to write, which reading need not


def records_url(folder_or_url: Path | str) -> URL:
    """Where the records of an orchard are. Raises NoPlaceNamed where the URL is none."""
    if isinstance(folder_or_url, str) and "://" in folder_or_url:
        return _url(folder_or_url)
    folder = Path(folder_or_url)
    if (folder / ELSEWHERE).is_file():
        written = (folder / ELSEWHERE).read_text(encoding="utf-8", errors="replace").strip()
        return _beside(_url(written), folder)
    return URL.create("sqlite", database=str(folder / DATABASE))


def _url(written: str) -> URL:
    try:
        url = make_url(written)
    except ArgumentError:
        raise NoPlaceNamed(
            f"“{written[:60]}” is no URL of a database; as postgresql+psycopg://host/orchard"
        ) from None
    if url.get_backend_name() not in ("sqlite", "postgresql"):
        raise NoPlaceNamed(f"records are kept in SQLite or PostgreSQL, not in {url.get_backend_name()}")
    return url.set(drivername="postgresql+psycopg") if url.get_backend_name() == "postgresql" else url


def _beside(url: URL, folder: Path) -> URL:
    """A file named in the orchard's folder, seen from there; not from wherever a command is typed."""
    if url.get_backend_name() != "sqlite":
        return url
    if not url.database or url.database == ":memory:" or url.database.startswith("file:"):
        raise NoPlaceNamed(f"{ELSEWHERE} names no file to keep the records in; as sqlite:///records/kept.db")
    return url.set(database=str(folder.resolve() / url.database))


def connected(url: URL, *, make: bool) -> Engine:
    """An engine whose database has today's schema; to read alone where nothing can be written and none shall be made.

    Raises
    ------
    FileNotFoundError
        Where there is no database and none shall be made.
    NotSaved
        It cannot be opened, or a later version of topwire made it.
    """
    lite = url.get_backend_name() == "sqlite"
    if lite and not make and not Path(str(url.database)).exists():
        raise FileNotFoundError(str(url.database))
    try:
        engine = create_engine(url, connect_args={"timeout": _WAIT} if lite else {})
    except (NoSuchModuleError, ModuleNotFoundError):
        raise NotSaved("PostgreSQL needs the extra: pip install 'topwire[postgres]'") from None
    if lite:
        event.listen(engine, "connect", _settled)
        event.listen(engine, "begin", _begun)
    try:
        with engine.connect() as connection:
            found = _schema(connection)
        if found != SCHEMA:
            _move_on(engine, found)
    except SQLAlchemyError as error:
        engine.dispose()
        why = str(getattr(error, "orig", None) or error)
        if lite and not make and any(sign in why for sign in _NO_PLACE):
            as_it_stands = _to_read(Path(str(url.database)))
            if as_it_stands is not None:
                return as_it_stands
        raise NotSaved(why) from error
    except BaseException:
        engine.dispose()
        raise
    return engine


def _to_read(path: Path) -> Engine | None:
    """A database where nothing can be written, a backup on a stick say; None where it would not show all that was kept:
    of an older schema, or with entries that are in its log alone."""
    log = path.with_name(f"{path.name}-wal")
    if log.exists() and log.stat().st_size:
        return None
    as_it_is = {"mode": "ro", "immutable": "1", "uri": "true"}
    engine = create_engine(
        URL.create("sqlite", database=f"file:{quote(str(path.resolve()))}", query=as_it_is)
    )
    try:
        with engine.connect() as connection:
            if _schema(connection) == SCHEMA:
                return engine
    except SQLAlchemyError:
        pass
    engine.dispose()
    return None


def _settled(connection: Any, _: object) -> None:
    """SQLite as the records want it: foreign keys held, readers beside a writer, what is acknowledged on the disk."""
    connection.isolation_level = None  # transactions are begun below, not by the driver
    cursor = connection.cursor()
    # 64 MB of pages in memory: identities come in no order, and a large import touches all of their index.
    for setting in ("foreign_keys = ON", "journal_mode = WAL", "synchronous = FULL", "cache_size = -64000"):
        cursor.execute(f"PRAGMA {setting}")
    cursor.close()


def _begun(connection: Connection) -> None:
    # A writer takes its lock at once: one that begins as a reader could be refused half way.
    writes = connection.get_execution_options().get("writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _schema(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def _move_on(engine: Engine, found: str | None) -> None:
    """Run the migrations in one transaction; of several processes that want to, one does and the others wait."""
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", "topwire.records:migrations")
    known = {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}
    if found is not None and found not in known:
        raise NotSaved(
            f"these records were written by a later version of topwire (schema {found[:40]}); install that one"
        )
    upgrade: Callable[..., None] = command.upgrade
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _MOVING})
        if _schema(connection) != SCHEMA:
            config.attributes["connection"] = connection
            upgrade(config, "head")
