"""Which store is meant: a URL, or the usual file in the user's data folder."""

import os
from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from leakdx.clean import clean_line
from leakdx.errors import UsageError
from leakdx.folders import data_folder

VARIABLE = "LEAKDX_STORE"
USUAL_NAME = "cases.db"
_RIGHT = "write sqlite:///FOLDER/FILE.db or postgresql://USER@HOST/DATABASE"


class StorePlace(Struct, frozen=True):
    """Where a store is. ``path``: of the SQLite file; None where it is in PostgreSQL. ``name`` shows no password."""

    url: URL
    path: Path | None
    name: str


def store_place(given: str | None, environment: Mapping[str, str] = os.environ) -> StorePlace:
    """The place of a URL, of LEAKDX_STORE, or the usual one. Raises UsageError; what was typed is not echoed."""
    text = given if given is not None else environment.get(VARIABLE, "")
    if not text.strip():
        return _of_file(data_folder() / USUAL_NAME)
    try:
        url = make_url(clean_line(text))
    except (ArgumentError, ValueError) as error:
        raise UsageError(f"that is no URL of a case store; {_RIGHT}") from error
    kind = url.get_backend_name()
    if kind == "sqlite":
        if not url.database or url.database == ":memory:":
            raise UsageError(f"a case store in SQLite is a file; {_RIGHT}")
        return _of_file(Path(url.database).expanduser())
    if kind in ("postgresql", "postgres"):
        if not url.database:
            raise UsageError(f"the URL names no database; {_RIGHT}")
        _refuse_stray_at(text)
        url = _password_apart(url.set(drivername="postgresql+psycopg"))
        return StorePlace(url, None, url.set(drivername="postgresql").render_as_string(hide_password=True))
    raise UsageError(f"a case store is kept in SQLite or PostgreSQL, not in '{kind[:20]}'; {_RIGHT}")


def _refuse_stray_at(text: str) -> None:
    """A password with a bare @ would be cut there, and its rest shown as the name of the host."""
    if text.partition("?")[0].count("@") > 1 or "@" in text.rpartition("@")[0].partition("?")[2]:
        raise UsageError("that URL has more than one @; write an @ within a name or password as %40")


def _password_apart(url: URL) -> URL:
    """The URL with a password among its options where passwords belong, so that it is not shown."""
    given = url.query.get("password")
    if given is None:
        return url
    return url.set(password=given if isinstance(given, str) else given[0]).difference_update_query(["password"])


def _of_file(path: Path) -> StorePlace:
    path = Path(os.path.abspath(path))
    return StorePlace(URL.create("sqlite", database=str(path)), path, str(path))
