"""Alembic's entry: runs the steps on the connection that it was handed, within that one's transaction."""

from alembic import context

from leakdx.store.database.tables import VERSION_TABLE

context.configure(
    connection=context.config.attributes["connection"], version_table=VERSION_TABLE, transactional_ddl=True
)
context.run_migrations()
