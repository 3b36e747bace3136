"""What a database complains of, as one sentence that says what to do; never a password in it."""

import sqlite3

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from leakdx.clean import clean_line
from leakdx.errors import StorageError
from leakdx.store.database.place import StorePlace

LONGEST_WAIT = 5.0
"""Seconds that a writer waits for another."""
DAMAGED = "is damaged and was not written to"

_SQLITE = {
    sqlite3.SQLITE_FULL: "not saved, the disk is full; what was saved before is safe, make room and try again",
    sqlite3.SQLITE_READONLY: "not saved, it may only be read here; what it holds can still be shown",
    sqlite3.SQLITE_IOERR: "not saved, the disk refused (full, faulty or gone); make room or mend it and try again",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened; see that its folder is there and may be written to",
    sqlite3.SQLITE_PERM: "cannot be opened, since it belongs to someone else",
    sqlite3.SQLITE_AUTH: "cannot be opened, since it belongs to someone else",
}
_POSTGRES = {
    "28P01": "the server accepts no such user and password; see the URL",
    "28000": "the server does not let this user in; see the URL",
    "3D000": "the server has no such database; make it with createdb, or see the URL",
    "25006": "not saved, it may only be read here; what it holds can still be shown",
    "53100": "not saved, the server's disk is full; make room there and try again",
    "53300": "the server takes no more connections; try again",
    "42501": "the server does not let this user do that; ask whoever keeps it",
}


def sentence(place: StorePlace, error: SQLAlchemyError | sqlite3.Error) -> StorageError:
    """The error to raise for what the database said."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    if isinstance(cause, sqlite3.Error):
        return StorageError(f"{place.name}: {_of_sqlite(place, cause)}")
    state = getattr(cause, "sqlstate", None)
    if state == "55P03":
        return StorageError(f"{place.name}: not saved, {busy(None)}")
    said = _POSTGRES.get(state or "")
    if said is None:
        told = _said(place, cause or error)
        reached = "the server cannot be reached" if "connection" in told else "the database cannot do that"
        said = f"{reached} ({told})"
    return StorageError(f"{place.name}: {said}")


def busy(holder: str | None) -> str:
    """The sentence of a writer who has waited long enough."""
    return f"{holder or 'someone else'} has been writing to it for {LONGEST_WAIT:g} seconds; try again"


def damaged(place: StorePlace, what: str) -> StorageError:
    """The error for a store that is not as it was written."""
    said = clean_line(what)[:200]
    right = "'leakdx store salvage' gets out what can be read, 'leakdx store check' says what is wrong"
    return StorageError(f"{place.name}: {DAMAGED} ({said}); {right}")


def _of_sqlite(place: StorePlace, error: sqlite3.Error) -> str:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return str(damaged(place, _said(place, error))).removeprefix(f"{place.name}: ")
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        from leakdx.store.database.holder import holder_of

        return f"not saved, {busy(holder_of(place.path) if place.path else None)}"
    return _SQLITE.get(code) or f"the database cannot do that ({_said(place, error)})"


def _said(place: StorePlace, error: BaseException) -> str:
    """The first line of the database's own words, less any password."""
    lines = [line for line in str(error).splitlines() if line.strip()] or [type(error).__name__]
    text = next((line for line in lines if "FATAL" in line or "failed:" in line), lines[0])
    password = place.url.password
    return clean_line(text.replace(str(password), "***") if password else text)[:200]
