"""By how much an answer that is told could move the chances, on average over the answers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.reasoning.gather import answer_evidence
from leakdx.reasoning.told_worth import expected_move

SHIPPED = load_knowledge([shipped_folder()])


def test_by_hand() -> None:
    """A cause at 0.5, raised by 6 dB in 40 of 100 and else lowered by 6 dB: .5 -> .799 or .201, so .299 either way."""
    group = SHIPPED.history["oil_dripped_at_closing"]
    (up, down) = list(group.answers)
    cause = next(iter(SHIPPED.causes))
    answers = {
        up: replace(group.answers[up], common=40, shifts={cause: "clearly more"}),
        down: replace(group.answers[down], common=60, shifts={cause: "clearly less"}),
    }
    k = replace(SHIPPED, hash="", history={"g": replace(group, answers=answers)}, causes={cause: SHIPPED.causes[cause]})
    db = answer_evidence(k, 0, "g", up).decibans[cause]
    odds = 10 ** (db / 10)
    assert expected_move(k, "g", {cause: 0.5}) == pytest.approx(abs(odds / (1 + odds) - 0.5))


@given(st.sampled_from(sorted(SHIPPED.history)), st.floats(0, 1))
def test_it_is_never_below_nought_and_nothing_moves_what_has_no_chance(group: str, chance: float) -> None:
    assert expected_move(SHIPPED, group, dict.fromkeys(SHIPPED.causes, chance)) >= 0
    assert expected_move(SHIPPED, group, dict.fromkeys(SHIPPED.causes, 0.0)) == 0
    assert expected_move(SHIPPED, group, {}) == 0
