"""Diagnoses that were shown, each with the program and the knowledge behind it."""

import zlib

import msgspec
from msgspec import Struct
from sqlalchemy import select, update

from leakdx import __version__
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.store.database import rows
from leakdx.store.database.kept import Kept
from leakdx.store.database.knowledges import keep_knowledge, packed
from leakdx.store.database.tables import cases, diagnoses
from leakdx.store.database.transactions import Database, now
from leakdx.store.database.words import damaged
from leakdx.store.source import KnowledgeSource


class Shown(Struct, frozen=True):
    """A diagnosis that was shown. ``entries``: how many there were then; ``shop``: settings asked for, if others."""

    number: int
    written: str
    entries: int
    head: int
    shop: str | None
    version: str
    knowledge: str
    answers: bytes
    """The answers as JSON."""


def keep_shown(
    database: Database, kept: Kept, diagnosis: Diagnosis, source: KnowledgeSource, shop: str | None = None
) -> None:
    """Keep what is shown of a case, once for the same log, program and knowledge. Raises StorageError.

    ``source``: of the knowledge; ``shop``: settings asked for in place of the case's own.
    """
    hash = source.hash
    if hash != diagnosis.knowledge.hash:  # changed since it was loaded: what is kept must replay
        return
    leader = diagnosis.causes[0].id if diagnosis.causes else None
    zone = diagnosis.zones[0].id if diagnosis.zones else None
    about = {
        "entries": kept.entries,
        "head": kept.head,
        "shop": shop,
        "version": __version__,
        "knowledge": hash,
    }
    of_case = diagnoses.c.case_key == kept.key
    with database.writing() as connection:
        last = connection.execute(
            select(diagnoses).where(of_case).order_by(diagnoses.c.number.desc()).limit(1)
        ).one_or_none()
        if last is not None and all(getattr(last, name) == value for name, value in about.items()):
            return
        keep_knowledge(connection, hash, packed(source))
        answers = zlib.compress(msgspec.json.encode(diagnosis.answers), 6)
        number = last.number + 1 if last is not None else 1
        values = {**about, "case_key": kept.key, "number": number, "written": now(), "answers": answers}
        connection.execute(diagnoses.insert().values(values))
        connection.execute(update(cases).where(cases.c.key == kept.key).values(cause=leader, zone=zone))


def shown_of(database: Database, id: str) -> tuple[Shown, ...]:
    """What was shown of a case, in order. Raises StorageError."""
    query = (
        select(diagnoses)
        .join(cases, cases.c.key == diagnoses.c.case_key)
        .where(cases.c.folded == rows.folded(id))
        .order_by(diagnoses.c.number)
    )
    with database.reading() as connection:
        found = connection.execute(query).all()
    try:
        return tuple(
            Shown(r.number, r.written, r.entries, r.head, r.shop, r.version, r.knowledge, zlib.decompress(r.answers))
            for r in found
        )
    except zlib.error as error:
        raise damaged(database.place, f"a diagnosis of case {id}") from error
