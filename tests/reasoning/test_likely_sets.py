"""The likely sets against enumeration, and the edges of what is called clear."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning import conclude
from tests.reasoning.test_belief_enumeration import Drawn, cases, settle
from tests.reasoning.tiny import cause, knowledge

K = knowledge({"a": cause(family="one"), "b": cause(family="two")}, not_listed=(2.0, 0.5, 0.05))


@settings(settle, max_examples=15)
@given(cases())
def test_exactly_these_leaked_when_brought_in(drawn: Drawn) -> None:
    belief, worlds, first = drawn.belief(), drawn.worlds(), drawn.evidence.first_epoch
    sets, masks = conclude.set_masks(belief.leaking_first)
    shown = conclude.likely_sets(belief.causes, sets, belief.expect(first=masks))
    expected = {
        some: sum(p for p, w in worlds if {c for c in belief.causes if w.leaks[first][f"any {c}"]} == set(some))
        for n in range(4)
        for some in combinations(belief.causes, n)
    }
    for likely in shown:
        assert likely.probability == pytest.approx(expected[likely.causes], abs=1e-12)
    best = sorted(expected.values(), reverse=True)[: len(shown)]
    np.testing.assert_allclose([s.probability for s in shown], best, atol=1e-12)


def test_sets_are_made_of_the_six_likeliest_three_at_most() -> None:
    leaking = np.array([0.1, 0.9, 0.3, 0.2, 0.5, 0.05, 0.4, 0.6])
    sets, masks = conclude.set_masks(leaking)
    assert {i for s in sets for i in s} == {1, 2, 3, 4, 6, 7}
    assert len(sets) == len(set(sets)) == 1 + 6 + 15 + 20
    assert masks.shape == (42, 8, 3)
    # Those that are named leak and the others do not.
    for members, mask in zip(sets, masks, strict=True):
        assert {i for i in range(8) if tuple(mask[i]) == (0, 0, 1)} == set(members)
        assert all(tuple(mask[i]) == (1, 1, 0) for i in range(8) if i not in members)


def chance_at(decibans: float) -> float:
    odds = 10 ** (decibans / 10)
    return float(odds / (1 + odds))


@pytest.mark.parametrize(("rise", "is_clear"), [(2.99, False), (3.01, True)])
@pytest.mark.parametrize("level", ["family", "zone"])
def test_a_rise_of_more_than_three_decibans_makes_it_clear(rise: float, is_clear: bool, level: str) -> None:
    chances = {"one": (0.75, chance_at(conclude.decibans(0.75) - rise)), "two": (0.9, 0.9)}
    families, zones = (chances, {}) if level == "family" else ({}, chances)
    found = conclude.clear_at(K, {"a": 0.59}, families, zones)
    expected = (level, "one", 0.75) if is_clear else ("none", None, None)
    assert (found.level, found.id, found.probability) == expected


def test_a_cause_needs_no_rise_and_the_likeliest_of_the_raised_is_named() -> None:
    assert conclude.clear_at(K, {"a": 0.6, "b": 0.1}, {}, {}).id == "a"
    both = {"one": (0.7, 0.1), "two": (0.8, 0.1)}
    assert conclude.clear_at(K, {"a": 0.3}, both, {}).id == "two"
    assert conclude.clear_at(K, {"a": 0.3}, {}, {"one": (0.59, 0.01)}).level == "none"


@pytest.mark.parametrize(("behind", "expected"), [(5.99, ("a", "b")), (6.01, ("a", "b", "c"))])
def test_six_decibans_behind_is_no_longer_close(behind: float, expected: tuple[str, ...]) -> None:
    second = chance_at(conclude.decibans(0.5) - behind)
    assert conclude.undecided_between([("a", 0.5), ("b", second), ("c", 0.01)]) == expected


@settings(max_examples=200, deadline=None)
@given(st.lists(st.floats(0, 1), min_size=1, max_size=9).map(lambda c: sorted(c, reverse=True)))
def test_undecided_names_none_or_some_of_the_first_in_order(chances: list[float]) -> None:
    named = [(f"c{i}", p) for i, p in enumerate(chances)]
    found = conclude.undecided_between(named)
    assert found == tuple(c for c, _ in named[: len(found)])
    assert (found == ()) == (chances[0] >= 0.6)
    assert len(found) <= 5


def test_none_of_these_names_its_chance() -> None:
    assert conclude.none_of_these({"a": 0.3, NOT_LISTED: 0.2}).probability == 0.2
    assert conclude.none_of_these({"a": 0.3}).probability == 0.0
