"""Cases taken into the store, several at once and all or none, and two cases made one."""

from collections.abc import Sequence
from typing import Any

from msgspec import Struct, structs
from sqlalchemy import update
from sqlalchemy.engine import Connection

from leakdx.case import Case, LogEntry, Record
from leakdx.errors import CaseError, StorageError
from leakdx.knowledge.model import Knowledge
from leakdx.store.casefile import parse_case
from leakdx.store.caseyaml import case_text
from leakdx.store.database import rows
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import append_to, insert_case, parsed, read_kept
from leakdx.store.database.tables import cases
from leakdx.store.database.words import damaged
from leakdx.store.merged import merged


class Taken(Struct, frozen=True):
    """A case that was taken in, and how many entries were new.

    ``differs``: none was, and what the other says above its log is not what is said here, and stayed.
    """

    id: str
    new: bool
    added: int
    differs: bool = False


def take_in(store: CaseStore, found: Sequence[Case], knowledge: Knowledge) -> tuple[Taken, ...]:
    """Take all these cases in, or none. One that is there already is added to where the other goes on from it.

    Raises StorageError, naming the case and the entry, where the two differ.
    """
    for case in found:
        rows.refuse_odd_id(case.id)
    with store.database.writing() as connection:
        return tuple(take_one(connection, store, case, knowledge) for case in found)


def take_one(connection: Connection, store: CaseStore, case: Case, knowledge: Knowledge) -> Taken:
    """Take a case in within a transaction. Raises StorageError."""
    kept = read_kept(connection, case.id, to_write=True)
    if isinstance(kept, str):
        raise damaged(store.database.place, kept)
    if kept is None:
        insert_case(connection, store.name, case)
        return Taken(case.id, True, len(case.log))
    old = parsed(kept, knowledge)
    added = _beyond(old, case, store.name)
    if added:
        append_to(connection, store.name, kept, _gone_on(old, case), added)
        return Taken(old.id, False, len(added))
    return Taken(old.id, False, 0, differs=structs.replace(_gone_on(old, case), log=old.log) != old)


def _gone_on(old: Case, case: Case) -> Case:
    """The case as it goes on from the one that stands; what its head does not say stays as it was said here."""
    return structs.replace(
        case,
        id=old.id,
        axle=case.axle or old.axle,
        shop=case.shop or old.shop,
        unit=case.unit or old.unit,
        story=case.story or old.story,
        truck={**old.truck, **case.truck},
    )


def _beyond(old: Case, case: Case, store: str) -> tuple[LogEntry, ...]:
    """The entries with which a case goes on from the one that stands; none where it is behind."""
    for stands, comes in zip(old.log, case.log, strict=False):
        if stands != comes:
            wrong = f"case {case.id} is in {store} already, and differs from entry {stands.number} on"
            raise StorageError(f"{wrong}; nothing was taken in; give the other one another id with --as")
    return case.log[len(old.log) :]


def merge(
    store: CaseStore,
    pair: tuple[str, str],
    id: str,
    knowledge: Knowledge,
    signed: dict[str, Any],
    *,
    same_truck: bool = False,
) -> Case:
    """Make case ``id`` out of two, which stay as they are, closed, and name it. ``signed``: who, at, bay, note.

    Raises CaseError where the two cannot be one, StorageError, ChangedError.
    """
    if rows.folded(pair[0]) == rows.folded(pair[1]):
        raise StorageError(f"case {pair[0]} cannot be merged with itself; give the id of another one")
    rows.refuse_odd_id(id)
    both = [store.kept(word) for word in pair]
    first, second = (parsed(kept, knowledge) for kept in both)
    made = merged(first, second, id, knowledge, signed, same_truck=same_truck)
    try:
        parse_case(case_text(made).encode(), f"case {id}", knowledge)
    except CaseError as error:
        wrong = f"cases {first.id} and {second.id} do not make one case: {str(error).splitlines()[0]}"
        raise CaseError(wrong) from error
    with store.database.writing() as connection:
        insert_case(connection, store.name, made)
        for kept, case in zip(both, (first, second), strict=True):
            said = " ".join(part for part in (f"merged into {id}", signed.get("note", "")) if part)
            how = case.closed or "not known"  # how it had ended is not changed by the merging
            end = Record(kind="closed", text=how, **{**signed, "number": len(case.log) + 1, "note": said})
            append_to(connection, store.name, kept, structs.replace(case, log=(*case.log, end)), (end,))
            connection.execute(update(cases).where(cases.c.key == kept.key).values(merged_into=id))
    return made
