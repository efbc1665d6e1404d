"""Run by alembic: moves the database behind the connection it was handed to the newest schema, in its transaction."""

from alembic import context

from topwire.records.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"], target_metadata=METADATA, transactional_ddl=False
)
context.run_migrations()
