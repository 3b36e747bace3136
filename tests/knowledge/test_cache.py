"""The kept copy is the same knowledge, and nothing about it can spoil a load."""

import subprocess
import sys
from pathlib import Path

import pytest

from leakdx import folders
from leakdx.knowledge import build
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from tests.knowledge.places import ROOT, SIX, THIRTY, faults


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(folders.CACHE, str(tmp_path / "cache"))
    return tmp_path / "cache"


def test_a_copy_is_kept_and_equal(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fresh = load_knowledge([SIX])
    assert len(list(folder.iterdir())) == 1

    def refuse(files: object) -> Knowledge:
        raise AssertionError("read again")

    monkeypatch.setattr(build, "build", refuse)
    kept = load_knowledge([SIX])
    assert kept == fresh
    assert list(kept.signs) == list(fresh.signs)
    assert isinstance(kept.signs["torque_pattern"].results, dict)


@pytest.mark.parametrize("spoilt", [b"", b"{", b"{}", b"null", b"\xff\xfe", b"[" * 100_000])
def test_a_spoilt_copy_is_made_anew(folder: Path, spoilt: bytes) -> None:
    fresh = load_knowledge([SIX])
    (copy,) = folder.iterdir()
    good = copy.read_bytes()
    copy.write_bytes(spoilt)
    assert load_knowledge([SIX]) == fresh
    assert copy.read_bytes() == good


def test_a_copy_of_other_contents_is_not_used(folder: Path) -> None:
    fresh = load_knowledge([SIX])
    (copy,) = folder.iterdir()
    copy.write_bytes(copy.read_bytes().replace(fresh.hash.encode(), b"0" * 64))
    assert load_knowledge([SIX]) == fresh


def test_a_folder_that_cannot_be_written_is_not_missed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    monkeypatch.setenv(folders.CACHE, str(blocked / "cache"))
    assert load_knowledge([SIX]).causes
    monkeypatch.setenv(folders.CACHE, "")
    assert load_knowledge([SIX]).causes
    assert blocked.read_text("utf-8") == "in the way"


def test_faulty_knowledge_is_not_kept(folder: Path) -> None:
    assert len(faults(SIX, THIRTY)) == 30
    assert not folder.exists()


def test_old_copies_are_cleared_away(folder: Path) -> None:
    folder.mkdir()
    for number in range(20):
        (folder / f"knowledge-{number:032}.json").write_text("{}")
    load_knowledge([SIX])
    assert len(list(folder.iterdir())) == 8
    assert load_knowledge([SIX]).causes


def test_a_start_from_a_copy_reads_no_yaml(folder: Path) -> None:
    load_knowledge([SIX])
    code = (
        "import sys; from pathlib import Path; from leakdx.knowledge.loader import load_knowledge;"
        f"load_knowledge([Path({str(SIX)!r})]);"
        "heavy = {'yaml', 'pint', 'platformdirs', 'difflib', 'leakdx.knowledge.convert'};"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
