"""Photos and files of cases: kept once by their content, in one transaction with the entry that names them."""

from collections.abc import Collection, Sequence
from typing import TypeGuard

from msgspec import Struct, structs
from sqlalchemy import func, select
from sqlalchemy.engine import Connection

from leakdx.case import Case, LogEntry, Record
from leakdx.store.attachments import Attachment
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import Kept, append_to
from leakdx.store.database.tables import entries, files
from leakdx.store.database.transactions import insert_once, now
from leakdx.store.database.words import damaged
from leakdx.store.files import fingerprint


class KeptFile(Struct, frozen=True):
    """A photo entry and what the store has for it. ``kind`` is None where the store does not have the file."""

    entry: Record
    kind: str | None
    size: int


def attach(store: CaseStore, kept: Kept, case: Case, added: Sequence[tuple[Record, Attachment]]) -> Case:
    """Add photo entries behind the log of a case, and keep their files; the case as it is then.

    All of it or nothing. Raises ChangedError where others wrote since ``kept`` was read, StorageError.
    """
    new = tuple(entry for entry, _ in added)
    grown = structs.replace(case, log=(*case.log, *new))
    with store.database.writing() as connection:
        for _, attachment in added:
            keep_file(connection, attachment.sha256, attachment.kind, attachment.data)
        append_to(connection, store.name, kept, grown, new)
    return grown


def keep_file(connection: Connection, sha256: str, kind: str, data: bytes) -> None:
    """Keep these bytes unless they are kept already."""
    values = {"sha256": sha256, "written": now(), "kind": kind, "data": data}
    insert_once(connection, files, files.c.sha256, values)


def drop_files(connection: Connection, key: int, names: Collection[str]) -> None:
    """Take files of case ``key`` out for good, but those that an entry of another case names."""
    for sha256 in names:
        elsewhere = select(entries.c.number).where(
            entries.c.case_key != key, entries.c.kind == "record", entries.c.body.contains(sha256)
        )
        if connection.execute(elsewhere.limit(1)).first() is None:
            connection.execute(files.delete().where(files.c.sha256 == sha256))


def files_of(store: CaseStore, case: Case) -> tuple[KeptFile, ...]:
    """What the store has for each photo entry that stands, in the order of the log. Raises StorageError."""
    named = [entry for entry in case.standing if _is_photo(entry)]
    with store.database.reading() as connection:
        found = {name: kind_and_size(connection, name) for name in {entry.text for entry in named}}
    return tuple(KeptFile(entry, *(found[entry.text] or (None, 0))) for entry in named)


def photos_named(case: Case) -> tuple[Record, ...]:
    """All photo entries of a case, withdrawn ones too."""
    return tuple(entry for entry in case.log if _is_photo(entry))


def _is_photo(entry: LogEntry) -> TypeGuard[Record]:
    return isinstance(entry, Record) and entry.kind == "photo"


def kind_and_size(connection: Connection, sha256: str) -> tuple[str, int] | None:
    """Kind and bytes of a file; None where it is not kept."""
    row = connection.execute(
        select(files.c.kind, func.length(files.c.data)).where(files.c.sha256 == sha256)
    ).one_or_none()
    return None if row is None else (str(row[0]), int(row[1]))


def kept_file(store: CaseStore, sha256: str, name: str = "") -> Attachment | None:
    """A file; None where it is not kept. StorageError where it is not as it was written."""
    with store.database.reading() as connection:
        row = connection.execute(select(files.c.kind, files.c.data).where(files.c.sha256 == sha256)).one_or_none()
    if row is None:
        return None
    found = Attachment(name or sha256[:12], str(row.kind), bytes(row.data))
    if fingerprint(found.data) != sha256:
        raise damaged(store.database.place, f"the file {sha256[:12]}")
    return found
