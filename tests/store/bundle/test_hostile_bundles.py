"""Bundles that are meant to do harm, or that came to harm: each one sentence, and nothing is left behind."""

import io
import json
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import func, select

from leakdx.cli import main
from leakdx.errors import CaseError, ExitCode, StorageError
from leakdx.store.bundle import archive
from leakdx.store.bundle.reading import open_bundle
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.tables import metadata
from tests.store.bundle.bundles import KNOWLEDGE_NAME, PHOTO, PHOTO_NAME, good, zipped
from tests.store.database.stores import SIX, SIX_FOLDER, a_case
from tests.store.pictures import claims_to_be, picture


def with_file(name: str, data: bytes = b"x") -> bytes:
    """The good bundle with one file more, or another in its place."""
    return zipped({**good(), name: data})


def with_photo(data: bytes) -> bytes:
    """The good bundle with these bytes as its photo, every hash of it right."""
    import hashlib

    sha256 = hashlib.sha256(data).hexdigest()
    files = {name: part.replace(PHOTO.sha256.encode(), sha256.encode()) for name, part in good().items()}
    del files[PHOTO_NAME]
    return zipped({**files, f"photos/{sha256}.jpg": data})


def with_json(name: str, change: Callable[[Any], None]) -> bytes:
    """The good bundle with one of its JSON files changed, its hash right again."""
    said = json.loads(good()[name])
    change(said)
    return zipped({**good(), name: json.dumps(said).encode()}, hashed=name != "bundle.json")


def with_shown(**changed: object) -> bytes:
    """The good bundle with another diagnosis."""
    return with_json("cases/1.json", lambda said: said["shown"][0].update(changed))


