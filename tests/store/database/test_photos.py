"""Photos of cases in both stores, as the commands attach, list and write them out."""

import json
from pathlib import Path

import pytest
from msgspec import structs
from sqlalchemy import func, select, update

from leakdx.case import Record, Withdrawal
from leakdx.cli import main
from leakdx.errors import ChangedError, ExitCode, StorageError
from leakdx.store.attachments import Attachment, read_attachment
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.photos import attach, files_of, kept_file
from leakdx.store.database.tables import entries, files
from tests.store.database.stores import SIX, SIX_FOLDER, a_case, grown
from tests.store.pictures import picture


@pytest.fixture
def store(url: str, tmp_path: Path) -> CaseStore:
    made = open_store(url)
    made.begin(a_case())
    (tmp_path / "wet.jpg").write_bytes(picture())
    return made


def photo(store: CaseStore, url: str, *words: str) -> int:
    """A command about photos of the one case."""
    return main(["cases", words[0], "KD-1", *words[1:], "--store", url, "--knowledge", str(SIX_FOLDER)])


def counts(store: CaseStore) -> tuple[int, int]:
    """(entries, files) of the whole store."""
    with store.database.reading() as connection:
        tables = (entries, files)
        made = [connection.execute(select(func.count()).select_from(table)).scalar_one() for table in tables]
    return made[0], made[1]


def test_a_photo_is_an_entry_and_is_kept_once(
    store: CaseStore, url: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wet = str(tmp_path / "wet.jpg")
    said = ("--who", "AB", "--bay", "3", "--note", "before\nwashing")
    assert photo(store, url, "photo", wet, wet, *said) == ExitCode.OK
    last = store.case("KD-1", SIX).log[-1]
    assert isinstance(last, Record)
    assert (last.number, last.kind, last.note, last.bay) == (5, "photo", "wet.jpg: before washing", "3")
    assert counts(store) == (5, 1)
    capsys.readouterr()
    assert photo(store, url, "photos", "--json") == ExitCode.OK
    rows = json.loads(capsys.readouterr().out)
    assert [(row["entry"], row["kind"], row["sha256"]) for row in rows] == [(n, "jpeg", last.text) for n in (4, 5)]


def test_photos_are_written_out_by_the_numbers_of_their_entries(store: CaseStore, url: str, tmp_path: Path) -> None:
    (tmp_path / "..letter.pdf").write_bytes(b"%PDF-1.7\n%%EOF")
    assert photo(store, url, "photo", str(tmp_path / "wet.jpg"), str(tmp_path / "..letter.pdf"), "--who", "AB") == 0
    out = tmp_path / "out"
    assert photo(store, url, "photos", "-o", str(out)) == ExitCode.OK
    assert photo(store, url, "photos", "-o", str(out), "--small") == ExitCode.OK
    assert sorted(path.name for path in out.iterdir()) == ["entry-004.jpg", "entry-004.small.jpg", "entry-005.pdf"]
    assert photo(store, url, "photos", "-o", str(out)) == ExitCode.STORAGE  # over nothing that is there
    assert photo(store, url, "photos", "--small") == ExitCode.USAGE


def test_of_several_files_all_are_attached_or_none(
    store: CaseStore, url: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "no.jpg").write_text("hello")
    code = photo(store, url, "photo", str(tmp_path / "wet.jpg"), str(tmp_path / "no.jpg"), "--who", "AB")
    assert code == ExitCode.STORAGE
    assert "no.jpg: holds plain text" in capsys.readouterr().err
    assert counts(store) == (3, 0)


def test_a_photo_is_not_kept_where_its_entry_cannot_be(store: CaseStore) -> None:
    kept, case = store.kept("KD-1"), store.case("KD-1", SIX)
    store.home("KD-1", SIX).save(grown(case, "someone else's"))
    one = Attachment("wet.jpg", "jpeg", picture())
    with pytest.raises(ChangedError):
        attach(store, kept, case, [(Record(number=4, who="AB", kind="photo", text=one.sha256), one)])
    assert counts(store) == (4, 0)


def test_a_photo_that_changed_shows_and_one_that_is_not_there_is_said(store: CaseStore, url: str) -> None:
    one = Attachment("wet.jpg", "jpeg", picture())
    case = attach(
        store,
        store.kept("KD-1"),
        store.case("KD-1", SIX),
        [(Record(number=4, who="AB", kind="photo", text=one.sha256, note="wet.jpg"), one)],
    )
    assert kept_file(store, one.sha256, "wet.jpg") == one
    with store.database.writing() as connection:
        connection.execute(update(files).values(data=b"other"))
    with pytest.raises(StorageError, match=f"is damaged.*the file {one.sha256[:12]}"):
        kept_file(store, one.sha256)
    with store.database.writing() as connection:
        connection.execute(files.delete())
    assert [(row.kind, row.size) for row in files_of(store, case)] == [(None, 0)]
    assert photo(store, url, "photos") == ExitCode.OK


def test_photos_are_taken_out_for_good_but_those_that_another_case_names(
    store: CaseStore, url: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "plate.jpg").write_bytes(picture(shade=7))
    wet, plate = str(tmp_path / "wet.jpg"), str(tmp_path / "plate.jpg")
    store.begin(a_case("KD-2"))
    assert photo(store, url, "photo", wet, plate, "--who", "AB") == ExitCode.OK
    of_other = ["cases", "photo", "KD-2", wet, "--who", "CD", "--store", url, "--knowledge", str(SIX_FOLDER)]
    assert main(of_other) == ExitCode.OK
    assert photo(store, url, "forget", "--photos", "--sure", "KD-1") == ExitCode.OK
    assert "photos and the driver's words are taken out" in capsys.readouterr().out
    case = store.case("KD-1", SIX)
    assert [row.kind for row in files_of(store, case)] == ["jpeg", None]
    assert len(case.log) == 5
    path = store.database.place.path
    one = read_attachment(Path(plate)).data
    for file in path.parent.iterdir() if path is not None else ():
        assert one[100:400] not in file.read_bytes(), file


def test_a_photo_that_was_taken_back_is_not_listed_and_one_that_was_put_back_is(
    store: CaseStore, tmp_path: Path
) -> None:
    kept, wet = store.kept("KD-1"), read_attachment(tmp_path / "wet.jpg")
    case = attach(store, kept, a_case(), [(Record(number=4, who="AB", kind="photo", text=wet.sha256), wet)])
    assert [one.entry.number for one in files_of(store, case)] == [4]
    gone = structs.replace(case, log=(*case.log, Withdrawal(number=5, who="AB", entry=4)))
    assert files_of(store, gone) == ()
    again = structs.replace(gone, log=(*gone.log, Withdrawal(number=6, who="AB", entry=5)))
    assert [one.entry.number for one in files_of(store, again)] == [4]
