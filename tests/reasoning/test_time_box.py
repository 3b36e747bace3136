"""So many minutes for looking: only what fits is asked, and what does not is named where it would be worth it."""

from pathlib import Path

import pytest

from leakdx.cli import main
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.casefile import read_case
from tests.reasoning.shipped_case import KNOWLEDGE

CASE = Path(__file__).parents[2] / "docs" / "cases" / "08-too-little-to-open.yaml"
BOXES = (4.0, 20.0, 80.0, 1e6)


@pytest.fixture(scope="module")
def boxed() -> dict[float | None, Diagnosis]:
    case = read_case(CASE, KNOWLEDGE)
    return {box: diagnose(KNOWLEDGE, case, at_hand=box) for box in (None, *BOXES)}


def test_what_is_asked_fits_with_all_that_is_opened_for_it(boxed: dict[float | None, Diagnosis]) -> None:
    shown = 0
    for box in BOXES:
        answers = boxed[box].answers
        for check in (*([answers.next_check] if answers.next_check else []), *answers.other_checks):
            waiting = sum(60 * KNOWLEDGE.openings[o].elapsed_hours for o in check.opens)
            assert check.minutes[1] + waiting <= box
            shown += 1
    assert shown > 3


def test_all_the_time_there_is_is_as_if_none_was_said(boxed: dict[float | None, Diagnosis]) -> None:
    free, long = boxed[None].answers, boxed[1e6].answers
    assert (free.next_check, free.other_checks, free.decision) == (long.next_check, long.other_checks, long.decision)
    assert (free.at_hand, long.at_hand) == (None, 1e6)


def test_what_is_worth_it_and_takes_too_long_is_named_and_nothing_is_repaired_for_want_of_time(
    boxed: dict[float | None, Diagnosis],
) -> None:
    short, free = boxed[4.0].answers, boxed[None].answers
    assert free.next_check is not None
    assert short.next_check is None
    assert short.decision.do == "look_further"
    assert free.next_check.name in short.decision.reason
    assert "takes longer than the time at hand" in short.decision.reason


def test_less_time_is_never_worth_more(boxed: dict[float | None, Diagnosis]) -> None:
    worth = [max((a.net_value for a in boxed[box].plan.checks), default=0.0) for box in BOXES]
    assert worth == sorted(worth)
    assert worth[0] < worth[-1]
    for box in BOXES:
        both = {a.check for a in (*boxed[box].plan.checks, *boxed[box].plan.too_long)}
        assert both == {a.check for a in boxed[None].plan.checks}
        assert boxed[box].answers.repairs == boxed[None].answers.repairs


@pytest.mark.parametrize(
    ("words", "typed"), [(["diagnose", "x"], "0"), (["diagnose", "x"], "-5"), (["ask", "x.yaml"], "nan")]
)
def test_a_time_box_of_nothing_is_one_sentence(
    words: list[str], typed: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*words, "--minutes", typed]) == 2
    said = capsys.readouterr().err
    assert f"the time that there is for looking, more than 0 and at most 1440, not {typed}" in said
    assert len(said.splitlines()) == 1