def with_info(change: Callable[[zipfile.ZipInfo], None], data: bytes | None = None) -> bytes:
    """The good bundle with its case's file described in another way."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as zip:
        for name, part in good().items():
            info = zipfile.ZipInfo(name)
            if name == "cases/1.yaml":
                change(info)
            zip.writestr(info, part)
    return made.getvalue()


def flagged(whole: bytes, name: str, at: int, value: bytes) -> bytes:
    """The zip file with bytes changed in what its directory says of a file."""
    whole_ = bytearray(whole)
    start = whole.rindex(name.encode()) - 46
    whole_[start + at : start + at + len(value)] = value
    return bytes(whole_)


def says_it_unpacks_to(name: str, size: int, whole: bytes | None = None) -> bytes:
    """A bundle whose directory claims another size of a file."""
    return flagged(whole or zipped(good()), name, 24, size.to_bytes(4, "little"))


def twice() -> bytes:
    made = io.BytesIO(zipped(good()))
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(made, "a") as zip:
        zip.writestr("cases/1.yaml", "case: other\n")
    return made.getvalue()


def link(info: zipfile.ZipInfo) -> None:
    info.external_attr = (stat.S_IFLNK | 0o777) << 16


def packed_otherwise(info: zipfile.ZipInfo) -> None:
    info.compress_type = zipfile.ZIP_BZIP2


ZEROS = b"\0" * (2 << 20)
DEEP = b"[" * 100_000
NO_NAME = "which is no name in a bundle"
CANNOT = "tells of a diagnosis that this case cannot have had"
HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "climbs": (lambda: with_file("../../evil.yaml"), f"it holds '../../evil.yaml', {NO_NAME}"),
    "climbs within": (lambda: with_file("cases/../1.yaml"), NO_NAME),
    "absolute": (lambda: with_file("/etc/cron.d/x"), f"it holds '/etc/cron.d/x', {NO_NAME}"),
    "drive": (lambda: with_file("C:\\x.yaml"), NO_NAME),
    "backslash": (lambda: with_file("cases\\1.yaml"), NO_NAME),
    "folder": (lambda: with_file("cases/"), NO_NAME),
    "device": (lambda: with_file("NUL"), NO_NAME),
    "program": (lambda: with_file("photos/run.sh"), NO_NAME),
    "steers": (lambda: with_file("a\x1b[2J\u202egpj.exe"), f"it holds 'a\\[2Jgpj.exe', {NO_NAME}"),
    "other digits": (lambda: with_file("cases/١.yaml"), NO_NAME),
    "twice": (twice, "it holds 'cases/1.yaml' twice"),
    "link": (lambda: with_info(link), "its 'cases/1.yaml' is a link or no file"),
    "packed otherwise": (lambda: with_info(packed_otherwise), "is encrypted or packed in another way"),
    "encrypted": (lambda: flagged(zipped(good()), "cases/1.yaml", 8, b"\x01"), "is encrypted or packed in another way"),
    "bomb": (lambda: says_it_unpacks_to("cases/1.json", 65 << 20), "its 'cases/1.json' unpacks to more than 64 MiB"),
    "bomb by ratio": (lambda: with_file("cases/1.json", ZEROS), "unpacks to more than 200 times its size"),
    "says less than it unpacks to": (
        lambda: says_it_unpacks_to("cases/1.json", 99, with_file("cases/1.json", ZEROS)),
        "its file cases/1.json is damaged",
    ),
    "photo changed": (
        lambda: zipped({**good(), PHOTO_NAME: picture(shade=9)}, hashed=False),
        "is not what its hash says",
    ),
    "photo of another name": (lambda: with_file(PHOTO_NAME, picture(shade=9)), "is not what its name says"),
    "case changed": (
        lambda: zipped({**good(), "cases/1.yaml": b"case: X\n"}, hashed=False),
        "its file cases/1.yaml is not what its hash says",
    ),
    "knowledge changed": (
        lambda: with_json(KNOWLEDGE_NAME, lambda said: said["files"][0].update(text="complaint: x\n")),
        "is not the knowledge that its hash says",
    ),
    "knowledge is none": (lambda: with_file(KNOWLEDGE_NAME, DEEP), "is no knowledge"),
    "huge photo": (lambda: says_it_unpacks_to(PHOTO_NAME, 21 << 20), "unpacks to more than 20 MiB"),
    "photo of huge claim": (
        lambda: zipped({**good(), f"photos/{'0' * 64}.png": claims_to_be(30_000, 30_000)}),
        "is not what its name says",
    ),
    "text called jpg": (lambda: with_photo(b"hello"), "holds plain text, which its name does not say"),
    "photo cut off": (lambda: with_photo(picture()[:-300]), "is damaged or cut off"),
    "photo that nobody names": (
        lambda: zipped({**good(), "cases/1.yaml": b"case: KD-9\nlog: []\n", "cases/1.json": b"{}"}),
        "it holds a photo that no entry of its cases names",
    ),
    "case that is none": (lambda: with_file("cases/1.yaml", b"log: [[["), "cases/1.yaml:2:1: is not YAML"),
    "alias bomb": (lambda: with_file("cases/1.yaml", b"case: &a x\nunit: *a\n"), "cases/1.yaml:1"),
    "id like a path": (lambda: with_file("cases/1.yaml", good()["cases/1.yaml"].replace(b"KD-9", b"../KD-9")), "an id"),
    "two of one id": (
        lambda: with_file("cases/2.yaml", good()["cases/1.yaml"].replace(b"KD-9", b"kd-9")),
        "it holds no case, or two of the same id",
    ),
    "history of no case": (lambda: with_file("cases/2.json", b"{}"), "its file cases/2.json belongs to no case"),
    "no case": (
        lambda: zipped({name: good()[name] for name in ("bundle.json", KNOWLEDGE_NAME)}),
        "it holds no case",
    ),
    "diagnosis of entries to come": (lambda: with_shown(entries=99), CANNOT),
    "diagnosis without its head": (lambda: with_shown(head=1), CANNOT),
    "diagnosis by no knowledge": (lambda: with_shown(knowledge="0" * 64), CANNOT),
    "diagnosis of no time": (lambda: with_shown(written="yesterday"), CANNOT),
    "diagnosis that steers": (lambda: with_shown(version="1\x1b[2J"), CANNOT),
    "diagnosis of odd answers": (lambda: with_shown(answers={"causes": 5}), "is not written as in a bundle"),
    "head that steers": (
        lambda: with_json("cases/1.json", lambda said: said.update(heads=["unit: \x9b31m\n"])),
        "holds control characters",
    ),
    "history without end": (lambda: with_file("cases/1.json", DEEP), "is not written as in a bundle"),
    "file that is not named": (
        lambda: zipped({**good(), "cases/3.yaml": b"case: X\n"}, hashed=False),
        "bundle.json and its files differ in 'cases/3.yaml'",
    ),
    "file that is not there": (
        lambda: with_json("bundle.json", lambda said: said["files"].update({"cases/7.yaml": "0" * 64})),
        "bundle.json and its files differ in 'cases/7.yaml'",
    ),
    "no manifest": (lambda: zipped({"cases/1.yaml": b"case: X\n"}), "it has no bundle.json"),
    "manifest of odd fields": (
        lambda: with_json("bundle.json", lambda said: said.update(run="rm -rf /")),
        "bundle.json is not written as in a bundle",
    ),
    "newer": (
        lambda: with_json("bundle.json", lambda said: said.update({"leakdx bundle": 2})),
        "was written by a newer leakdx",
    ),
    "no zip": (lambda: b"hello", "is no bundle, or cut off"),
    "nothing": (lambda: b"", "is no bundle, or cut off"),
    "cut off": (lambda: zipped(good())[:-30], "is no bundle, or cut off"),
}


@pytest.fixture
def store(tmp_path: Path) -> CaseStore:
    made = open_store(f"sqlite:///{tmp_path / 'store' / 'cases.db'}")
    made.begin(a_case())
    return made


def left(store: CaseStore, folder: Path) -> object:
    """Every file below the folder, and the rows of every table."""
    with store.database.reading() as connection:
        rows = {
            name: connection.execute(select(func.count()).select_from(table)).scalar_one()
            for name, table in metadata.tables.items()
        }
    return rows, sorted(path.name for path in folder.rglob("*") if not path.name.endswith(("-wal", "-shm")))


@pytest.mark.parametrize("what", HOSTILE)
def test_each_is_refused_in_one_sentence_and_nothing_of_it_stays(
    what: str, store: CaseStore, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make, says = HOSTILE[what]
    path = tmp_path / "bundle.zip"
    path.write_bytes(make())
    before = left(store, tmp_path)
    words = ["cases", "import", str(path), "--knowledge", str(SIX_FOLDER), "--store", f"sqlite:///{store.name}"]
    assert main(words) in (ExitCode.STORAGE, ExitCode.CASE)
    said = capsys.readouterr()
    assert says.replace("\\[", "[") in said.err
    assert (said.out, "Traceback" in said.err, "\x1b" in said.err) == ("", False, False)
    assert len(said.err.strip().splitlines()) == 1
    assert left(store, tmp_path) == before


def test_no_store_is_made_for_a_bundle_that_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bundle.zip"
    path.write_bytes(HOSTILE["photo changed"][0]())
    url = f"sqlite:///{tmp_path / 'new' / 'cases.db'}"
    words = ["cases", "import", str(path), "--knowledge", str(SIX_FOLDER), "--store", url]
    assert main(words) == ExitCode.STORAGE
    path.write_bytes(zipped(good()))
    assert main([*words, "--as", "../x"]) == ExitCode.STORAGE
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("cap", ["MOST_FILES", "MOST_TOTAL", "MOST_TEXT"])
def test_a_bundle_of_too_much_is_refused_before_any_of_it_is_read(
    cap: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bundle.zip"
    path.write_bytes(zipped(good()))
    monkeypatch.setattr(archive, cap, 3)
    with pytest.raises(StorageError, match=r"unpacks to more than|is larger than"), open_bundle(path, SIX):
        pass


@pytest.mark.parametrize("name", ["folder", "missing", "a\0b"])
def test_what_is_no_file_is_no_bundle(name: str, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    with pytest.raises(StorageError, match=r"is no file|cannot be read|is damaged"), open_bundle(tmp_path / name, SIX):
        pass


def test_what_steers_is_dropped_from_a_case_as_from_a_case_file(tmp_path: Path) -> None:
    path = tmp_path / "bundle.zip"
    path.write_bytes(
        with_file("cases/1.yaml", good()["cases/1.yaml"] + '  - {who: AB, note: "a\u202eb\u200bc"}\n'.encode())
    )
    with open_bundle(path, SIX) as bundle:
        assert bundle.cases[0].case.log[-1].note == "abc"


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(at=st.integers(0, 1 << 20), with_=st.binary(min_size=1, max_size=8), cut=st.integers(0, 200))
def test_a_damaged_bundle_is_refused_or_says_what_it_said(at: int, with_: bytes, cut: int, tmp_path: Path) -> None:
    whole = zipped(good())
    at %= len(whole)
    path = tmp_path / "bundle.zip"
    path.write_bytes((whole[:at] + with_ + whole[at + len(with_) :])[: len(whole) - cut // 2])
    try:
        with open_bundle(path, SIX) as bundle:
            read = [bundle.photo(sha256) for sha256 in bundle.photos]
            same = (bundle.cases[0].case.id, read) == ("KD-9", [PHOTO.data])
    except (StorageError, CaseError) as error:
        same = str(error).startswith(f"{path}: ")
    assert same
