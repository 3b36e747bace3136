"""A clear measurement decides, the same one made vague moves the belief less; and what it is worked out by says so."""

import math

import pytest

from leakdx.cli import main
from leakdx.errors import ExitCode
from tests.measured import Measured, all_worked, cases
from tests.measured.__main__ import DOCUMENT

CASES = cases()
NAMES = [case["name"] for case in CASES]


@pytest.fixture(scope="module")
def worked() -> dict[str, Measured]:
    return {each.name: each for each in all_worked()}


def odds(chance: float) -> float:
    return math.log(chance / (1 - chance))


@pytest.mark.parametrize("name", NAMES)
def test_the_clear_measurement_decides_and_the_vague_one_moves_less(worked: dict[str, Measured], name: str) -> None:
    told, cause = worked[name].told, worked[name].case["of"]
    before, clear, vague = (odds(told[how].chance) for how in ("without", "clear", "vague"))
    assert abs(clear - before) > 1.3 * abs(vague - before)
    assert abs(clear - before) > math.log(3)
    assert told["without"].leader != cause
    assert (told["clear"].leader == cause) == (clear > before)


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_it_is_what_the_calculation_says(case: dict[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calc", *case["calc"].split()]) == ExitCode.OK
    said = capsys.readouterr().out
    for words in case["says"]:
        assert words in said


def test_the_document_has_them_all() -> None:
    text = DOCUMENT.read_text(encoding="utf-8")
    assert all(f"| {name} |" in text for name in NAMES)
