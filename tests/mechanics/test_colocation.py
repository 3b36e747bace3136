"""Whether things stand together by more than chance, beside brute force and scipy."""

import math
from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from leakdx.mechanics.colocation import (
    MOST_WAYS,
    apart,
    chance_so_near,
    direction,
    gathered,
    near,
    share_of_ways,
    wave,
)
from leakdx.mechanics.places import Arc
from tests.mechanics.refused import Refused, is_refused

RINGS = st.integers(4, 11)


def ring(count: int) -> list[float]:
    return [math.tau * at / count for at in range(count)]


@st.composite
def chosen(draw: st.DrawFn) -> tuple[int, list[int]]:
    count = draw(RINGS)
    return count, draw(st.lists(st.integers(0, count - 1), min_size=1, max_size=count, unique=True))


@given(st.lists(st.floats(-5, 5), min_size=1, max_size=10), st.data())
def test_every_way_is_counted_once(values: list[float], data: st.DataObject) -> None:
    size = data.draw(st.integers(0, len(values)))
    limit = data.draw(st.floats(-20, 20))
    ways = [sum(some) for some in combinations(values, size)]
    if min(abs(way - limit) for way in ways) < 1e-9:
        return
    share = share_of_ways(np.array(values), size, lambda sums: sums <= limit)
    assert share == pytest.approx(sum(way <= limit for way in ways) / len(ways))


@given(chosen())
def test_gathered_beside_brute_force(some: tuple[int, list[int]]) -> None:
    count, places = some
    found = gathered(ring(count), places)
    unit = [complex(math.cos(t), math.sin(t)) for t in ring(count)]
    lengths = [abs(sum(unit[at] for at in way)) for way in combinations(range(count), len(places))]
    least = found.length * len(places) - 1e-9
    assert found.chance == pytest.approx(sum(length >= least for length in lengths) / len(lengths))


@given(st.integers(4, 16), st.data())
def test_all_inside_an_arc_is_a_draw_without_replacement(count: int, data: st.DataObject) -> None:
    inside = data.draw(st.integers(1, count - 1))
    taken = data.draw(st.integers(1, inside))
    arc = Arc(0.0, math.tau * (inside - 0.5) / count)
    found = near(ring(count), range(taken), arc)
    assert found.inside == taken
    assert found.chance_each == pytest.approx(stats.hypergeom(count, inside, taken).pmf(taken))
    assert found.chance_turned == pytest.approx((inside - taken + 1) / count)


def test_beside_the_permutation_test_of_scipy() -> None:
    """Mean gap of the chosen against that of the rest: the same ways, counted by scipy."""
    places, arc = [2, 3, 6], Arc(1.0, 0.4)
    away = [arc.away(turn) for turn in ring(10)]
    there, rest = [away[at] for at in places], [away[at] for at in range(10) if at not in places]
    theirs = stats.permutation_test((there, rest), lambda x, y: np.mean(x) - np.mean(y), alternative="less",
                                    n_resamples=np.inf)  # fmt: skip
    assert near(ring(10), places, arc).chance_each == pytest.approx(theirs.pvalue)


@settings(max_examples=40)
@given(chosen(), st.integers(0, 11), st.floats(0, 6), st.floats(0, 3))
def test_turning_all_together_changes_nothing(
    some: tuple[int, list[int]], step: int, start: float, width: float
) -> None:
    count, places = some
    turned = [(at + step) % count for at in places]
    one = near(ring(count), places, Arc(start, width))
    other = near(ring(count), turned, Arc(start + math.tau * step / count, width))
    assert one.chance_each == pytest.approx(other.chance_each)
    assert one.chance_turned == pytest.approx(other.chance_turned)
    assert gathered(ring(count), places).chance == pytest.approx(gathered(ring(count), turned).chance)


@given(chosen(), st.floats(0, 6), st.floats(0, 3))
def test_a_chance_is_never_nothing(some: tuple[int, list[int]], start: float, width: float) -> None:
    count, places = some
    found = near(ring(count), places, Arc(start, width))
    assert 1 / math.comb(count, len(places)) - 1e-12 <= found.chance_each <= 1
    assert 1 / count - 1e-12 <= found.chance_turned <= 1
    assert found.chance == max(found.chance_each, found.chance_turned)


