"""What stands half typed on the pages of a case, one row a page; the only rows that are written over and deleted."""

from collections.abc import Iterator

import msgspec
from sqlalchemy import select
from sqlalchemy.engine import Connection

from leakdx.store.database import rows
from leakdx.store.database.tables import cases, drafts
from leakdx.store.database.transactions import Database, now
from leakdx.store.draft import Draft


def drafts_of(database: Database, key: int) -> dict[str, Draft]:
    """Page -> what stands half typed there, of the case of a key. One that is not as it was written is left out.

    It holds up nobody who opens the case; ``check`` names it. Raises StorageError.
    """
    with database.reading() as connection:
        found = connection.execute(select(drafts).where(drafts.c.case_key == key).order_by(drafts.c.page)).all()
    return {
        row.page: msgspec.json.decode(row.body, type=Draft) for row in found if is_whole(row.page, row.body, row.seal)
    }


def keep_draft(database: Database, key: int, page: str, draft: Draft | None) -> None:
    """Keep what stands half typed on a page, in place of what stood there; None: nothing does. Raises StorageError."""
    with database.overwriting() as connection:
        # Two windows on one case take turns.
        connection.execute(select(cases.c.key).where(cases.c.key == key).with_for_update())
        connection.execute(drafts.delete().where(drafts.c.case_key == key, drafts.c.page == page))
        if draft is not None:
            body = msgspec.json.encode(draft).decode()
            values = {"case_key": key, "page": page, "written": now(), "body": body, "seal": rows.seal(page, body)}
            connection.execute(drafts.insert().values(values))


def drop_drafts(connection: Connection, key: int) -> None:
    """Forget all that stands half typed in a case."""
    connection.execute(drafts.delete().where(drafts.c.case_key == key))


def is_whole(page: str, body: str, seal: str) -> bool:
    """Whether a row is as it was written."""
    return rows.seal(page, body) == seal


def broken_drafts(connection: Connection) -> Iterator[tuple[str, str]]:
    """Case and page of each that is not as it was written."""
    query = select(drafts, cases.c.id).join(cases, cases.c.key == drafts.c.case_key).order_by(cases.c.id, drafts.c.page)
    for row in connection.execute(query):
        if not is_whole(row.page, row.body, row.seal):
            yield row.id, row.page
