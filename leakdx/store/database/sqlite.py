"""The SQLite file of a store: looked at before it is opened, made whole or not at all, never touched where foreign."""

import os
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing, suppress
from pathlib import Path

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.engine import Connection
from sqlalchemy.pool import NullPool

from leakdx.errors import StorageError
from leakdx.store.database.place import StorePlace
from leakdx.store.database.words import LONGEST_WAIT, damaged
from leakdx.store.files import PRIVATE, reason

APPLICATION_ID = 0x4C4B4458
"""Marks the file as ours (its header says so at byte 68): "LKDX"."""
WRITES = "writes"
"""Execution option of a connection that will write: it takes the writer's place at once, not on the way."""
_PRAGMAS = ("foreign_keys = ON", "synchronous = FULL", "cell_size_check = ON", "trusted_schema = OFF")
_NOBODY_WRITES = "ro&immutable=1"
_MAGIC = b"SQLite format 3\0"
_NETWORK = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "9p", "fuse.sshfs", "glusterfs"}


def look_at(place: StorePlace, path: Path) -> None:
    """Refuse a file that is no store of ours, by its first bytes alone. Raises StorageError."""
    try:
        with path.open("rb") as file:
            header = file.read(100)
    except OSError as error:
        raise StorageError(f"{place.name}: cannot be read ({reason(error)})") from error
    right = "name another file, or move it away and a new store is made"
    if not header:
        raise StorageError(f"{place.name}: is empty and so no case store; {right}")
    if not header.startswith(_MAGIC) or len(header) < 100:
        raise damaged(place, "it does not begin as a case store does, or is of another program")
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise StorageError(f"{place.name}: is another program's database and was not touched; {right}")


def make_file(place: StorePlace, path: Path, fill: Callable[[Engine], None]) -> None:
    """Make a new store: filled under another name, flushed, and only then given its own. Raises StorageError.

    Where another process was quicker its file stands and this one is thrown away.
    """
    temporary = path.with_name(f".{path.name[:40]}.{os.urandom(6).hex()}.new")
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE))
    except OSError as error:
        raise StorageError(f"{place.name}: no store can be made in {path.parent} ({reason(error)})") from error
    try:
        engine = engine_of(temporary, writable=True)
        fill(engine)
        with closing(sqlite3.connect(temporary, isolation_level=None)) as connection:
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA journal_mode = {'DELETE' if on_network(path) else 'WAL'}")
        with temporary.open("rb+") as file:
            os.fsync(file.fileno())
        with suppress(FileExistsError):
            os.link(temporary, path)
    except OSError as error:
        raise StorageError(f"{place.name}: no store can be made ({reason(error)})") from error
    finally:
        for left in (temporary, *temporary.parent.glob(f"{temporary.name}-*")):
            left.unlink(missing_ok=True)


def engine_of(path: Path, *, writable: bool) -> Engine:
    """An engine on an existing file; one connection for each use, closed after it."""
    base = path.as_uri() + "?mode="
    uri = base + ("rw" if writable else _read_mode(path))

    def connect() -> sqlite3.Connection:
        try:
            return _connected(uri, _PRAGMAS)
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_IOERR:
                raise
            # On a full disk there is no room for the shared memory beside the file; alone it is read without it.
            alone = uri if writable or _has_log(path) else base + _NOBODY_WRITES
            return _connected(alone, ("locking_mode = EXCLUSIVE", *_PRAGMAS))

    engine = create_engine("sqlite://", creator=connect, poolclass=NullPool)
    event.listen(engine, "begin", _begin)
    return engine


def _connected(uri: str, pragmas: Sequence[str]) -> sqlite3.Connection:
    made = sqlite3.connect(uri, uri=True, timeout=LONGEST_WAIT, isolation_level=None, check_same_thread=False)
    try:
        for pragma in pragmas:
            made.execute(f"PRAGMA {pragma}")
    except sqlite3.Error:
        made.close()
        raise
    return made


def may_write(path: Path) -> bool:
    """Whether the file and its folder (for the log beside it) may be written to."""
    return os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)


def on_network(path: Path, mounts: Path = Path("/proc/self/mounts")) -> bool:
    """Whether the file would lie on a network share, where several machines cannot share a write-ahead log."""
    with suppress(OSError):
        where = os.path.realpath(path)
        rows = [line.split() for line in mounts.read_text(encoding="utf-8", errors="replace").splitlines()]
        under = [
            (len(row[1]), row[2]) for row in rows if len(row) > 2 and f"{where}/".startswith(row[1].rstrip("/") + "/")
        ]
        return max(under, default=(0, ""))[1] in _NETWORK
    return False


def _begin(connection: Connection) -> None:
    """A deferred transaction that reads first and writes later fails at once where another wrote: so immediate."""
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _read_mode(path: Path) -> str:
    """How to read: a file that cannot be written, and has no log beside it, nobody is changing."""
    if may_write(path):
        return "ro"
    return "ro" if _has_log(path) else _NOBODY_WRITES


def _has_log(path: Path) -> bool:
    """Whether something stands in the log beside the file that is not in the file yet."""
    log = path.with_name(f"{path.name}-wal")
    return log.exists() and log.stat().st_size > 0
