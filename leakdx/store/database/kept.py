"""Cases as rows hold them: read, put in and added to within a transaction."""

from msgspec import Struct
from sqlalchemy import and_, select, update
from sqlalchemy.engine import Connection
from sqlalchemy.exc import IntegrityError

from leakdx.case import Case, LogEntry
from leakdx.errors import ChangedError, StorageError
from leakdx.knowledge.model import Knowledge
from leakdx.store.casefile import parse_case
from leakdx.store.caseyaml import head_text
from leakdx.store.database import rows
from leakdx.store.database.tables import cases, entries, heads
from leakdx.store.database.transactions import now


class Kept(Struct, frozen=True):
    """A case as it stands in the store. ``entries`` and ``head``: how many there are, which a writer must have seen."""

    key: int
    id: str
    entries: int
    head: int
    head_text: str
    bodies: tuple[str, ...]
    seal: str
    """Of the last entry; '' where there is none."""

    @property
    def text(self) -> str:
        """The case as a case file."""
        return rows.file_text(self.head_text, self.bodies)


def parsed(kept: Kept, knowledge: Knowledge) -> Case:
    """The case that rows mean to a knowledge. Raises CaseError."""
    return parse_case(kept.text.encode(), f"case {kept.id}", knowledge)


def read_kept(connection: Connection, id: str, *, to_write: bool = False) -> Kept | str | None:
    """A case; None where there is none, and what is wrong where it is not as it was written.

    ``to_write``: nobody else adds to it until the transaction ends.
    """
    query = select(cases).where(cases.c.folded == rows.folded(id))
    row = connection.execute(query.with_for_update() if to_write else query).one_or_none()
    if row is None:
        return None
    head = connection.execute(
        select(heads).where(heads.c.case_key == row.key, heads.c.revision == row.head)
    ).one_or_none()
    if head is None or rows.seal(str(row.head), head.text) != head.seal:
        return f"the head of case {row.id}"
    log = connection.execute(
        select(entries.c.body, entries.c.seal).where(entries.c.case_key == row.key).order_by(entries.c.number)
    ).all()
    bodies, seals = tuple(entry.body for entry in log), tuple(entry.seal for entry in log)
    broken = rows.broken_at(bodies, seals)
    if broken is not None or len(bodies) != row.entries:
        return f"entry {broken or len(bodies) + 1} of case {row.id}"
    return Kept(row.key, row.id, row.entries, row.head, head.text, bodies, seals[-1] if seals else "")


def insert_case(connection: Connection, store: str, case: Case) -> int:
    """Put a whole case in; its key."""
    written = now()
    times = [entry.at.isoformat() for entry in case.log if entry.at is not None]
    values = {
        "id": case.id,
        "folded": rows.folded(case.id),
        "entries": len(case.log),
        "head": 1,
        "began": min(times, default=written),
        "changed": written,
        **rows.drawn_from(case),
    }
    try:
        key = int(connection.execute(cases.insert().values(values).returning(cases.c.key)).scalar_one())
    except IntegrityError as error:
        raise StorageError(f"there is a case '{case.id}' in {store} already; give this one another id") from error
    connection.execute(heads.insert().values(rows.head_row(key, case, 1, written)))
    if case.log:
        connection.execute(entries.insert(), list(rows.entry_rows(key, case.log, "", written)))
    return key


def append_to(connection: Connection, store: str, old: Kept, new: Case, added: tuple[LogEntry, ...]) -> None:
    """Add to a case; ChangedError where it is no longer as ``old`` says. The row of the case is held meanwhile."""
    written = now()
    head = old.head if head_text(new) == old.head_text else old.head + 1
    as_seen = and_(cases.c.key == old.key, cases.c.entries == old.entries, cases.c.head == old.head)
    values = {"entries": old.entries + len(added), "head": head, "changed": written, **rows.drawn_from(new)}
    if connection.execute(update(cases).where(as_seen).values(values)).rowcount != 1:
        count = connection.execute(select(cases.c.entries).where(cases.c.key == old.key)).scalar_one_or_none()
        since = f"; its entries from {old.entries + 1} to {count} are theirs" if count and count > old.entries else ""
        wrong = "not saved, someone else has written to it meanwhile"
        raise ChangedError(f"case {old.id}: {wrong}{since}; look at it again and answer once more")
    if head != old.head:
        connection.execute(heads.insert().values(rows.head_row(old.key, new, head, written)))
    if added:
        connection.execute(entries.insert(), list(rows.entry_rows(old.key, added, old.seal, written)))
