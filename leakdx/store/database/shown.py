"""Diagnoses that were shown, each with the program and the knowledge behind it, and whether they come out again."""

import zlib
from collections.abc import Iterator
from typing import Any

import msgspec
from msgspec import Struct, structs
from sqlalchemy import select, update

from leakdx import __version__
from leakdx.errors import CaseError, StorageError, TooWideError
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.casefile import parse_case
from leakdx.store.database import rows
from leakdx.store.database.casestore import CaseStore, Kept
from leakdx.store.database.connect import now
from leakdx.store.database.knowledges import keep_knowledge, kept_knowledge, packed
from leakdx.store.database.tables import cases, diagnoses, heads
from leakdx.store.database.words import damaged
from leakdx.store.source import KnowledgeSource

_NEAR = 1e-9
"""Numbers that differ by no more come from another machine's arithmetic, not from another reasoning."""
MOST_DIFFERENCES = 20


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


class Replayed(Struct, frozen=True):
    """A shown diagnosis made again. ``wrong``: why it cannot be; ``differences``: what is not as it was, at most 20."""

    shown: Shown
    differences: tuple[str, ...] = ()
    wrong: str = ""

    @property
    def same(self) -> bool:
        """Whether it came out as it was."""
        return not self.differences and not self.wrong


def keep_shown(
    store: CaseStore, kept: Kept, diagnosis: Diagnosis, source: KnowledgeSource, shop: str | None = None
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
    with store.database.writing() as connection:
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


def shown_of(store: CaseStore, id: str) -> tuple[Shown, ...]:
    """What was shown of a case, in order. Raises StorageError."""
    query = (
        select(diagnoses)
        .join(cases, cases.c.key == diagnoses.c.case_key)
        .where(cases.c.folded == rows.folded(id))
        .order_by(diagnoses.c.number)
    )
    with store.database.reading() as connection:
        found = connection.execute(query).all()
    try:
        return tuple(
            Shown(r.number, r.written, r.entries, r.head, r.shop, r.version, r.knowledge, zlib.decompress(r.answers))
            for r in found
        )
    except zlib.error as error:
        raise damaged(store.database.place, f"a diagnosis of case {id}") from error


def replay(store: CaseStore, id: str) -> Iterator[Replayed]:
    """Make each diagnosis that was shown again, with its own knowledge and as much of the log as there was."""
    kept = store.kept(id)
    for shown in shown_of(store, id):
        try:
            again = _again(store, kept, shown)
        except (CaseError, StorageError, TooWideError) as error:
            yield Replayed(shown, wrong=str(error).splitlines()[0])
        else:
            yield Replayed(shown, tuple(_differences("", msgspec.json.decode(shown.answers), again))[:MOST_DIFFERENCES])


def _again(store: CaseStore, kept: Kept, shown: Shown) -> Any:
    """The answers as they come out now, as JSON values."""
    knowledge = kept_knowledge(store.database, shown.knowledge)
    query = select(heads.c.text).where(heads.c.case_key == kept.key, heads.c.revision == shown.head)
    with store.database.reading() as connection:
        head = connection.execute(query).scalar_one()
    text = rows.file_text(head, kept.bodies[: shown.entries])
    case = parse_case(text.encode(), f"case {kept.id}", knowledge)
    if shown.shop is not None:
        case = structs.replace(case, shop=shown.shop)
    return msgspec.json.decode(msgspec.json.encode(diagnose(knowledge, case).answers))


def _differences(path: str, then: Any, today: Any) -> Iterator[str]:
    """What differs, as "where: then -> today". The program's version alone is no difference of the answer."""
    if path == "version":
        return
    if isinstance(then, dict) and isinstance(today, dict):
        for key in sorted({*then, *today}):
            yield from _differences(f"{path}.{key}" if path else key, then.get(key), today.get(key))
    elif isinstance(then, list) and isinstance(today, list) and len(then) == len(today):
        for number, (old, new) in enumerate(zip(then, today, strict=True), start=1):
            name = new.get("id", number) if isinstance(new, dict) else number
            yield from _differences(f"{path}.{name}", old, new)
    elif isinstance(then, float | int) and isinstance(today, float | int) and not isinstance(then, bool):
        if abs(then - today) > _NEAR * max(1.0, abs(then)):
            yield f"{path}: {then:.6g} -> {today:.6g}"
    elif then != today:
        yield f"{path}: {_short(then)} -> {_short(today)}"


def _short(value: Any) -> str:
    text = msgspec.json.encode(value).decode()
    return text if len(text) <= 60 else text[:59] + "…"
