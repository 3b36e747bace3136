"""A backup is a whole store: out of either kind, into either kind, and never over what stands."""

from pathlib import Path

import pytest

from leakdx.errors import StorageError
from leakdx.store.database.backup import back_up
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.check import check
from leakdx.store.database.connect import open_database
from leakdx.store.database.place import store_place
from leakdx.store.database.restore import restore
from tests.store.database.many import case, fill
from tests.store.database.stores import KINDS, SIX, a_case, fresh_url


@pytest.fixture
def store(url: str) -> CaseStore:
    made = open_store(url)
    fill(made, 40)
    return made


@pytest.mark.parametrize("into", KINDS)
def test_what_was_backed_up_is_restored_whole(store: CaseStore, into: str, tmp_path: Path) -> None:
    back_up(store.database, tmp_path / "monday.db")
    place = store_place(fresh_url(into, tmp_path / "new"))
    assert restore(tmp_path / "monday.db", place) == 40
    again = CaseStore(open_database(place))
    assert check(place).faults == ()
    assert all(again.case(case(n).id, SIX) == case(n) for n in (1, 20, 40))
    again.begin(a_case())
    assert again.case("KD-1", SIX) == a_case()


def test_a_name_relative_to_here_does(store: CaseStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    back_up(store.database, Path("monday.db"))
    assert restore(Path("monday.db"), store_place("sqlite:///restored.db")) == 40
    assert (tmp_path / "restored.db").exists()


def test_nothing_that_stands_is_overwritten(store: CaseStore, tmp_path: Path) -> None:
    path = tmp_path / "monday.db"
    back_up(store.database, path)
    before = path.read_bytes()
    with pytest.raises(StorageError, match="stands already and was not overwritten"):
        back_up(store.database, path)
    with pytest.raises(StorageError, match="was not overwritten"):
        restore(path, store.database.place)
    assert path.read_bytes() == before
    assert store.case("M-000001", SIX) == case(1)


@pytest.mark.parametrize(
    ("data", "says"), [(None, "there is no such file"), (b"x" * 500, "does not begin as a case store does")]
)
def test_what_is_no_backup_is_refused_and_leaves_nothing(data: bytes | None, says: str, tmp_path: Path) -> None:
    path, target = tmp_path / "monday.db", tmp_path / "new" / "cases.db"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(StorageError, match=says):
        restore(path, store_place(f"sqlite:///{target}"))
    assert not target.exists()
