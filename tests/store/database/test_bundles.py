"""Cases sent as a bundle from one store to another: log, photos, what was shown, and the knowledge behind it."""

import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs
from sqlalchemy import func, select

from leakdx.cli import main
from leakdx.errors import ExitCode, StorageError
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.bundle.reading import open_bundle
from leakdx.store.database import bundles
from leakdx.store.database.bundles import take_in_bundle, write_bundle
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.check import check
from leakdx.store.database.forget import forget
from leakdx.store.database.photos import attach, files_of, kept_file
from leakdx.store.database.replay import replay
from leakdx.store.database.search import Wanted, find
from leakdx.store.database.shown import shown_of
from leakdx.store.database.tables import heads, metadata
from leakdx.store.database.transfer import Taken
from tests.store.bundle.bundles import PHOTO, SOURCE, good, photographed, zipped
from tests.store.database.stores import SIX, SIX_FOLDER, a_case, fresh_url, grown


@pytest.fixture
def shop(tmp_path: Path) -> CaseStore:
    """A store in SQLite with one case that was shown, photographed, renamed and shown again."""
    store = open_store(fresh_url("sqlite", tmp_path))
    store.begin(a_case())
    home = store.home("KD-1", SIX, lambda: SOURCE)
    home.shown(diagnose(SIX, home.case))
    case = photographed(home.case)
    attach(store, store.kept("KD-1"), home.case, [(case.log[-1], PHOTO)])  # type: ignore[list-item]
    home.reload()
    home.save(structs.replace(home.case, unit="Tractor 18"))
    home.shown(diagnose(SIX, home.case))
    return store


@pytest.fixture
def sent(shop: CaseStore, tmp_path: Path) -> Callable[..., Path]:
    """Writes the case as a bundle."""

    def write(name: str = "sent.zip", **how: bool) -> Path:
        write_bundle(shop, ["KD-1"], tmp_path / name, SIX, SOURCE, **how)
        return tmp_path / name

    return write


def taken_in(store: CaseStore, path: Path, id: str | None = None) -> tuple[Taken, ...]:
    with open_bundle(path, SIX) as bundle:
        return take_in_bundle(store, bundle.renamed(id) if id else bundle, SIX)


def counts(store: CaseStore) -> dict[str, int]:
    """The rows of every table."""
    with store.database.reading() as connection:
        return {
            name: connection.execute(select(func.count()).select_from(table)).scalar_one()
            for name, table in metadata.tables.items()
        }


def test_a_case_goes_to_the_other_store_and_comes_back_the_same_byte_for_byte(
    shop: CaseStore, sent: Callable[..., Path], url: str, tmp_path: Path
) -> None:
    other, path = open_store(url), sent()
    assert taken_in(other, path) == (Taken("KD-1", True, 4),)
    assert other.case("KD-1", SIX) == shop.case("KD-1", SIX)
    assert kept_file(other, PHOTO.sha256) == structs.replace(PHOTO, name=PHOTO.sha256[:12])
    before, after = shown_of(shop.database, "KD-1"), shown_of(other.database, "KD-1")
    assert [(s.written, s.entries, s.knowledge, s.answers) for s in after] == [
        (s.written, s.entries, s.knowledge, s.answers) for s in before
    ]
    assert [(one.same, one.wrong) for one in replay(other, "KD-1")] == [(True, "")] * 2
    assert find(other, Wanted())[0].cause == find(shop, Wanted())[0].cause is not None
    assert check(other.database.place).faults == ()
    back = tmp_path / "back.zip"
    write_bundle(other, ["KD-1"], back, SIX, SOURCE)
    assert back.read_bytes() == path.read_bytes()


def test_it_goes_on_over_there_and_what_is_new_comes_back(
    shop: CaseStore, sent: Callable[..., Path], url: str, tmp_path: Path
) -> None:
    other = open_store(url)
    taken_in(other, sent())
    home = other.home("KD-1", SIX, lambda: SOURCE)
    home.save(structs.replace(grown(home.case, "from the other bay"), unit="Tractor 19"))
    home.shown(diagnose(SIX, home.case))
    back = tmp_path / "back.zip"
    write_bundle(other, ["KD-1"], back, SIX, SOURCE)
    assert taken_in(shop, back) == (Taken("KD-1", False, 1),)
    assert taken_in(shop, back) == (Taken("KD-1", False, 0),)
    assert shop.case("KD-1", SIX) == other.case("KD-1", SIX)
    assert [one.same for one in replay(shop, "KD-1")] == [True] * 3
    assert (len(shown_of(shop.database, "KD-1")), counts(shop)["files"], counts(shop)["knowledges"]) == (3, 1, 1)


