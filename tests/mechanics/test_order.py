"""Orders of tightening and their passes."""

import math
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.mechanics.order import Group, oblong_order, passes, round_order, spread
from leakdx.mechanics.outline import oblong
from tests.mechanics.refused import Refused, is_refused

COUNTS = st.integers(3, 60)


def order(groups: Sequence[Group]) -> list[int]:
    return [number for group in groups for number in group.numbers]


def side(numbers: Sequence[int], count: int) -> float:
    """How far the middle of the tightened ones lies to a side, in radii times their count."""
    return float(abs(sum(np.exp(2j * math.pi * number / count) for number in numbers)))


def stands(count: int, high: float, wide: float) -> list[tuple[float, float]]:
    line = oblong(high, wide)
    right, up = line.points(np.array(line.even(count)))
    return list(zip(right.tolist(), up.tolist(), strict=True))


@given(COUNTS, st.data())
def test_every_fastener_has_its_turn(count: int, data: st.DataObject) -> None:
    dowels = data.draw(st.lists(st.integers(1, count), unique=True, max_size=6))
    start = data.draw(st.one_of(st.none(), st.integers(1, count)))
    assert sorted(order(round_order(count, dowels, start))) == list(range(1, count + 1))


@given(COUNTS)
def test_every_group_balances(count: int) -> None:
    done: list[int] = []
    for group in round_order(count):
        done += group.numbers
        assert side(group.numbers, count) == pytest.approx(0, abs=1e-9)
        assert side(done, count) == pytest.approx(0, abs=1e-9)


@given(COUNTS.filter(lambda count: count % 2 == 0))
def test_one_across_follows(count: int) -> None:
    each = order(round_order(count))
    assert all((other - one) % count == count // 2 for one, other in zip(each[::2], each[1::2], strict=True))


@given(COUNTS)
def test_no_side_runs_ahead(count: int) -> None:
    """At no step are the tightened ones two fasteners or more to a side, even for a prime count."""
    each = order(round_order(count))
    assert max(side(each[:step], count) for step in range(1, count + 1)) < 2


@given(COUNTS, st.integers(1, 60))
def test_a_later_start_turns_the_pattern(count: int, start: int) -> None:
    first = (start - 1) % count + 1
    turned = [(number + first - 2) % count + 1 for number in order(round_order(count))]
    assert order(round_order(count, start=first)) == turned


@given(COUNTS, st.data())
def test_dowels_come_first(count: int, data: st.DataObject) -> None:
    dowels = data.draw(st.lists(st.integers(1, count), unique=True, min_size=1, max_size=6))
    groups = round_order(count, dowels)
    assert set(order(groups)[: len(dowels)]) == set(dowels)
    assert [group.dowels for group in groups] == sorted((group.dowels for group in groups), reverse=True)
    assert order(groups)[0] == min(dowels)


def test_pairs_where_four_does_not_divide() -> None:
    assert order(round_order(10)) == [1, 6, 3, 8, 5, 10, 2, 7, 4, 9]
    assert [group.numbers for group in round_order(14, dowels=[3, 10])][:2] == [(3, 10), (6, 13)]


def test_thirds_of_nine_and_a_star_of_five() -> None:
    assert [group.numbers for group in round_order(9)] == [(1, 4, 7), (2, 5, 8), (3, 6, 9)]
    assert order(round_order(5)) == [1, 3, 5, 2, 4]


@given(st.integers(1, 60))
def test_spread_visits_each_once(count: int) -> None:
    assert sorted(spread(count)) == list(range(count))


@settings(max_examples=40, deadline=None)
@given(st.integers(3, 40), st.floats(0.2, 0.6), st.floats(0.2, 0.6))
def test_an_oblong_joint_is_tightened_from_the_middle_outwards(count: int, high: float, wide: float) -> None:
    points = stands(count, high, wide)
    groups = oblong_order(points)
    assert sorted(order(groups)) == list(range(1, count + 1))
    leads = [math.hypot(*points[group.numbers[0] - 1]) for group in groups]
    assert leads == sorted(leads) or leads == pytest.approx(sorted(leads), abs=2e-6)


@settings(max_examples=40, deadline=None)
@given(st.integers(2, 20), st.floats(0.2, 0.6), st.floats(0.2, 0.6))
def test_pairs_of_an_oblong_joint_balance(half: int, high: float, wide: float) -> None:
    points = stands(2 * half, high, wide)
    for group in oblong_order(points):
        sums = [sum(points[number - 1][axis] for number in group.numbers) for axis in (0, 1)]
        assert sums == pytest.approx([0, 0], abs=1e-5)


def test_dowels_of_an_oblong_joint_come_first() -> None:
    groups = oblong_order(stands(12, 0.4, 0.3), dowels=[1, 7])
    assert groups[0] == Group((1, 7), dowels=True)
    assert sorted(order(groups)) == list(range(1, 13))


REFUSED: list[Refused] = [
    (lambda: round_order(2), "the count of fasteners is 2"),
    (lambda: round_order(61), "the count of fasteners is 61"),
    (lambda: round_order(12, dowels=[13]), "the joint has 1 to 12"),
    (lambda: round_order(12, dowels=[3, 3]), "named twice"),
    (lambda: round_order(12, start=0), "the joint has 1 to 12"),
    (lambda: oblong_order([(0, 1), (1, 0)]), "the count of fasteners is 2"),
    (lambda: oblong_order(stands(8, 0.4, 0.3), dowels=[9]), "the joint has 1 to 8"),
    (lambda: passes(-5, [1]), "the torque is -5"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
