"""Is everything in a store as it was written; nothing is changed by looking."""

import hashlib
import zlib

from msgspec import Struct
from sqlalchemy import select
from sqlalchemy.engine import Connection

from leakdx.errors import StorageError
from leakdx.store.database import migrate, rows
from leakdx.store.database.connect import as_it_stands
from leakdx.store.database.drafts import broken_drafts
from leakdx.store.database.knowledges import unpacked
from leakdx.store.database.place import StorePlace
from leakdx.store.database.tables import cases, diagnoses, entries, files, heads, knowledges
from leakdx.store.database.transactions import page_faults

MOST_FAULTS = 100


class Checked(Struct, frozen=True):
    """What was looked at, and every fault in a sentence, at most MOST_FAULTS."""

    name: str
    cases: int
    entries: int
    files: int
    faults: tuple[str, ...]


def check(place: StorePlace) -> Checked:
    """Check pages, seals and hashes. Raises StorageError where there is no store of ours, or where none can be read."""
    database = as_it_stands(place)
    found = _Check()
    found.faults += page_faults(database)
    with database.reading() as connection:
        version = migrate.version_of(connection)
        migrate.refuse_newer(place, version)
        found.cases_of(connection)
        if version >= 2:
            found.knowledges_of(connection)
            found.shown_of(connection)
        if version >= 3:
            found.files_of(connection)
        if version >= 4:
            found.drafts_of(connection)
    return Checked(place.name, found.cases, found.entries, found.files, tuple(found.faults[:MOST_FAULTS]))


class _Check:
    def __init__(self) -> None:
        self.cases = self.entries = self.files = 0
        self.faults: list[str] = []

    def cases_of(self, connection: Connection) -> None:
        kept = connection.execute(select(cases.c.key, cases.c.id, cases.c.entries, cases.c.head)).all()
        log = connection.execute(
            select(entries.c.case_key, entries.c.number, entries.c.body, entries.c.seal).order_by(
                entries.c.case_key, entries.c.number
            )
        )
        seals: dict[int, str] = {}
        counts: dict[int, int] = {}
        broken: set[int] = set()
        ids = {row.key: row.id for row in kept}
        for key, number, body, kept_seal in log:
            self.entries += 1
            counts[key] = counts.get(key, 0) + 1
            seals[key] = rows.seal(seals.get(key, ""), body)
            if (seals[key] != kept_seal or number != counts[key]) and key not in broken:
                broken.add(key)
                self.faults.append(f"entry {number} of case {ids.get(key, key)} is not as it was written")
        for row in kept:
            self.cases += 1
            if counts.get(row.key, 0) != row.entries and row.key not in broken:
                self.faults.append(f"case {row.id} has {counts.get(row.key, 0)} entries in place of {row.entries}")
        texts = {(h.case_key, h.revision): h for h in connection.execute(select(heads)).all()}
        for (key, revision), head in texts.items():
            if rows.seal(str(revision), head.text) != head.seal:
                self.faults.append(f"the head of case {ids.get(key, key)} is not as it was written")
        self.faults += [f"case {row.id} has lost its head" for row in kept if (row.key, row.head) not in texts]

    def knowledges_of(self, connection: Connection) -> None:
        for row in connection.execute(select(knowledges.c.hash, knowledges.c.files)):
            try:
                unpacked(bytes(row.files), row.hash)
            except StorageError as error:
                self.faults.append(str(error))

    def shown_of(self, connection: Connection) -> None:
        query = select(diagnoses.c.number, diagnoses.c.answers, cases.c.id).join(
            cases, cases.c.key == diagnoses.c.case_key
        )
        for row in connection.execute(query):
            try:
                zlib.decompress(bytes(row.answers))
            except zlib.error:
                self.faults.append(f"answer {row.number} that was shown of case {row.id} is not as it was written")

    def drafts_of(self, connection: Connection) -> None:
        for case, page in broken_drafts(connection):
            self.faults.append(f"what stands half typed in case {case} ({page}) is not as it was written")

    def files_of(self, connection: Connection) -> None:
        for row in connection.execute(select(files.c.sha256, files.c.data)):
            self.files += 1
            if hashlib.sha256(row.data).hexdigest() != row.sha256:
                self.faults.append(f"the file {row.sha256[:12]} is not as it was written")
