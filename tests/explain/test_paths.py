"""The best paths side by side: what they need first and what rules hold back, in words."""

import pytest

from leakdx.explain.paths import LETTERS, path_cards
from leakdx.explain.words import path_name
from leakdx.reasoning.repair import still_to_open
from tests.shipped import NAMES, diagnosis, knowledge


@pytest.mark.parametrize("name", NAMES)
def test_each_path_has_its_card_with_what_has_to_be_opened_for_it(name: str) -> None:
    made = diagnosis(name)
    cards = path_cards(made)
    assert [card.path for card in cards] == list(made.repairs)
    assert "".join(card.letter for card in cards) == LETTERS[: len(cards)]
    for card in cards:
        assert card.name == path_name(knowledge(), card.path.actions)
        access = [o for action in card.path.actions for o in knowledge().repairs[action].access]
        said = " ".join(card.first)
        for opening in still_to_open(knowledge(), access, made.timeline.open):
            assert f"open: {knowledge().openings[opening].name} (" in said


def test_a_hold_before_opening_and_faces_not_measured_yet_come_first() -> None:
    card = path_cards(diagnosis("05"))[0]
    assert [text for text in card.first if text.startswith("HOLD: Before draining")]
    assert card.first[-2:] == ("flatness of the housing face", "flatness of the carrier face")
    assert card.first.index("open: oil drained (10-20 min)") < card.first.index("open: carrier out (2.5-4.5 h)")


def test_a_ban_that_the_path_itself_answers_is_not_held_against_it() -> None:
    made = diagnosis("02")
    card = path_cards(made)[0]
    bans = [ban for ban in made.forbidden if ban.action in card.path.actions]
    assert [ban.scope for ban in bans] == ["unless together with"]
    assert set(bans[0].other) & set(card.path.actions)
    assert card.barred == ()


def test_what_holds_back_a_part_of_a_path_is_said() -> None:
    cards = [card for name in NAMES for card in path_cards(diagnosis(name)) if card.barred]
    assert cards
    for card in cards:
        assert any(knowledge().name(action) in text for action in card.path.actions for text in card.barred)
