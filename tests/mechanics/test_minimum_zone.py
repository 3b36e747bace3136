"""The exact minimum zone: against a general solver, by what must not change it, and where levelling matters."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.optimize import linprog
from scipy.spatial import ConvexHull

from leakdx.mechanics import minimum_zone as module
from leakdx.mechanics.minimum_zone import Numbers, Points, checked, least_squares, minimum_zone
from tests.mechanics.refused import is_refused

COUNT = 12
ANGLES = np.arange(COUNT) * 2 * np.pi / COUNT
ROUND = np.column_stack([0.2 * np.sin(ANGLES), 0.2 * np.cos(ANGLES)])

heights = arrays(float, COUNT, elements=st.integers(-50, 50).map(lambda n: n * 1e-5))
slopes = st.floats(-1e-3, 1e-3)


def face(z: Numbers) -> Points:
    return np.column_stack([ROUND, z])


def by_programme(points: Points) -> float:
    """The width by a general solver of linear programmes."""
    centred = checked(points)
    flat = np.column_stack([np.ones(len(points)), centred[:, :2] * 10])
    z = centred[:, 2] * 1e4
    ones = np.ones((len(points), 1))
    found = linprog([0, 0, 0, 1], np.vstack([np.hstack([flat, -ones]), np.hstack([-flat, -ones])]),
                    np.concatenate([z, -z]), bounds=[(None, None)] * 4)  # fmt: skip
    return float(2e-4 * found.fun)


@given(heights)
def test_it_is_what_a_general_solver_finds(z: Numbers) -> None:
    assert minimum_zone(face(z)).width == pytest.approx(by_programme(face(z)), rel=1e-5, abs=1e-11)


@given(arrays(float, (15, 3), elements=st.integers(-4, 4).map(float)))
def test_on_a_lattice_too_where_places_stand_in_lines_and_twice(raw: Numbers) -> None:
    points = raw * (0.05, 0.05, 1e-5)
    if np.linalg.matrix_rank(points[:, :2] - points[0, :2]) == 2:
        assert minimum_zone(points).width == pytest.approx(by_programme(points), rel=1e-5, abs=1e-11)


@given(heights)
def test_the_order_of_the_figures(z: Numbers) -> None:
    zone, squares = minimum_zone(face(z)).width, float(np.ptp(least_squares(face(z))))
    assert zone <= squares * (1 + 1e-9) + 1e-15
    assert squares <= 1.5 * np.ptp(z) + 1e-15, "least squares may pass the range of the heights, but never by much"
    assert zone <= np.ptp(z) * (1 + 1e-9) + 1e-15


@given(heights, slopes, slopes, st.floats(-0.01, 0.01), st.integers(0, COUNT - 1))
def test_tilt_shift_and_turn_change_nothing(z: Numbers, across: float, up: float, shift: float, turn: int) -> None:
    width = minimum_zone(face(z)).width
    tilted = face(z + across * ROUND[:, 0] + up * ROUND[:, 1] + shift)
    assert minimum_zone(tilted).width == pytest.approx(width, rel=1e-5, abs=1e-12)
    turned = np.column_stack([np.roll(ROUND, turn, axis=0), z])
    assert minimum_zone(turned).width == pytest.approx(width, rel=1e-6, abs=1e-12)


@given(heights)
def test_the_four_points_that_carry_it(z: Numbers) -> None:
    zone = minimum_zone(face(z))
    if zone.width < 1e-9:
        return
    assert zone.shares.sum() == pytest.approx(1)
    assert 2 * zone.shares @ np.abs(zone.heights) == pytest.approx(zone.width)
    assert np.abs(zone.heights).max() <= zone.width / 2 * (1 + 1e-9)
    assert zone.high
    assert zone.low
    assert zone.deviation(1e-6) <= 2e-6


@given(heights, st.integers(0, COUNT - 1), st.floats(-1e-9, 1e-9))
def test_the_shares_say_how_it_moves(z: Numbers, which: int, by: float) -> None:
    zone = minimum_zone(face(z))
    nudged = z.copy()
    nudged[which] += by
    moved = minimum_zone(face(nudged)).width - zone.width
    if zone.width > 1e-8:
        assert moved >= 2 * zone.shares[which] * np.sign(zone.heights[which]) * by - 1e-14


def test_three_points_and_a_plane_have_none() -> None:
    assert minimum_zone(face(0.1 * ROUND[:, 0] - 0.3 * ROUND[:, 1])).width == pytest.approx(0, abs=1e-15)
    assert minimum_zone(face(np.zeros(COUNT))).high == ()


def brute_force(points: Points) -> float:
    """The least distance of two parallel planes: one rests on a facet of the hull, or each on an edge."""
    hull = ConvexHull(points, qhull_options="QJ")
    edges = {tuple(sorted((a, b))) for s in hull.simplices for a, b in ((s[0], s[1]), (s[1], s[2]), (s[0], s[2]))}
    lines = [points[b] - points[a] for a, b in edges]
    normals = [np.cross(p - q, r - q) for p, q, r in points[hull.simplices]]
    normals += [np.cross(one, other) for one in lines for other in lines]
    sizes = [float(np.linalg.norm(n)) for n in normals]
    return min(float(np.ptp(points @ n)) / size for n, size in zip(normals, sizes, strict=True) if size > 1e-9)


def test_heights_that_are_steep_are_levelled_first() -> None:
    """A vertical programme alone gives 3.0, and 1.732 square to its own plane; least squares 1.507."""
    grid = np.array([(x, y) for y in range(3) for x in range(3)], float)
    steep = np.column_stack([grid, [0, 2, 4, 1, 5, 3, 2, 3, 7]])
    assert by_programme(steep * (1, 1, 1)) == pytest.approx(3, rel=1e-3)
    assert np.ptp(least_squares(steep)) == pytest.approx(1.507, abs=5e-4)
    width = minimum_zone(steep).width
    assert width == pytest.approx(brute_force(steep), rel=1e-6)
    assert width < 1.507


def test_the_general_solver_stands_in_where_exchanging_does_not_end(monkeypatch: pytest.MonkeyPatch) -> None:
    z = 1e-4 * np.cos(2 * ANGLES)
    exact = minimum_zone(face(z))
    monkeypatch.setattr(module, "_MOST_STEPS", 0)
    found = minimum_zone(face(z))
    assert found.width == pytest.approx(exact.width)
    assert found.shares.sum() == pytest.approx(1)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        (face(np.zeros(COUNT))[:3], "3 readings are too few"),
        (np.zeros((5, 2)), "(n, 3) is wanted"),
        (face(np.full(COUNT, np.nan)), "no number"),
        (np.column_stack([np.arange(5.0), 2 * np.arange(5.0), np.zeros(5)]), "on one line"),
        (np.zeros((6, 3)), "on one line"),
    ],
)
def test_what_cannot_be_a_face(points: Points, said: str) -> None:
    is_refused(lambda: minimum_zone(points), said)
