"""What stands half typed is there again in either store, goes where the store goes and nowhere else, is forgotten."""

import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import update

from leakdx.store.database.backup import back_up
from leakdx.store.database.bundles import write_bundle
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.check import check
from leakdx.store.database.connect import open_database
from leakdx.store.database.forget import forget
from leakdx.store.database.place import store_place
from leakdx.store.database.restore import restore
from leakdx.store.database.salvage import salvage
from leakdx.store.database.tables import drafts
from leakdx.store.draft import Draft
from tests.store.bundle.bundles import SOURCE
from tests.store.database.stores import KINDS, SIX, a_case, fresh_url, grown

NOTE = Draft(title="a note", field="Zebra Haulage wants it ba")
AUDIT = Draft(title="torque audit", typed={"n1": "225 lb-ft", "n2": "0 lb-ft"}, line="n3", field="22")


def begun(url: str) -> CaseStore:
    """A store with two cases, in the first of which two pages stand half typed."""
    store = open_store(url)
    for id in ("KD-1", "KD-2"):
        store.begin(a_case(id))
    home = store.home("KD-1", SIX)
    for field in ("Z", "Ze"):
        home.keep_draft("note", Draft(title="a note", field=field))
    home.keep_draft("note", NOTE)
    home.keep_draft("audit", AUDIT)
    return store


def test_it_is_there_again_page_by_page_written_over_and_wiped(url: str) -> None:
    store = begun(url)
    again = open_store(url)
    home = again.home("kd-1", SIX)
    assert home.drafts() == {"audit": AUDIT, "note": NOTE}
    assert again.home("KD-2", SIX).drafts() == {}
    home.save(grown(home.case, "seen"))
    home.keep_draft("note", None)
    home.keep_draft("never typed", None)
    assert open_store(url).home("KD-1", SIX).drafts() == {"audit": AUDIT}
    assert check(store.database.place).faults == ()


@settings(max_examples=20)
@given(field=st.text(), typed=st.dictionaries(st.text(), st.text(), max_size=3))
def test_whatever_is_typed_is_read_again_as_it_was(
    field: str, typed: dict[str, str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    store = open_store(f"sqlite:///{tmp_path_factory.mktemp('any') / 'cases.db'}")
    store.begin(a_case())
    draft = Draft(title=field, typed=typed, line=field, field=field)
    store.home("KD-1", SIX).keep_draft(field, draft)
    assert store.home("KD-1", SIX).drafts() == {field: draft}


@pytest.mark.parametrize("into", KINDS)
def test_it_goes_into_a_backup_and_out_of_it(url: str, into: str, tmp_path: Path) -> None:
    back_up(begun(url).database, tmp_path / "monday.db")
    place = store_place(fresh_url(into, tmp_path / "new"))
    restore(tmp_path / "monday.db", place)
    assert CaseStore(open_database(place)).home("KD-1", SIX).drafts() == {"audit": AUDIT, "note": NOTE}


@pytest.mark.parametrize("redact", [True, False])
def test_it_leaves_the_shop_in_no_bundle(url: str, redact: bool, tmp_path: Path) -> None:
    write_bundle(begun(url), ["KD-1"], tmp_path / "sent.zip", SIX, SOURCE, redact=redact)
    with zipfile.ZipFile(tmp_path / "sent.zip") as bundle:
        assert not any(b"Zebra" in bundle.read(name) for name in bundle.namelist())


def test_it_is_forgotten_with_whose_truck_it_was_and_no_byte_of_the_file_holds_it(url: str) -> None:
    store = begun(url)
    store.home("KD-1", SIX).keep_draft("unit", Draft(title="which truck", field="Quagga 7"))
    store.home("KD-1", SIX).keep_draft("unit", None)
    store.home("KD-2", SIX).keep_draft("note", AUDIT)
    forget(store, "KD-1", SIX)
    assert open_store(url).home("KD-1", SIX).drafts() == {}
    assert open_store(url).home("KD-2", SIX).drafts() == {"note": AUDIT}
    path = store.database.place.path
    for file in path.parent.iterdir() if path is not None else ():
        assert not any(word in file.read_bytes() for word in (b"Zebra", b"Quagga")), file


def test_one_that_is_damaged_holds_nobody_up_is_named_and_is_not_salvaged(url: str, tmp_path: Path) -> None:
    store = begun(url)
    with store.database.writing() as connection:
        connection.execute(update(drafts).where(drafts.c.page == "note").values(body="{"))
    assert store.home("KD-1", SIX).drafts() == {"audit": AUDIT}
    place = store.database.place
    assert check(place).faults == ("what stands half typed in case KD-1 (note) is not as it was written",)
    if place.path is None:
        return
    saved = salvage(place, tmp_path / "saved.db")
    assert saved.lost == ["case KD-1: 1 of what stood half typed in it could not be saved"]
    assert open_store(f"sqlite:///{tmp_path / 'saved.db'}").home("KD-1", SIX).drafts() == {"audit": AUDIT}
