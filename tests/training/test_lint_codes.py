"""Every code of a hint has a broken knowledge that shows it, and a heading that explains it."""

import re
from pathlib import Path

import pytest

from leakdx.knowledge.hints import Hint
from leakdx.knowledge.lint import lint
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from leakdx.training.deep import deep_lint
from tests.knowledge.places import DATA, ROOT, SIX

EXPECTED = "# => "
FILES = sorted((DATA / "knowledge_lint").iterdir())


def hints(knowledge: Knowledge) -> set[str]:
    found = (*lint(knowledge), *deep_lint(knowledge, ()))
    return {str(one).replace(f"{DATA}/", "") for one in found}


@pytest.fixture(scope="module")
def of_six() -> set[str]:
    return hints(load_knowledge([SIX]))


def test_codes_files_and_headings_are_the_same() -> None:
    codes = [code.value for code in Hint]
    assert sorted({path.name.split("_")[0] for path in FILES}) == codes
    headings = re.findall(r"^### (L\d+)", (ROOT / "docs" / "knowledge_lint.md").read_text(encoding="utf-8"), re.M)
    assert headings == codes


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_broken_knowledge_says_just_what_is_expected(path: Path, of_six: set[str]) -> None:
    code = path.name.split("_")[0]
    lines = path.read_text(encoding="utf-8").splitlines()
    expected = {line.removeprefix(EXPECTED) for line in lines if line.startswith(EXPECTED)}
    said = {line for line in hints(load_knowledge([SIX, path])) - of_six if f": {code} " in line}
    assert said == expected
    assert said


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_hint_is_one_sentence_of_two_parts(path: Path) -> None:
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith(EXPECTED):
            assert re.fullmatch(r"# => \S+:\d+:\d+: L\d{3} ([^;]+); ([^;]+[^.])", line)
