"""Whether the wet part stands with weak fasteners, a low face or a weld: exact counts beside a library's."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from leakdx.mechanics.colocation import Arc, arc_there, gathered, greater_by_chance, low_there, stands_with
from leakdx.mechanics.given import MeasureError
from tests.mechanics.refused import is_refused

WET = Arc(4 / 12, 7 / 12)
turns = st.floats(0, 0.999)
counts = st.integers(4, 10)


@st.composite
def chosen(draw: st.DrawFn) -> tuple[list[int], int]:
    count = draw(counts)
    places = draw(st.lists(st.integers(1, count), unique=True, min_size=1, max_size=count - 1))
    return places, count


@given(chosen(), turns, turns)
def test_the_chance_is_the_share_of_ways_that_are_as_near(what: tuple[list[int], int], one: float, two: float) -> None:
    places, count = what
    wet = Arc(one, two)
    found = stands_with(places, count, wet)
    away = [wet.away(n / count) for n in range(count)]
    ways = [sum(away[n] for n in way) for way in itertools.combinations(range(count), len(places))]
    assert found.away == pytest.approx(sum(away[n - 1] for n in places) / len(places))
    assert found.chance == pytest.approx(np.mean([way <= found.away * len(places) + 1e-9 for way in ways]))
    assert found.ways == len(ways) == math.comb(count, len(places))
    assert 1 / found.ways <= found.chance <= 1
    assert 1 / count <= found.turning <= 1


@given(chosen(), st.integers(0, 9))
def test_standing_together_does_not_hang_on_where(what: tuple[list[int], int], by: int) -> None:
    places, count = what
    one, other = (gathered([(n + shift - 1) % count + 1 for n in places], count) for shift in (0, by))
    assert (one[0], one[2]) == pytest.approx((other[0], other[2]), abs=1e-9)


@settings(deadline=None, max_examples=25)
@given(st.lists(st.integers(-9, 9), min_size=2, max_size=5), st.lists(st.integers(-9, 9), min_size=2, max_size=5))
def test_a_library_counts_the_same(one: list[int], other: list[int]) -> None:
    first, second = np.array(one, float), np.array(other, float)
    theirs = stats.permutation_test(
        (first, second), lambda a, b: a.mean() - b.mean(), alternative="greater", n_resamples=np.inf
    )
    assert greater_by_chance(first, second) == pytest.approx(theirs.pvalue)


def test_weak_fasteners_inside_the_wet_part() -> None:
    found = stands_with([5, 6, 7, 8], 12, WET)
    assert (found.inside, found.away, found.ways) == (4, 0, 495)
    assert found.chance == pytest.approx(1 / 495)
    assert found.turning == pytest.approx(1 / 12)
    far = stands_with([1, 11, 12], 12, WET)
    assert far.inside == 0
    assert far.chance > 0.9


def test_the_first_fastener_may_stand_anywhere() -> None:
    assert stands_with([1, 2], 12, WET, first=5 / 12).inside == 2


def test_a_low_face() -> None:
    lower, chance = low_there([0, 0, 0, 0, 0, -6, -7, 0, 0, 0, 0, 0], Arc(4.9 / 12, 6.1 / 12))
    assert lower == pytest.approx(6.5)
    assert chance == pytest.approx(1 / math.comb(12, 2))
    assert low_there([0, 0, 0, 0, 0, 6, 7, 0, 0, 0, 0, 0], Arc(4.9 / 12, 6.1 / 12))[0] == pytest.approx(-6.5)


@given(turns, turns, st.floats(0, 0.4))
def test_a_weld_by_chance(start: float, end: float, length: float) -> None:
    """Of welds that lie anywhere, so many are as near as the chance says."""
    wet, weld = Arc(start, end), Arc(0.3, 0.3 + length)
    apart, chance = arc_there(weld, wet)
    moved = [arc_there(Arc(by / 400, by / 400 + length), wet)[0] for by in range(400)]
    assert np.mean([each <= apart + 1e-9 for each in moved]) == pytest.approx(chance, abs=0.012)


def test_an_arc_knows_what_is_inside() -> None:
    over_twelve = Arc(11 / 12, 1 / 12)
    assert over_twelve.span == pytest.approx(2 / 12)
    assert over_twelve.away(0) == 0
    assert over_twelve.away(0.5) == pytest.approx(5 / 12)
    assert Arc(0.25, 0.25).away(0.25) == 0


def test_what_cannot_be() -> None:
    is_refused(lambda: stands_with([], 12, WET), "0 of 12 places")
    is_refused(lambda: stands_with(list(range(1, 13)), 12, WET), "name some, not all")
    is_refused(lambda: stands_with([13], 12, WET), "a place's number is 13")
    is_refused(lambda: stands_with([2, 2], 12, WET), "place 2 is given twice")
    is_refused(lambda: stands_with([1], 2, WET), "the count of fasteners is 2")
    is_refused(lambda: stands_with(list(range(1, 21)), 40, WET), "more than can be counted")
    is_refused(lambda: gathered(list(range(1, 21)), 40), "more than can be counted")
    is_refused(lambda: low_there([0, 1, math.nan], WET), "the height at place 3")
    is_refused(lambda: low_there([0, 1], WET), "the count of places is 2")
    is_refused(lambda: low_there([0, 1, 2, 3], Arc(0.3, 0.3)), "none or all")
    with pytest.raises(MeasureError, match="more than can be counted"):
        greater_by_chance(np.zeros(30), np.zeros(30))


@given(chosen())
def test_a_library_has_the_same_mean_direction(what: tuple[list[int], int]) -> None:
    places, count = what
    length, turn, _ = gathered(places, count)
    angles = 2 * np.pi * (np.array(places) - 1) / count
    assert length == pytest.approx(1 - stats.circvar(angles), abs=1e-9)
    if length > 1e-6:
        off = (2 * np.pi * turn - stats.circmean(angles) + np.pi) % (2 * np.pi) - np.pi
        assert off == pytest.approx(0, abs=1e-6)
