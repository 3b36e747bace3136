"""What can be read of a damaged SQLite store, written into a new one; the damaged file is only copied."""

import hashlib
import shutil
import sqlite3
import tempfile
import zlib
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct
from sqlalchemy import Table, select
from sqlalchemy.engine import Connection

from leakdx.clean import clean, clean_line
from leakdx.errors import StorageError
from leakdx.store.database import rows
from leakdx.store.database.connect import open_database
from leakdx.store.database.drafts import is_whole
from leakdx.store.database.place import StorePlace, store_place
from leakdx.store.database.tables import cases, diagnoses, drafts, entries, files, heads, knowledges
from leakdx.store.files import reason

_MAGIC = b"SQLite format 3\0"


class Saved(Struct):
    """What was saved. ``whole``: cases without a loss; ``lost``: a sentence for each loss."""

    cases: int
    whole: int
    lost: list[str]


def salvage(place: StorePlace, target: Path) -> Saved:
    """Save what can be read into a new store at ``target``. Raises StorageError.

    A case is saved up to its first entry that is missing or not as it was written.
    """
    if place.path is None:
        raise StorageError(f"{place.name}: only a SQLite file is salvaged; a PostgreSQL server has tools of its own")
    if not place.path.exists():
        raise StorageError(f"{place.name}: there is no such file")
    if target.exists():
        raise StorageError(f"{target}: stands already and was not overwritten; give another name")
    with tempfile.TemporaryDirectory(prefix="leakdx-") as folder:
        copy = _copied(place.path, Path(folder))
        with closing(sqlite3.connect(copy)) as source:
            source.row_factory = sqlite3.Row
            source.text_factory = lambda data: data.decode("utf-8", "replace")
            found = _found(source)
            if not found:
                raise StorageError(f"{place.name}: nothing in it can be read as a case; see whether there is a backup")
            database = open_database(store_place(f"sqlite:///{target}"))
            saved = Saved(0, 0, [])
            with database.writing() as connection:
                _save_pieces(source, connection)
                known = frozenset(connection.execute(select(knowledges.c.hash)).scalars())
                for key in found:
                    _save_case(source, connection, key, known, saved)
    return saved


def _copied(path: Path, folder: Path) -> Path:
    """The file and its log, copied, and so mended at its beginning that SQLite tries to read it."""
    copy = folder / "copy.db"
    try:
        shutil.copyfile(path, copy)
        log = path.with_name(f"{path.name}-wal")
        if log.exists():
            shutil.copyfile(log, folder / "copy.db-wal")
        with copy.open("r+b") as file:
            file.write(_MAGIC)
    except OSError as error:
        raise StorageError(f"{path}: cannot be copied ({reason(error)})") from error
    return copy


def _found(source: sqlite3.Connection) -> list[int]:
    """Keys of cases, from whichever table still tells of them."""
    keys: set[int] = set()
    for table, column in (("cases", "key"), ("heads", "case_key"), ("entries", "case_key")):
        for order in ("ASC", "DESC"):
            keys.update(int(row[0]) for row in _read(source, f"SELECT {column} FROM {table} ORDER BY {column} {order}"))
    return sorted(keys)


def _read(source: sqlite3.Connection, query: str, *values: object) -> Iterator[sqlite3.Row]:
    """Rows as far as they can be read."""
    with suppress(sqlite3.Error, OverflowError):
        yield from source.execute(query, values)


