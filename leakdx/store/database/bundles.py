"""Cases of a store written into a bundle, and a bundle taken into a store, whole or not at all."""

import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import IO

import msgspec
from msgspec import Raw, structs
from sqlalchemy import select, update
from sqlalchemy.engine import Connection

from leakdx.knowledge.model import Knowledge
from leakdx.store.bundle.form import History, ShownThen
from leakdx.store.bundle.reading import Bundle, Leaders
from leakdx.store.bundle.writing import BundleWriter, bundle_in
from leakdx.store.caseyaml import case_text
from leakdx.store.database import rows
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import Kept, parsed
from leakdx.store.database.knowledges import keep_knowledge, kept_source, packed
from leakdx.store.database.photos import keep_file, kept_file, photos_named
from leakdx.store.database.shown import shown_of
from leakdx.store.database.tables import cases, diagnoses, heads
from leakdx.store.database.transactions import now
from leakdx.store.database.transfer import Taken, take_one
from leakdx.store.files import fill_new
from leakdx.store.redacted import redacted
from leakdx.store.source import KnowledgeSource


def write_bundle(
    store: CaseStore,
    ids: Sequence[str],
    path: Path,
    knowledge: Knowledge,
    source: KnowledgeSource,
    *,
    redact: bool = False,
    replace: bool = False,
) -> None:
    """Write cases, their photos, what was shown of them and the knowledge behind it to a new file.

    ``source``: of ``knowledge``, which the cases are read with. ``redact``: only the cases, without what says whose
    they are, and the knowledge without the shop's settings. Raises StorageError, CaseError.
    """

    def fill(file: IO[bytes]) -> None:
        with bundle_in(file, KnowledgeSource(source.files) if redact else source) as bundle:
            for id in ids:
                if redact:
                    bundle.case(case_text(redacted(store.case(id, knowledge))), History())
                else:
                    _put_case(store, id, knowledge, bundle)

    fill_new(path, fill, replace=replace)


def _put_case(store: CaseStore, id: str, knowledge: Knowledge, bundle: BundleWriter) -> None:
    kept = store.kept(id)
    history = _history(store, kept)
    bundle.case(kept.text, history)
    for hash in dict.fromkeys(shown.knowledge for shown in history.shown):
        bundle.knowledge(kept_source(store.database, hash))
    for entry in photos_named(parsed(kept, knowledge)):
        photo = kept_file(store, entry.text)
        if photo is not None:
            bundle.photo(photo)


def _history(store: CaseStore, kept: Kept) -> History:
    """What was shown of the case as it stands there, and not of what others have added since."""
    shown = [one for one in shown_of(store.database, kept.id) if one.entries <= kept.entries]
    with store.database.reading() as connection:
        texts = _heads(connection, kept.key)
    used = list(dict.fromkeys(one.head for one in shown))
    then = (
        ShownThen(
            written=one.written,
            entries=one.entries,
            head=used.index(one.head),
            shop=one.shop,
            version=one.version,
            knowledge=one.knowledge,
            answers=Raw(one.answers),
        )
        for one in shown
    )
    return History(heads=tuple(texts[revision] for revision in used), shown=tuple(then))


def _heads(connection: Connection, key: int) -> dict[int, str]:
    """Revision -> text, of a case."""
    found = connection.execute(select(heads.c.revision, heads.c.text).where(heads.c.case_key == key))
    return {int(row.revision): str(row.text) for row in found}


def take_in_bundle(store: CaseStore, bundle: Bundle, knowledge: Knowledge) -> tuple[Taken, ...]:
    """Take everything of a bundle in, or nothing. Raises StorageError.

    A case that is there already is added to where the bundle's goes on from it.
    """
    taken = []
    for one in bundle.cases:
        rows.refuse_odd_id(one.case.id)
    with store.database.writing() as connection:
        for sha256, kind in bundle.photos.items():
            keep_file(connection, sha256, kind, bundle.photo(sha256))
        for hash in dict.fromkeys(shown.knowledge for one in bundle.cases for shown in one.history.shown):
            keep_knowledge(connection, hash, packed(bundle.knowledges[hash]))
        for one in bundle.cases:
            taken.append(take_one(connection, store, one.case, knowledge))
            _take_history(connection, one.case.id, one.history)
    return tuple(taken)


def _take_history(connection: Connection, id: str, history: History) -> None:
    """Keep what was shown of a case elsewhere, and was not yet known of here, behind what was shown of it here."""
    key = connection.execute(select(cases.c.key).where(cases.c.folded == rows.folded(id))).scalar_one()
    stand = connection.execute(select(diagnoses).where(diagnoses.c.case_key == key)).all()
    known = {(row.written, row.entries, row.version, row.knowledge, row.shop) for row in stand}
    new = [s for s in history.shown if (s.written, s.entries, s.version, s.knowledge, s.shop) not in known]
    revisions = _with_heads(connection, key, [history.heads[shown.head] for shown in new])
    first = max((row.number for row in stand), default=0) + 1
    for number, (shown, head) in enumerate(zip(new, revisions, strict=True), start=first):
        values = {**structs.asdict(shown), "case_key": key, "number": number, "head": head}
        values["answers"] = zlib.compress(msgspec.json.format(bytes(shown.answers), indent=-1), 6)
        connection.execute(diagnoses.insert().values(values))
    last = max(new, key=lambda shown: shown.written, default=None)
    if last is not None and all(last.written >= row.written for row in stand):
        leads = msgspec.json.decode(last.answers, type=Leaders)
        cause, zone = (found[0].id if found else None for found in (leads.causes, leads.zones))
        connection.execute(update(cases).where(cases.c.key == key).values(cause=cause, zone=zone))


def _with_heads(connection: Connection, key: int, wanted: Sequence[str]) -> list[int]:
    """The revisions of these heads; those that the case never had here are put before its own, which stays its last."""
    stand = _heads(connection, key)
    own = connection.execute(select(cases.c.head).where(cases.c.key == key)).scalar_one()
    missing = [text for text in dict.fromkeys(wanted) if text not in stand.values()]
    if missing:
        made = dict(enumerate((*missing, stand[own]), start=max(stand) + 1))
        written = now()
        for revision, text in made.items():
            seal = rows.seal(str(revision), text)
            values = {"case_key": key, "revision": revision, "written": written, "text": text, "seal": seal}
            connection.execute(heads.insert().values(values))
        connection.execute(update(cases).where(cases.c.key == key).values(head=max(made)))
        stand |= made
    revision_of = {text: revision for revision, text in stand.items()}
    return [revision_of[text] for text in wanted]
