"""The version of a store's tables, and the way up to this program's."""

from pathlib import Path
from typing import Any

from sqlalchemy import text
from sqlalchemy.engine import Connection

from leakdx.errors import StorageError
from leakdx.store.database.place import StorePlace
from leakdx.store.database.tables import VERSION_TABLE

FOLDER = Path(__file__).parent / "migrations"
NEWEST = 4
"""The version that this program reads and writes; the number of the last module of migrations/versions."""


def version_of(connection: Connection) -> int:
    """The version of the tables: of SQLite's own mark, or of Alembic's table; 0 where there is none."""
    if connection.dialect.name == "sqlite":
        return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
    if connection.execute(text("SELECT to_regclass(:name)"), {"name": VERSION_TABLE}).scalar() is None:
        return 0
    return int(connection.exec_driver_sql(f"SELECT version_num FROM {VERSION_TABLE}").scalar_one())


def refuse_newer(place: StorePlace, version: int) -> None:
    """StorageError where a newer leakdx wrote the store."""
    if version > NEWEST:
        raise StorageError(
            f"{place.name}: was written by a newer leakdx (its tables are version {version}, this program knows "
            f"{NEWEST}) and was not touched; bring this leakdx up to date"
        )


def upgrade(connection: Connection, version: int = NEWEST) -> None:
    """Bring the tables to a version, within the transaction of the connection."""
    # Only where there is something to migrate; Alembic costs a fifth of a second.
    from alembic import command
    from alembic.config import Config

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    command.upgrade(config, f"{version:04}")
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA user_version = {version}")


def tables_of(connection: Connection) -> Any:
    """The tables as they stand, whatever their version."""
    from sqlalchemy import MetaData

    found = MetaData()
    found.reflect(connection)
    return found
