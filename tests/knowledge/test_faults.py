"""Every code of a fault has a broken file that shows it, and a heading that explains it."""

import re
from pathlib import Path

import pytest

from leakdx.knowledge.faults import Code, nearest, suggest
from leakdx.knowledge.reader import MAX_BYTES
from tests.knowledge.places import BAD, DATA, ROOT, SIX, THIRTY, faults

EXPECTED = "# => "
BAD_FILES = sorted(BAD.iterdir())


def text_of(path: Path) -> str:
    parts = [path] if path.is_file() else sorted(path.iterdir())
    return "\n".join(part.read_text(encoding="utf-8") for part in parts)


def test_codes_files_and_headings_are_the_same() -> None:
    codes = {code.value for code in Code}
    assert {path.name.split("_")[0] for path in BAD_FILES} == codes
    headings = re.findall(r"^### (K\d+)", (ROOT / "docs" / "knowledge_faults.md").read_text(encoding="utf-8"), re.M)
    assert headings == sorted(codes)
    assert len(set(codes)) == len(list(Code))


@pytest.mark.parametrize("path", BAD_FILES, ids=lambda path: path.stem)
def test_a_broken_file_says_just_what_is_expected(path: Path, tmp_path: Path) -> None:
    expected = [line.removeprefix(EXPECTED) for line in text_of(path).splitlines() if line.startswith(EXPECTED)]
    source = path
    if path.name.startswith(Code.TOO_LARGE):
        source = tmp_path / path.name
        source.write_bytes(path.read_bytes() + b"#" * MAX_BYTES)
    said = [line.replace(f"{source.parent}/", "").replace(f"{DATA}/", "") for line in faults(SIX, source)]
    assert said == expected
    assert any(f" {path.name.split('_')[0]} " in line for line in said)


def test_thirty_faults_are_all_listed_in_order() -> None:
    said = faults(SIX, THIRTY)
    assert len(said) == 30
    places = [line.split(": ")[0].rsplit(":", 2) for line in said]
    assert places == sorted(places, key=lambda place: (place[0], int(place[1]), int(place[2])))


@pytest.mark.parametrize(
    "line", [line for path in BAD_FILES for line in text_of(path).splitlines() if EXPECTED in line]
)
def test_a_fault_is_one_sentence_of_two_parts(line: str) -> None:
    match = re.fullmatch(r"# => \S+:\d+:\d+: K\d{3} ([^;]+); ([^;]+)", line)
    assert match is not None
    assert not match.group(2).endswith(".")


def test_the_nearest_word_is_suggested() -> None:
    assert nearest("oftn", ["often", "mostly"]) == "often"
    assert suggest("oftn", ["often"]) == "did you mean 'often'?"
    assert suggest("zzz", ["b", "a"]) == "known are a, b"
    assert suggest("zzz", [f"w{number}" for number in range(12)]).endswith(" and 4 more")
    assert suggest("zzz", []) == "none is known yet"
