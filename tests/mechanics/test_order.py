"""The order of tightening: a permutation whose groups balance, dowels first, passes that grow."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics.order import balance, crosswise, groups, passes, tightening
from leakdx.mechanics.trade import trade
from tests.mechanics.refused import is_refused

counts = st.integers(3, 60)
NEARLY = 1e-9


@given(counts, st.data())
def test_each_fastener_comes_once(count: int, data: st.DataObject) -> None:
    first = data.draw(st.integers(1, count))
    dowels = data.draw(st.lists(st.integers(1, count), unique=True, max_size=4))
    for order in (crosswise(count, first), tightening(count, dowels, first)):
        assert sorted(order) == list(range(1, count + 1))
    assert crosswise(count, first)[0] == first
    assert sorted(tightening(count, dowels)[: len(dowels)]) == sorted(dowels)


@given(counts)
def test_every_group_balances_and_so_does_what_is_tight_so_far(count: int) -> None:
    order = crosswise(count)
    done: list[int] = []
    for group in groups(order, count):
        done += group
        if len(group) > 1:
            assert balance(group, count) < NEARLY
            assert balance(done, count) < NEARLY


@given(st.integers(2, 30).map(lambda half: 2 * half), st.data())
def test_after_opposite_dowels_the_rest_balances_too(count: int, data: st.DataObject) -> None:
    one = data.draw(st.integers(1, count // 2))
    order = tightening(count, [one, one + count // 2])
    for group in groups(order, count, 2):
        assert balance(group, count) < NEARLY
    assert order[:2] == [one, one + count // 2]


@given(st.integers(1, 15).map(lambda quarter: 4 * quarter))
def test_pairs_are_opposite_and_fours_at_right_angles(count: int) -> None:
    order = crosswise(count)
    for one, other in zip(order[::2], order[1::2], strict=True):
        assert (other - one) % count == count // 2
    for one, other in zip(order[::4], order[2::4], strict=True):
        assert (other - one) % count == count // 4


@given(st.integers(2, 29).map(lambda half: 2 * half + 1))
def test_an_odd_count_goes_nearly_across_and_stays_nearly_balanced(count: int) -> None:
    order = crosswise(count)
    for one, other in pairwise(order):
        assert min((other - one) % count, (one - other) % count) == count // 2
    assert max(balance(order[:n], count) * n for n in range(1, count + 1)) <= 1 + NEARLY


def test_the_passes_of_the_trade() -> None:
    found = passes(225, trade().passes.shares)
    assert [each.torque for each in found] == pytest.approx([67.5, 157.5, 225, 225])
    assert [each.round_about for each in found] == [False, False, False, True]


def test_what_cannot_be() -> None:
    is_refused(lambda: crosswise(2), "the count of fasteners is 2")
    is_refused(lambda: crosswise(8, 9), "the first fastener is 9")
    is_refused(lambda: tightening(8, [9]), "a dowel's place is 9")
    is_refused(lambda: tightening(8, [3, 3]), "dowel place 3 is given twice")
    is_refused(lambda: passes(-1, (0.3, 1)), "the torque is -1")
    is_refused(lambda: passes(225, ()), "passes grow")
    is_refused(lambda: passes(225, (0.5, 0.3, 1)), "passes grow")
    is_refused(lambda: passes(225, (0.3, 0.7)), "passes grow")
    is_refused(lambda: passes(225, (0.0, 1)), "passes grow")