def test_heads_that_a_case_never_had_here_do_not_become_its_own(url: str, tmp_path: Path) -> None:
    """The bundle tells of a time before the truck had a unit."""
    path = tmp_path / "good.zip"
    path.write_bytes(zipped(good()))
    store = open_store(url)
    taken_in(store, path)
    assert store.case("KD-9", SIX).unit == "Tractor 17"
    taken_in(store, path)
    assert counts(store)["heads"] == 3  # its own, the older one, and again its own as the last
    assert check(store.database.place).faults == ()
    assert find(store, Wanted())[0].cause == "pinion_seal"


def test_what_was_taken_out_of_a_case_for_good_does_not_come_back_with_its_own_bundle(
    sent: Callable[..., Path], url: str
) -> None:
    store, path = open_store(url), sent()
    taken_in(store, path)
    forget(store, "KD-1", SIX)
    assert taken_in(store, path) == (Taken("KD-1", False, 0, differs=True),)
    with store.database.reading() as connection:
        assert not any("Tractor" in text for text in connection.execute(select(heads.c.text)).scalars())


def test_two_that_differ_are_not_mixed_and_another_id_takes_the_other_in(
    shop: CaseStore, sent: Callable[..., Path], url: str
) -> None:
    other = open_store(url)
    other.begin(grown(a_case(entries=2), "another story"))
    before = counts(other)
    with pytest.raises(StorageError, match="differs from entry 3 on; nothing was taken in"):
        taken_in(other, sent())
    assert counts(other) == before
    assert taken_in(other, sent("again.zip"), "KD-1-b") == (Taken("KD-1-b", True, 4),)
    assert [one.same for one in replay(other, "KD-1-b")] == [True] * 2


def test_an_import_that_fails_at_its_end_leaves_no_row(
    sent: Callable[..., Path], url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = open_store(url)
    before = counts(other)

    def fails(*_: object) -> None:
        raise StorageError("the disk is full")

    monkeypatch.setattr(bundles, "_take_history", fails)
    with pytest.raises(StorageError, match="the disk is full"):
        taken_in(other, sent())
    assert counts(other) == before


def test_a_photo_that_the_store_has_lost_is_left_out_and_the_case_still_goes(tmp_path: Path) -> None:
    stores = [open_store(fresh_url("sqlite", tmp_path)) for _ in range(2)]
    stores[0].begin(photographed(a_case()))
    write_bundle(stores[0], ["KD-1"], tmp_path / "sent.zip", SIX, SOURCE)
    taken_in(stores[1], tmp_path / "sent.zip")
    assert [row.kind for row in files_of(stores[1], stores[1].case("KD-1", SIX))] == [None]


def test_a_redacted_bundle_says_nowhere_whose_it_is(sent: Callable[..., Path], tmp_path: Path) -> None:
    path = sent("redacted.zip", redact=True)
    with zipfile.ZipFile(path) as zip:
        names = zip.namelist()
        text = b"".join(zip.read(name) for name in names if name.startswith("cases/"))
    assert not any(name.startswith("photos/") for name in names)
    assert not any(word in text for word in (b"Tractor", b"drips", b"wet.jpg", b"AB", PHOTO.sha256.encode()))
    assert taken_in(open_store(fresh_url("sqlite", tmp_path)), path)[0].added == 4


def test_a_bundle_is_not_written_over_a_file_and_one_that_fails_leaves_none(
    shop: CaseStore, sent: Callable[..., Path], tmp_path: Path
) -> None:
    whole = sent().read_bytes()
    with pytest.raises(StorageError, match="stands already and was not overwritten"):
        sent()
    assert sent("sent.zip", replace=True).read_bytes() == whole
    with pytest.raises(StorageError, match="there is no case 'nobody'"):
        write_bundle(shop, ["KD-1", "nobody"], tmp_path / "half.zip", SIX, SOURCE)
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["sent.zip"]


def test_the_commands_send_and_take_in(shop: CaseStore, url: str, tmp_path: Path) -> None:
    path, six = str(tmp_path / "a.zip"), ["--knowledge", str(SIX_FOLDER)]
    from_here = ["--store", f"sqlite:///{shop.name}"]
    assert main(["cases", "export", "--all", "-o", path, *from_here, *six]) == ExitCode.OK
    assert main(["cases", "import", path, "--store", url, *six]) == ExitCode.OK
    assert main(["cases", "import", path, "--store", url, "--as", "KD-2", *six]) == ExitCode.OK
    assert main(["cases", "replay", "KD-2", "--store", url]) == ExitCode.OK
    assert [row.id for row in find(open_store(url), Wanted())] == ["KD-2", "KD-1"]
