"""Cases in the store: begun, read, and added to, each writing whole and none over another."""

import secrets
from collections.abc import Callable
from functools import reduce

from msgspec import structs
from sqlalchemy import select

from leakdx.case import Case, LogEntry
from leakdx.clean import clean_line
from leakdx.errors import CaseError, StorageError
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.store.casefile import parse_case
from leakdx.store.caseyaml import case_text, entry_text, head_text
from leakdx.store.database import rows
from leakdx.store.database.connect import open_database
from leakdx.store.database.drafts import drafts_of, keep_draft
from leakdx.store.database.kept import Kept, append_to, insert_case, parsed, read_kept
from leakdx.store.database.place import store_place
from leakdx.store.database.shown import keep_shown
from leakdx.store.database.tables import cases
from leakdx.store.database.transactions import Database
from leakdx.store.database.words import damaged
from leakdx.store.draft import Draft
from leakdx.store.source import KnowledgeSource

_LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"
"""Without i, l, o and u, which are misread."""


_Source = Callable[[], KnowledgeSource]


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
        if self._source is not None:
            keep_shown(self.store.database, self._kept, diagnosis, self._source())

    def drafts(self) -> dict[str, Draft]:
        """Page -> what stands half typed there. Raises StorageError."""
        return drafts_of(self.store.database, self._kept.key)

    def keep_draft(self, page: str, draft: Draft | None) -> None:
        """Keep what stands half typed on a page; None: nothing does. Any thread may call it. Raises StorageError."""
        keep_draft(self.store.database, self._kept.key, page, draft)

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
