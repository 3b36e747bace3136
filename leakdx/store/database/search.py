"""Lists of cases, drawn from the tables alone: no log is read for them."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

from msgspec import Struct
from sqlalchemy import ColumnElement, select

from leakdx.clean import clean_line
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.tables import cases, entries


class Wanted(Struct, frozen=True, kw_only=True):
    """Which cases: those to which all of this applies. ``words``: parts of what was typed; dates are local."""

    is_open: bool | None = None
    words: tuple[str, ...] = ()
    unit: str | None = None
    zone: str | None = None
    cause: str | None = None
    since: date | None = None
    until: date | None = None
    limit: int = 0
    """At most so many; 0: all."""


class Row(Struct, frozen=True):
    """A line of a list. ``changed``: UTC. ``outcome``: how it was closed; None while it is open."""

    id: str
    unit: str
    entries: int
    began: str
    changed: str
    outcome: str | None
    zone: str | None
    cause: str | None
    merged_into: str | None


_COLUMNS = tuple(cases.c[name] for name in Row.__struct_fields__)


def find(store: CaseStore, wanted: Wanted) -> tuple[Row, ...]:
    """The cases that are wanted, the last changed first. Raises StorageError."""
    query = select(*_COLUMNS).where(*_conditions(wanted)).order_by(cases.c.changed.desc(), cases.c.key.desc())
    with store.database.reading() as connection:
        found = connection.execute(query.limit(wanted.limit or None)).all()
    return tuple(Row(*row) for row in found)


def with_records(store: CaseStore, ids: Sequence[str]) -> frozenset[str]:
    """Those of the cases in which work is on file (a step, a signature): few, and only their logs are worth reading.

    Raises StorageError.
    """
    query = select(cases.c.id).join(entries, entries.c.case_key == cases.c.key)
    query = query.where(cases.c.id.in_(ids), entries.c.kind == "record").distinct()
    with store.database.reading() as connection:
        return frozenset(str(id) for id in connection.execute(query).scalars())


def _conditions(wanted: Wanted) -> list[ColumnElement[bool]]:
    parts = [clean_line(word).casefold() for word in wanted.words]
    made = [cases.c.words.contains(part, autoescape=True) for part in parts if part]
    if wanted.is_open is not None:
        made.append(cases.c.outcome.is_(None) if wanted.is_open else cases.c.outcome.is_not(None))
    if wanted.unit is not None:
        made.append(cases.c.unit_folded.contains(clean_line(wanted.unit).casefold(), autoescape=True))
    made += [column == id for column, id in ((cases.c.zone, wanted.zone), (cases.c.cause, wanted.cause)) if id]
    if wanted.since is not None:
        made.append(cases.c.changed >= utc(wanted.since))
    if wanted.until is not None:
        made.append(cases.c.changed < utc(wanted.until + timedelta(days=1)))
    return made


def utc(day: date) -> str:
    """The beginning of a day here, as the tables keep times."""
    local = datetime(day.year, day.month, day.day).astimezone()
    return local.astimezone(UTC).isoformat(timespec="seconds")