def _save_case(source: sqlite3.Connection, target: Connection, key: int, known: frozenset[str], saved: Saved) -> None:
    case = next((dict(row) for row in _read(source, "SELECT * FROM cases WHERE key = ?", key)), {})
    versions = _read(source, "SELECT * FROM heads WHERE case_key = ? ORDER BY revision DESC", key)
    head = next(filter(_sealed, versions), None)
    log = list(_sound(source, key))
    id = _id(case, head, key)
    if head is None:
        saved.lost.append(f"case {id}: its head is lost, so that nothing of it could be saved")
        return
    last = log[-1] if log else None
    lost = max(int(case.get("entries", len(log))) - len(log), 0)
    fields = {column.name for column in cases.columns}
    values: dict[str, Any] = {
        "began": head["written"],
        "changed": last["written"] if last else head["written"],
        "unit": "",
        "unit_folded": "",
        "words": clean_line(" ".join([head["text"], *(row["body"] for row in log)])).casefold(),
        **{name: value for name, value in case.items() if name in fields},
        "id": id,
        "folded": rows.folded(id),
        "entries": len(log),
        "head": 1,
        "key": key,
    }
    target.execute(cases.insert().values(values))
    text, written = head["text"], head["written"]
    target.execute(
        heads.insert().values(case_key=key, revision=1, written=written, text=text, seal=rows.seal("1", text))
    )
    if log:
        target.execute(entries.insert(), [_columns(entries, row) for row in log])
    saved.cases += 1
    unshown = _save_shown(source, target, key, int(head["revision"]), len(log), known)
    unfinished = _save_drafts(source, target, key)
    if unfinished:
        saved.lost.append(f"case {id}: {unfinished} of what stood half typed in it could not be saved")
    if unshown:
        saved.lost.append(f"case {id}: {unshown} of the answers that were shown of it could not be saved")
    if lost or not case:
        saved.lost.append(f"case {id}: its entries from {len(log) + 1} on are lost")
    else:
        saved.whole += 1


def _save_shown(
    source: sqlite3.Connection, target: Connection, key: int, revision: int, entries_saved: int, known: frozenset[str]
) -> int:
    """Save what was shown of a case as it is saved; returns how many could not be."""
    number = missed = 0
    for row in _read(source, "SELECT * FROM diagnoses WHERE case_key = ? ORDER BY number", key):
        if (
            row["head"] != revision
            or row["entries"] > entries_saved
            or row["knowledge"] not in known
            or not _whole(row)
        ):
            missed += 1
            continue
        number += 1
        target.execute(diagnoses.insert().values({**_columns(diagnoses, row), "number": number, "head": 1}))
    return missed


def _save_drafts(source: sqlite3.Connection, target: Connection, key: int) -> int:
    """Save what stands half typed in a case; returns how much of it could not be."""
    missed = 0
    for row in _read(source, "SELECT * FROM drafts WHERE case_key = ?", key):
        if is_whole(row["page"], row["body"], row["seal"]):
            _insert(target, drafts, row)
        else:
            missed += 1
    return missed


def _whole(row: sqlite3.Row) -> bool:
    try:
        return bool(zlib.decompress(row["answers"]))
    except (zlib.error, TypeError):
        return False


def _sealed(row: sqlite3.Row) -> bool:
    return bool(rows.seal(str(row["revision"]), row["text"]) == row["seal"])


def _sound(source: sqlite3.Connection, key: int) -> Iterator[sqlite3.Row]:
    """The entries of a case up to the first that is not as it was written."""
    before, number = "", 0
    for row in _read(source, "SELECT * FROM entries WHERE case_key = ? ORDER BY number", key):
        before, number = rows.seal(before, str(row["body"])), number + 1
        if row["number"] != number or row["seal"] != before:
            return
        yield row


def _id(case: dict[str, Any], head: sqlite3.Row | None, key: int) -> str:
    """The id that the head says, which is sealed; else that of the list, else one made of the key."""
    with suppress(yaml.YAMLError, KeyError, TypeError):
        if head is not None:
            return clean_line(str(yaml.load(head["text"], Loader=yaml.BaseLoader)["case"]))
    return clean_line(clean(str(case.get("id", f"lost-{key}"))))


def _save_pieces(source: sqlite3.Connection, target: Connection) -> None:
    """Photos and knowledges that are what their hashes say."""
    for row in _read(source, "SELECT * FROM files"):
        if hashlib.sha256(row["data"]).hexdigest() == row["sha256"]:
            _insert(target, files, row)
    for row in _read(source, "SELECT * FROM knowledges"):
        _insert(target, knowledges, row)


def _insert(target: Connection, table: Table, row: sqlite3.Row) -> None:
    target.execute(table.insert().values(_columns(table, row)))


def _columns(table: Table, row: sqlite3.Row) -> dict[str, Any]:
    return {column.name: row[column.name] for column in table.columns}
