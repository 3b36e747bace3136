"""The plane through a face, and the thinnest slice that holds it, beside a linear programme and beside all planes."""

import math
from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from leakdx.mechanics.plane import Array, Plan, Slice, least_squares, levelled, minimum_zone, peak_to_valley
from tests.mechanics.refused import Refused, is_refused

UM = 1e-6


def ring(heights: list[float], radius: float = 0.18) -> Array:
    """Heights (m) evenly round a ring."""
    turns = [math.tau * at / len(heights) for at in range(len(heights))]
    return np.array([(radius * math.sin(t), radius * math.cos(t), z) for t, z in zip(turns, heights, strict=True)])


def zone_along_z(points: Array) -> Slice:
    return Plan(points[:, :2]).slice(points[:, 2])


def by_linear_programme(points: Array) -> float:
    """The slice that is thinnest along z, by scipy's solver."""
    x, y, z = (points / np.abs(points).max(axis=0)).T
    plane = np.column_stack([x, y, np.ones(len(x))])
    half = np.full((len(x), 1), -0.5)
    rows = np.block([[plane, half], [-plane, half]])
    done = linprog([0, 0, 0, 1], A_ub=rows, b_ub=np.concatenate([z, -z]), bounds=[(None, None)] * 4)
    return float(done.fun) * float(np.abs(points[:, 2]).max())


def by_all_planes(points: Array) -> float:
    """The thinnest slice is square to a face through three points or to two edges: all of them are tried."""
    edges = [points[j] - points[i] for i, j in combinations(range(len(points)), 2)]
    normals = np.array([np.cross(one, two) for one, two in combinations(edges, 2)])
    long = np.linalg.norm(normals, axis=1)
    usable = long > 1e-12 * long.max()
    return float(np.ptp(points @ (normals[usable] / long[usable, None]).T, axis=0).min())


HEIGHTS = st.lists(st.floats(-200, 200).map(lambda um: um * UM), min_size=4, max_size=30)
COARSE = st.lists(st.integers(-3, 3).map(lambda um: um * 10 * UM), min_size=4, max_size=30)
SLOPES = st.tuples(st.floats(-1e-3, 1e-3), st.floats(-1e-3, 1e-3), st.floats(-1e-2, 1e-2))


@given(st.one_of(HEIGHTS, COARSE))
def test_it_is_what_a_linear_programme_finds(heights: list[float]) -> None:
    points = ring(heights)
    if peak_to_valley(points[:, 2]) > UM:
        assert zone_along_z(points).thickness == pytest.approx(by_linear_programme(points), rel=1e-7, abs=1e-12)


@given(st.lists(st.tuples(*[st.floats(-1, 1)] * 3), min_size=5, max_size=7, unique=True))
def test_a_level_face_has_no_thinner_slice(places: list[tuple[float, float, float]]) -> None:
    points = np.array(places) * [0.2, 0.2, 1e-4]
    if np.linalg.svd(points[:, :2] - points[:, :2].mean(axis=0), compute_uv=False)[1] < 0.02:
        return
    # A nanometre: the places lie up to 0.2 m and a tenth of a millimetre from one another.
    assert minimum_zone(points).thickness == pytest.approx(by_all_planes(points), rel=1e-6, abs=1e-9)


def test_a_steep_face_is_levelled_first() -> None:
    """Along z the slice is 3 thick, 1.732 square to it, about the nearest plane 1.507; there is a thinner one."""
    grid = np.array([(i, j) for j in range(3) for i in range(3)], float)
    points = np.column_stack([grid, [0, 2, 4, 1, 5, 3, 2, 3, 7]])
    along = zone_along_z(points)
    assert along.thickness == pytest.approx(3)
    assert along.thickness / math.hypot(*along.slopes, 1) == pytest.approx(math.sqrt(3))
    assert peak_to_valley(levelled(points)[:, 2]) == pytest.approx(1.507, abs=5e-4)
    assert minimum_zone(points).thickness == pytest.approx(by_all_planes(points)) == pytest.approx(math.sqrt(1.5))


