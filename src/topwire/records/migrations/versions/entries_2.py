"""The index of kinds knows when an entry was noted: what was known on a day is counted without reading the entries."""

from alembic import op

revision = "entries_2"
down_revision = "entries_1"


def upgrade() -> None:
    op.drop_index("entry_of_kind", "entry")
    op.create_index("entry_of_kind", "entry", ["kind", "day", "known"])
