"""Cases in the store: begun, read, and added to, each writing whole and none over another."""

import secrets
from collections.abc import Callable
from functools import reduce

from msgspec import Struct, structs
from sqlalchemy import and_, select, update
from sqlalchemy.engine import Connection
from sqlalchemy.exc import IntegrityError

from leakdx.case import Case, LogEntry
from leakdx.clean import clean_line
from leakdx.errors import CaseError, ChangedError, StorageError
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.store.casefile import parse_case
from leakdx.store.caseyaml import case_text, entry_text, head_text
from leakdx.store.database import rows
from leakdx.store.database.connect import Database, now, open_database
from leakdx.store.database.place import store_place
from leakdx.store.database.tables import cases, entries, heads
from leakdx.store.database.words import damaged
from leakdx.store.source import KnowledgeSource

_LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"
"""Without i, l, o and u, which are misread."""


_Source = Callable[[], KnowledgeSource]


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


def open_store(given: str | None = None, *, make: bool = True) -> "CaseStore":
    """The store of a URL, of LEAKDX_STORE, or the usual one; where there is none it is made, or refused.

    Raises UsageError, StorageError.
    """
    place = store_place(given)
    if not make and place.path is not None and not place.path.exists():
        raise StorageError(f"{place.name}: there is no case store yet; the first 'leakdx ask' makes one")
    return CaseStore(open_database(place))


def new_id() -> str:
    """An id for a new case, short enough to be called across a shop and never given twice."""
    drawn = "".join(secrets.choice(_LETTERS) for _ in range(8))
    return f"{drawn[:4]}-{drawn[4:]}"


class CaseStore:
    """All cases of a shop. Every method raises StorageError in one sentence where the store cannot do it."""

    def __init__(self, database: Database) -> None:
        self.database = database

    @property
    def name(self) -> str:
        """Where it is, without a password."""
        return self.database.place.name

    def begin(self, case: Case) -> None:
        """Take a new case in, with all its entries. An id that is taken is refused."""
        rows.refuse_odd_id(case.id)
        with self.database.writing() as connection:
            insert_case(connection, self.name, case)

    def meant(self, word: str) -> str:
        """The id that a typed word means: the id itself, or a beginning that no other shares."""
        typed = rows.folded(word)
        with self.database.reading() as connection:
            found = connection.execute(
                select(cases.c.id, cases.c.folded)
                .where(cases.c.folded >= typed, cases.c.folded < typed + "\U0010ffff")
                .order_by(cases.c.folded)
                .limit(6)
            ).all()
        near = [row.id for row in found if row.folded.startswith(typed)]
        if near and (found[0].folded == typed or len(near) == 1) and typed:
            return str(near[0])
        shown = clean_line(word)[:40]
        if near and typed:
            raise StorageError(f"'{shown}' can mean several cases; type more of one: {', '.join(near)}")
        right = "'leakdx cases list' shows what there is, and the name of a case file ends in .yaml"
        raise StorageError(f"there is no case '{shown}' in {self.name}; {right}")

    def kept(self, id: str) -> Kept:
        """The case of exactly this id, as it stands; a damaged one is refused with the place of the damage."""
        with self.database.reading() as connection:
            found = read_kept(connection, id)
        if found is None:
            raise StorageError(f"there is no case '{clean_line(id)[:40]}' in {self.name}")
        if isinstance(found, str):
            raise damaged(self.database.place, found)
        return found

    def case(self, id: str, knowledge: Knowledge) -> Case:
        """The case of an id. Raises CaseError where this knowledge cannot read it."""
        return parsed(self.kept(id), knowledge)

    def home(self, id: str, knowledge: Knowledge, source: _Source | None = None) -> "StoredCase":
        """The case of an id, to go on with. ``source``: gives that of the knowledge, to keep it with what is shown."""
        return StoredCase(self, self.kept(id), knowledge, source)

    def begin_home(self, knowledge: Knowledge, id: str | None = None, source: _Source | None = None) -> "StoredCase":
        """A new case without an entry, to go on with."""
        case = Case(id=id or new_id(), complaint=knowledge.complaint)
        self.begin(case)
        return self.home(case.id, knowledge, source)

    def append(self, old: Kept, new: Case, added: tuple[LogEntry, ...]) -> None:
        """Add entries behind those of ``old``, and the head where it differs; ChangedError where others wrote since."""
        with self.database.writing() as connection:
            append_to(connection, self.name, old, new, added)


class StoredCase:
    """One case of a store, saved answer by answer (a CaseHome)."""

    def __init__(self, store: CaseStore, kept: Kept, knowledge: Knowledge, source: _Source | None = None) -> None:
        self.store = store
        self._kept = kept
        self._source = source
        self._knowledge = knowledge
        self._case = parsed(kept, knowledge)

    @property
    def case(self) -> Case:
        """The case as last saved or read."""
        return self._case

    @property
    def name(self) -> str:
        """Its id."""
        return self._kept.id

    def reload(self) -> Case:
        """Read it again, with what others have written."""
        self._kept = self.store.kept(self._kept.id)
        self._case = parsed(self._kept, self._knowledge)
        return self._case

    def shown(self, diagnosis: Diagnosis) -> None:
        """Keep that this is shown, with the knowledge behind it. Raises StorageError."""
        from leakdx.store.database.shown import keep_shown

        if self._source is not None:
            keep_shown(self.store, self._kept, diagnosis, self._source())

    def save(self, case: Case) -> None:
        """Add what is new, durably; nothing that stands can be changed.

        Raises CaseError where it could not be read again, ChangedError where others wrote meanwhile, StorageError.
        """
        old = self._case
        if case == old:
            return
        if case.log[: len(old.log)] != old.log or case.id != old.id:
            wrong = "an entry that stands cannot be changed"
            raise StorageError(f"case {old.id}: {wrong}; withdraw it and write a new one")
        self._refuse_unreadable(case)
        self.store.append(self._kept, case, case.log[len(old.log) :])
        self._kept, self._case = self._grown(case), case

    def _grown(self, case: Case) -> Kept:
        """What stands in the store once ``case`` was saved."""
        old, text = self._kept, head_text(case)
        bodies = (*old.bodies, *(entry_text(entry) for entry in case.log[len(old.bodies) :]))
        return structs.replace(
            old,
            entries=len(bodies),
            head=old.head if text == old.head_text else old.head + 1,
            head_text=text,
            bodies=bodies,
            seal=reduce(rows.seal, bodies[len(old.bodies) :], old.seal),
        )

    def _refuse_unreadable(self, case: Case) -> None:
        """CaseError, with the first fault, for what could not be read again."""
        try:
            again = parse_case(case_text(case).encode(), f"case {case.id}", self._knowledge)
        except CaseError as error:
            raise CaseError(f"not saved, it could not be read again: {str(error).splitlines()[0]}") from error
        if again != case:
            raise CaseError(f"case {case.id}: not saved, it would be read as something else")


def parsed(kept: Kept, knowledge: Knowledge) -> Case:
    """The case that rows mean to a knowledge. Raises CaseError."""
    return parse_case(kept.text.encode(), f"case {kept.id}", knowledge)


# -- within a transaction -----------------------------------------------------------------------------------


def read_kept(connection: Connection, id: str) -> Kept | str | None:
    """A case; None where there is none, and what is wrong where it is not as it was written."""
    row = connection.execute(select(cases).where(cases.c.folded == rows.folded(id))).one_or_none()
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