@given(st.lists(st.integers(-9, 9), min_size=5, max_size=10), st.floats(-10, 10), st.floats(0, 6.28))
def test_however_steep_a_face_was_read_there_is_no_thinner_slice(tenths: list[int], slope: float, way: float) -> None:
    """Heights up to a twentieth of the radius, turned to a slope of 10."""
    points = ring([each * 1e-3 for each in tenths])
    lean, side = math.atan(slope), (math.cos(way), math.sin(way))
    along = points[:, :2] @ side
    across = points[:, :2] @ (-side[1], side[0])
    leaning = np.column_stack([along * math.cos(lean) - points[:, 2] * math.sin(lean), across,
                               along * math.sin(lean) + points[:, 2] * math.cos(lean)])  # fmt: skip
    assert minimum_zone(leaning).thickness == pytest.approx(by_all_planes(points), rel=1e-6, abs=1e-9)


@given(st.one_of(HEIGHTS, COARSE), SLOPES)
def test_tilt_and_shift_change_nothing(heights: list[float], plane: tuple[float, float, float]) -> None:
    points = ring(heights)
    tilted = points + np.column_stack([np.zeros((len(points), 2)), points[:, :2] @ plane[:2] + plane[2]])
    assert minimum_zone(tilted).thickness == pytest.approx(minimum_zone(points).thickness, rel=1e-4, abs=1e-10)
    assert peak_to_valley(least_squares(tilted)) == pytest.approx(
        peak_to_valley(least_squares(points)), rel=1e-4, abs=1e-10
    )


@given(st.one_of(HEIGHTS, COARSE), st.floats(0, math.tau), st.floats(0.1, 10))
def test_turning_and_scaling_the_ring_change_nothing(heights: list[float], turn: float, scale: float) -> None:
    points = ring(heights)
    turned = points.copy()
    turned[:, 0] = scale * (points[:, 0] * math.cos(turn) - points[:, 1] * math.sin(turn))
    turned[:, 1] = scale * (points[:, 0] * math.sin(turn) + points[:, 1] * math.cos(turn))
    assert minimum_zone(turned).thickness == pytest.approx(minimum_zone(points).thickness, rel=1e-4, abs=1e-10)


@given(st.one_of(HEIGHTS, COARSE))
def test_never_above_least_squares_and_never_above_the_range(heights: list[float]) -> None:
    points = ring(heights)
    zone = minimum_zone(points).thickness
    assert zone <= peak_to_valley(least_squares(points)) * (1 + 1e-7) + 1e-12
    assert zone <= peak_to_valley(points[:, 2]) * (1 + 1e-7) + 1e-12


@given(HEIGHTS)
def test_the_weights_are_how_each_height_moves_the_slice(heights: list[float]) -> None:
    points = ring(heights)
    found = zone_along_z(points)
    assert found.weights.sum() == pytest.approx(0, abs=1e-9)
    assert np.abs(found.weights).sum() <= 2 + 1e-9
    assert found.weights @ points[:, 2] == pytest.approx(found.thickness, abs=1e-12)
    assert peak_to_valley(found.residuals) == pytest.approx(found.thickness)


@given(HEIGHTS, st.integers(0, 10_000))
def test_the_basis_of_one_face_starts_another(heights: list[float], seed: int) -> None:
    points = ring(heights)
    plan = Plan(points[:, :2])
    other = points[:, 2] + np.random.default_rng(seed).normal(size=len(points)) * 20 * UM
    warm, cold = plan.slice(other, plan.slice(points[:, 2]).basis), plan.slice(other)
    assert warm.thickness == pytest.approx(cold.thickness, rel=1e-9, abs=1e-13)


def test_three_places_and_equal_heights_have_no_zone() -> None:
    assert minimum_zone(ring([1 * UM, 5 * UM, 2 * UM])).thickness == pytest.approx(0, abs=1e-15)
    assert minimum_zone(ring([3 * UM] * 9)).thickness == 0


LINE = np.array([(at, 2 * at, at**2) for at in range(5)], float)
REFUSED: list[Refused] = [
    (lambda: minimum_zone(ring([0.0, 1.0])), "three places at least"),
    (lambda: minimum_zone(LINE), "on one line or nearly so"),
    (lambda: least_squares(ring([0, 1, math.nan, 2])), "is no number"),
    (lambda: levelled(ring([0, 1, math.inf, 2])), "is no number"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