@given(st.floats(0, 7), st.floats(0, 6), st.floats(0, 7), st.floats(0, 6))
def test_two_arcs_beside_many_turns(start: float, width: float, other: float, wide: float) -> None:
    wet, weld = Arc(start, width), Arc(other, wide)
    assert apart(wet, weld) == pytest.approx(apart(weld, wet))
    turned = [apart(wet, Arc(other + math.tau * (at + 0.5) / 1000, wide)) for at in range(1000)]
    share = sum(gap <= apart(wet, weld) + 1e-9 for gap in turned) / 1000
    assert chance_so_near(wet, weld) == pytest.approx(share, abs=0.003)


@given(st.lists(st.floats(0, 6.28), min_size=1, max_size=20))
def test_the_middle_beside_scipy(turns: list[float]) -> None:
    middle, length = direction(turns)
    theirs = stats.directional_stats(np.column_stack([np.cos(turns), np.sin(turns)]), axis=0)
    assert length == pytest.approx(float(theirs.mean_resultant_length), abs=1e-9)
    if middle is not None and length > 1e-3:
        assert np.array([math.cos(middle), math.sin(middle)]) == pytest.approx(theirs.mean_direction, abs=1e-6)


@given(st.integers(5, 20), st.floats(0, 6.28), st.floats(0.1, 100))
def test_a_wave_is_found_where_it_is(count: int, lowest: float, height: float) -> None:
    found = wave(ring(count), [50 - height * math.cos(turn - lowest) for turn in ring(count)])
    away = abs(found.lowest - lowest) % math.tau
    assert found.share == pytest.approx(1)
    assert min(away, math.tau - away) == pytest.approx(0, abs=1e-6)
    assert found.chance < 1e-6


@given(st.lists(st.floats(50, 300), min_size=6, max_size=20).filter(lambda values: np.std(values) > 1))
def test_a_wave_beside_scipys_correlations(values: list[float]) -> None:
    """Evenly spaced, cosine and sine share the spread between them; by chance their share is a beta's."""
    turns = ring(len(values))
    found = wave(turns, values)
    cosine, sine = (stats.pearsonr(column, values).statistic for column in (np.cos(turns), np.sin(turns)))
    assert found.share == pytest.approx(cosine**2 + sine**2, abs=1e-9)
    assert found.chance == pytest.approx(stats.beta.sf(found.share, 1, (len(values) - 3) / 2), abs=1e-9)


@given(st.lists(st.floats(0, 6.28), min_size=1, max_size=20))
def test_the_middle_and_spread_beside_scipys_circular_ones(turns: list[float]) -> None:
    middle, length = direction(turns)
    assert 1 - length == pytest.approx(float(stats.circvar(turns)), abs=1e-9)
    if middle is not None and length > 1e-3:
        assert math.cos(middle - float(stats.circmean(turns))) == pytest.approx(1, abs=1e-9)


def test_no_wave_is_likely_chance() -> None:
    found = wave(ring(8), [1, 2, 1, 2, 1, 2, 1, 2.1])
    assert found.share < 0.1
    assert found.chance > 0.5


def test_without_a_middle() -> None:
    assert direction([0, math.tau / 3, 2 * math.tau / 3])[0] is None
    assert gathered(ring(12), [0, 6]).middle is None


REFUSED: list[Refused] = [
    (lambda: direction([]), "no place to find the middle of"),
    (lambda: gathered(ring(12), []), "name some of the 12 fasteners"),
    (lambda: near(ring(12), [12], Arc(0)), "by their numbers 1 to 12"),
    (lambda: share_of_ways(np.zeros(60), 30, lambda sums: sums >= 0), "too many to count one by one"),
    (lambda: wave(ring(4), [1, 2, 3, 4]), "five readings at least"),
    (lambda: wave(ring(5), [1, 2, math.nan, 4, 5]), "reading 3 is no number"),
    (lambda: wave(ring(5), [7] * 5), "all readings are the same"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)


def test_half_of_twenty_four_can_still_be_counted() -> None:
    assert math.comb(24, 12) < MOST_WAYS
    assert gathered(ring(24), range(12)).chance == pytest.approx(24 / math.comb(24, 12))
