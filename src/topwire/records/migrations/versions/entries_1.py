"""First schema: one line an entry."""

import sqlalchemy as sa
from alembic import op

revision = "entries_1"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "entry",
        sa.Column("sequence", sa.Integer(), primary_key=True, autoincrement=True),
        sa.Column("identity", sa.String(36), nullable=False, unique=True),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("noted", sa.DateTime(), nullable=False),
        sa.Column("offset", sa.SmallInteger(), nullable=False),
        sa.Column("known", sa.Date(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("how", sa.String(10), nullable=False),
        sa.Column(
            "corrects", sa.String(36), sa.ForeignKey("entry.identity", deferrable=True, initially="DEFERRED")
        ),
        sa.Column("block", sa.String(), nullable=False),
        sa.Column("row", sa.Integer()),
        sa.Column("place", sa.Integer()),
        sa.Column("cultivar", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("remark", sa.String(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
    )
    op.create_index("entry_of_kind", "entry", ["kind", "day"])
    corrected = sa.text("corrects IS NOT NULL")
    op.create_index(
        "entry_corrects", "entry", ["corrects"], sqlite_where=corrected, postgresql_where=corrected
    )
    op.create_index("entry_of_tree", "entry", ["block", "row", "place"])
