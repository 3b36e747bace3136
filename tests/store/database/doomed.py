"""A process that writes to a store until it is killed: from outside at any moment, or by itself at a named point.

What it was told is saved it tells its parent at once, and only then goes on: all of that must be found again.
"""

import os
import signal
from collections.abc import Callable
from itertools import count
from multiprocessing.connection import Connection as Pipe
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, event
from sqlalchemy.engine import Connection

from leakdx.store.bundle.reading import open_bundle
from leakdx.store.database import backup, migrate
from leakdx.store.database.bundles import take_in_bundle
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.sqlite import WRITES
from leakdx.store.database.transfer import take_in
from tests.store.bundle.bundles import several
from tests.store.database.stores import SIX, a_case, grown

RANDOM = "at random"
AFTER_BEGIN = "after BEGIN"
BEFORE_COMMIT = "before COMMIT"
BETWEEN = "between two cases"
BEFORE_NAME = "before it has its name"
WRITES_BEFORE = 2
"""Transactions, or backups, that go well before a named point strikes."""
AT_ONCE = 5
"""Cases that are taken in together."""
_TAKEN_WHEN_STRUCK = WRITES_BEFORE * AT_ONCE + 3


def write_until_killed(url: str, what: str, point: str, saved: Pipe, folder: Path) -> None:
    """``what``: append, import, bundle, backup or migrate; ``saved`` gets the count after each one said to be saved."""
    if what == "migrate":
        _migrate(url, point, saved)
        return
    store = open_store(url)
    saved.send(0)
    if what == "backup":
        _back_up(store, point, saved, folder)
        return
    _arm(store.database.engine, point)
    if what == "bundle":
        _take_in_bundles(store, saved, folder)
    else:
        (_append if what == "append" else _take_in)(store, saved)


def _append(store: CaseStore, saved: Pipe) -> None:
    """Answer after answer into one case."""
    home = store.home("KD-1", SIX)
    for number in count(1):
        home.save(grown(home.case, remark(len(home.case.log) + 1)))
        saved.send(number)


def remark(number: int) -> str:
    """What entry ``number`` says."""
    return f"remark {number}"


def _take_in(store: CaseStore, saved: Pipe) -> None:
    """Several cases at once, again and again."""
    for number in count(1):
        take_in(store, [a_case(f"I{os.getpid()}-{number}-{k}") for k in range(AT_ONCE)], SIX)
        saved.send(number)


def _take_in_bundles(store: CaseStore, saved: Pipe, folder: Path) -> None:
    """Bundle after bundle, each with several cases, and with a file and a shown diagnosis for each of them."""
    for number in count(1):
        name = f"B{os.getpid()}-{number}"
        path = folder / f"{name}.zip"
        path.write_bytes(several(name, AT_ONCE))
        with open_bundle(path, SIX) as bundle:
            take_in_bundle(store, bundle, SIX)
        saved.send(number)


def _back_up(store: CaseStore, point: str, saved: Pipe, folder: Path) -> None:
    """Backup after backup. Its name is the last thing that a finished one gets."""
    for number in count(1):
        if point == BEFORE_NAME and number > WRITES_BEFORE:
            os.link = _die  # type: ignore[assignment]
        backup.back_up(store.database, folder / f"{os.getpid()}-{number}.db")
        saved.send(number)


def _migrate(url: str, point: str, saved: Pipe) -> None:
    """An old store is brought up to date; all its tables are changed and nothing is committed yet when it strikes."""
    upgrade = migrate.upgrade

    def dying(connection: Connection, version: int = migrate.NEWEST) -> None:
        upgrade(connection, version)
        _die()

    if point == BEFORE_COMMIT:
        migrate.upgrade = dying
    saved.send(0)
    open_store(url)


def _arm(engine: Engine, point: str) -> None:
    """Die at the point in the transaction after the first ones that write."""
    begun = inserted = 0

    def on_begin(connection: Connection) -> None:
        nonlocal begun
        begun += bool(connection.get_execution_options().get(WRITES))

    def struck(connection: Connection) -> bool:
        return begun > WRITES_BEFORE and bool(connection.get_execution_options().get(WRITES))

    def on_statement(connection: Connection, _cursor: Any, statement: str, *_: Any) -> None:
        nonlocal inserted
        inserted += statement.startswith("INSERT INTO cases")
        if struck(connection) and (point == AFTER_BEGIN or inserted == _TAKEN_WHEN_STRUCK):
            _die()

    def on_commit(connection: Connection) -> None:
        if struck(connection):
            _die()

    event.listen(engine, "begin", on_begin, insert=True)
    watched: dict[str, tuple[str, Callable[..., None]]] = {
        AFTER_BEGIN: ("after_cursor_execute", on_statement),
        BETWEEN: ("after_cursor_execute", on_statement),
        BEFORE_COMMIT: ("commit", on_commit),
    }
    if point in watched:
        event.listen(engine, *watched[point])


def _die(*_: object) -> None:
    """As ``kill -9`` does it: nothing is flushed, closed or rolled back."""
    os.kill(os.getpid(), signal.SIGKILL)
