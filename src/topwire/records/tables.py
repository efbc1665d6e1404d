"""The table of the records as SQLAlchemy Core sees it today; `migrations/` brings older databases to it."""

from sqlalchemy import (
    JSON,
    Column,
    Date,
    DateTime,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    SmallInteger,
    String,
    Table,
)
from sqlalchemy.sql import column

METADATA = MetaData()
# One line an entry. What all kinds share stands in columns; what only one kind has in `facts`, as JSON by the fields'
# names: a new kind of entry needs no migration, and a database still answers a query of the grower's own.
ENTRY = Table(
    "entry",
    METADATA,
    Column("sequence", Integer, primary_key=True, autoincrement=True),
    Column("identity", String(36), nullable=False, unique=True),
    Column("kind", String(20), nullable=False),
    Column("day", Date, nullable=False),
    Column("noted", DateTime, nullable=False),  # UTC
    Column("offset", SmallInteger, nullable=False),  # [min] of the sender's clock from UTC
    Column("known", Date, nullable=False),  # day of `noted` on the sender's clock
    Column("who", String, nullable=False),
    Column("how", String(10), nullable=False),
    # Looked at when the batch ends: a correction may be sent before what it corrects.
    Column("corrects", String(36), ForeignKey("entry.identity", deferrable=True, initially="DEFERRED")),
    Column("block", String, nullable=False),
    Column("row", Integer),
    Column("place", Integer),
    Column("cultivar", String, nullable=False),
    Column("lot", String, nullable=False),
    Column("remark", String, nullable=False),
    Column("facts", JSON, nullable=False),
    Index("entry_of_kind", "kind", "day", "known"),
    Index("entry_corrects", "corrects", sqlite_where=column("corrects").is_not(None),
          postgresql_where=column("corrects").is_not(None)),
    Index("entry_of_tree", "block", "row", "place"),
)  # fmt: skip
