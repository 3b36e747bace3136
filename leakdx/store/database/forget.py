"""What says whose truck it was, taken out of a stored case for good: the one thing in a store that is not kept."""

from msgspec import structs
from sqlalchemy import select, update

from leakdx.case import Case
from leakdx.errors import StorageError
from leakdx.knowledge.model import Knowledge
from leakdx.store.caseyaml import head_text
from leakdx.store.database import rows
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.drafts import drop_drafts
from leakdx.store.database.kept import parsed, read_kept
from leakdx.store.database.photos import drop_files, photos_named
from leakdx.store.database.tables import cases, heads
from leakdx.store.database.words import damaged


def forget(store: CaseStore, id: str, knowledge: Knowledge, *, photos: bool = False) -> Case:
    """Take unit, truck and story out of every version of the head of a case, and what is half typed; the case as it is.

    ``photos``: the files that its entries name too, but those that another case names. The log stands as it is, and
    the case diagnoses and replays as before. Raises StorageError.
    """
    with store.database.overwriting() as connection:
        kept = read_kept(connection, id, to_write=True)
        if kept is None:
            raise StorageError(f"there is no case '{id[:40]}' in {store.name}")
        if isinstance(kept, str):
            raise damaged(store.database.place, kept)
        case = _bare(parsed(kept, knowledge))
        of_case = heads.c.case_key == kept.key
        for revision, text in connection.execute(select(heads.c.revision, heads.c.text).where(of_case)).all():
            bare = head_text(_bare(parsed(structs.replace(kept, head_text=text), knowledge)))
            about = {"text": bare, "seal": rows.seal(str(revision), bare)}
            connection.execute(update(heads).where(of_case, heads.c.revision == revision).values(about))
        connection.execute(update(cases).where(cases.c.key == kept.key).values(rows.drawn_from(case)))
        drop_drafts(connection, kept.key)  # whatever is half typed may be of the truck or of a person
        if photos:
            drop_files(connection, kept.key, {entry.text for entry in photos_named(case)})
    if store.database.place.path is not None:
        with store.database.engine.connect() as connection:  # the log beside the file holds the old pages
            connection.exec_driver_sql("COMMIT")
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    return case


def made_from(store: CaseStore, id: str) -> tuple[str, ...]:
    """The cases that were merged into a case: they hold their own unit, truck and story. Raises StorageError."""
    with store.database.reading() as connection:
        return tuple(
            connection.execute(select(cases.c.id).where(cases.c.merged_into == id).order_by(cases.c.key)).scalars()
        )


def _bare(case: Case) -> Case:
    return structs.replace(case, unit="", truck={}, story="")
