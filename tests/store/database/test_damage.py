"""A damaged or foreign file: a sentence, never a trace, never a write; and what can be read is got out."""

import random
import sqlite3
from pathlib import Path

import pytest

from leakdx.case import Case
from leakdx.errors import LeakdxError, StorageError
from leakdx.store.database.casestore import open_store
from leakdx.store.database.place import store_place
from leakdx.store.database.salvage import salvage
from tests.store.database.many import fill
from tests.store.database.stores import SIX, a_case, grown

DAMAGES = 50


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A store of some cases as one file, with nothing left in the log beside it."""
    path = tmp_path_factory.mktemp("whole") / "cases.db"
    store = open_store(f"sqlite:///{path}")
    fill(store, 60)
    store.begin(a_case(entries=40))
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path.read_bytes()


def damaged(data: bytes, number: int) -> bytes:
    """The bytes with one flipped, a page blanked, or the end cut off: always the same for a number."""
    drawn = random.Random(number)
    where = drawn.randrange(len(data))
    if number % 5 == 3:
        return data[:where]
    if number % 5 == 4:
        page = where // 4096 * 4096
        return data[:page] + bytes(4096) + data[page + 4096 :]
    if number % 5 == 0:
        where = drawn.randrange(120)  # the header, where a flip does most
    return data[:where] + bytes([data[where] ^ (1 << drawn.randrange(8))]) + data[where + 1 :]


@pytest.mark.parametrize("number", range(DAMAGES))
def test_damage_is_said_in_a_sentence_and_never_written_to(whole: bytes, number: int, tmp_path: Path) -> None:
    path, before = tmp_path / "cases.db", damaged(whole, number)
    path.write_bytes(before)
    case = a_case(entries=40)
    said = ""
    try:
        home = open_store(f"sqlite:///{path}").home("KD-1", SIX)
        read = home.case
        home.save(grown(read, "one more"))
    except LeakdxError as error:
        said = str(error)
    if said:
        assert "\n" not in said
        assert said.startswith((str(path), "there is no case", "case KD-1"))
        assert path.read_bytes() == before, "a damaged file was written to"
        return
    # The damage lies where this case has nothing: it went in whole, and the others are as they were.
    assert read == case
    assert open_store(f"sqlite:///{path}").case("KD-1", SIX) == grown(case, "one more")


@pytest.mark.parametrize("number", range(0, DAMAGES, 5))
def test_what_can_be_read_is_salvaged_as_it_was_written(whole: bytes, number: int, tmp_path: Path) -> None:
    path, before = tmp_path / "cases.db", damaged(whole, number + number % 3)
    path.write_bytes(before)
    saved = None
    try:
        saved = salvage(store_place(f"sqlite:///{path}"), tmp_path / "saved.db")
    except StorageError as error:
        said = str(error)
    assert path.read_bytes() == before
    if saved is None:
        assert "\n" not in said
        return
    assert saved.whole <= saved.cases <= 61
    store = open_store(f"sqlite:///{tmp_path / 'saved.db'}")
    kept: Case = store.case("KD-1", SIX)
    assert kept.log == a_case(entries=40).log[: len(kept.log)]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is empty and so no case store"),
        (b"not a database at all" * 20, "does not begin as a case store does"),
        (b"SQLite format 3\0" + bytes(200), "is another program's database and was not touched"),
    ],
)
def test_a_foreign_file_is_not_touched(data: bytes, says: str, tmp_path: Path) -> None:
    path = tmp_path / "cases.db"
    path.write_bytes(data)
    with pytest.raises(StorageError, match=says):
        open_store(f"sqlite:///{path}")
    assert path.read_bytes() == data
    assert [file.name for file in tmp_path.iterdir()] == ["cases.db"]


def test_another_programs_database_is_not_touched(tmp_path: Path) -> None:
    path = tmp_path / "theirs.db"
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE theirs (a)")
    before = path.read_bytes()
    with pytest.raises(StorageError, match="another program's database"):
        open_store(f"sqlite:///{path}")
    assert path.read_bytes() == before
