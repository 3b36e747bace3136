"""Numbers as people say them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.explain import words
from leakdx.reasoning.answer import Outcome
from tests.shipped import knowledge

CHANCES = st.floats(0, 1, allow_nan=False)


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (1.0, "nearly certain, over 99 %"),
        (0.95, "nearly certain, 95 %"),
        (0.949, "very likely, 95 %"),
        (0.8, "very likely, 80 %"),
        (0.6, "likely, 60 %"),
        (0.4, "about even, 40 %"),
        (0.2, "possible, 20 %"),
        (0.05, "unlikely, 5 %"),
        (0.0, "very unlikely, under 1 %"),
    ],
)
def test_a_word_and_a_number_for_each_chance(chance: float, said: str) -> None:
    assert words.sure(chance) == said


@given(CHANCES)
def test_nothing_is_ever_said_to_be_certain(chance: float) -> None:
    assert words.percent(chance) not in ("0 %", "100 %")
    assert not any(word in words.tenths(chance) for word in ("0 in", "10 in 10"))


@given(CHANCES, CHANCES)
def test_a_likelier_thing_has_no_weaker_word(one: float, other: float) -> None:
    order = [word for _, word in words.SURE_WORDS]
    low, high = sorted((one, other))
    assert order.index(words.sure_word(high)) <= order.index(words.sure_word(low))


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0.02, "less than 1 in 10"),
        (0.07, "about 1 in 10"),
        (0.68, "about 7 in 10"),
        (0.949, "about 9 in 10"),
        (0.96, "more than 9 in 10"),
    ],
)
def test_tenths(chance: float, said: str) -> None:
    assert words.tenths(chance) == said


@pytest.mark.parametrize(
    ("span", "said"),
    [((5, 12), "5-12 min"), ((1, 1), "1 min"), ((70, 170), "70-170 min"), ((210, 360), "3.5-6 h"), ((0, 5), "0-5 min")],
)
def test_hands_on_time(span: tuple[float, float], said: str) -> None:
    assert words.minutes(span) == said


def test_waiting_and_money() -> None:
    assert words.hours((0, 0)) == "none"
    assert words.hours((13, 36)) == "13-36 h"
    assert words.hours((2, 2)) == "2 h"
    assert words.money(1384.4, "USD") == "1,380 USD"
    assert words.money(37, "EUR") == "35 EUR"


@pytest.mark.parametrize(
    ("decibans", "said"),
    [(8.1, "strongly for"), (-6, "strongly against"), (3, "for"), (-3.2, "against"), (0.7, "weakly for")],
)
def test_how_strongly_an_answer_spoke(decibans: float, said: str) -> None:
    assert words.strength(decibans) == said


def test_results_of_a_check_in_words() -> None:
    known = knowledge()
    assert words.outcome(known, {"level_high": "yes"}) == "yes: level above the hole"
    assert words.outcome(known, {"torque_pattern": "neighbours_low"}) == "neighbours low together"
    low = known.signs["level_low"].results["yes"].name
    assert words.outcome(known, {"level_low": "yes", "oil_milky": "no"}) == low
    assert words.outcome(known, {"housing_face_flatness": "yes"}) == "beyond 0.005 in"
    assert words.outcome(known, {"housing_face_flatness": "no"}) == "within 0.005 in"
    both = {"origin.carrier_joint": "yes", "origin.pinion_seal": "no"}
    assert words.outcome(known, both) == "oil comes out first at the carrier joint"
    assert words.outcome(known, dict.fromkeys(both, "no")) == "none of it"


@pytest.mark.parametrize(("hold", "said"), [(0.5, "Reseal or renew a plug or sensor"), (0.49, "look further")])
def test_no_repair_is_named_on_a_result_after_which_it_would_sooner_come_back(hold: float, said: str) -> None:
    found = Outcome({"brake_oiled": "no"}, 0.3, "plug_leaking", 0.2, ("reseal_plug",), hold)
    assert words.best_then(knowledge(), found).startswith(f"best then: {said}")
    assert words.best_then(knowledge(), found, "No.").startswith("best then: think anew, since this bars ")


def test_lists_and_the_empty_path() -> None:
    assert words.listed(()) == ""
    assert words.listed(["a"]) == "a"
    assert words.listed(["a", "b", "c"], "or") == "a, b or c"
    assert words.path_name(knowledge(), ()) == "Nothing to repair now"
