"""Flatness of points: the least-squares plane, and the exact minimum zone (ISO 12781-1 names both).

The minimum zone is the least distance of two parallel planes with all points between them. With slopes as small as
those of a levelled face it is a linear programme, ``min t with |z - a x - b y - c| <= t``; its dual has four points
that carry the solution, and exchanging one of them at a time (simplex on the dual; Stiefel's exchange) reaches it in a
dozen steps. Heights that are tilted much are levelled first and again with each plane that is found, since distances
square to the plane are what counts (own derivation).

Arrays: points are (n, 3) in m, x and y in the face, z out of it.
"""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from leakdx.mechanics.given import MeasureError

Points: TypeAlias = NDArray[np.float64]
Numbers: TypeAlias = NDArray[np.float64]

FEWEST = 4
_MOST_STEPS = 300
_TURNS = 50
_LEVEL = 1e-7
"""Square of a slope beyond which it is worth levelling again."""
_CLOSE = 1e-12
_ON_A_LINE = 1e-9


@dataclass(frozen=True)
class Zone:
    """Two parallel planes that hold all points.

    ``heights`` (n,): distances from the plane midway. ``shares`` (n,): how far the width hangs on each point; width is
    twice the sum of share times sign times height, and the shares of the points that carry it sum to 1.
    """

    width: float
    heights: Numbers
    shares: Numbers

    @property
    def high(self) -> tuple[int, ...]:
        """The points that carry it from above."""
        return tuple(int(i) for i in np.flatnonzero((self.shares > _ON_A_LINE) & (self.heights > 0)))

    @property
    def low(self) -> tuple[int, ...]:
        """The points that carry it from below."""
        return tuple(int(i) for i in np.flatnonzero((self.shares > _ON_A_LINE) & (self.heights < 0)))

    def deviation(self, of_reading: float) -> float:
        """Standard deviation of the width, to first order, where each height has that of a reading."""
        return 2 * of_reading * float(np.sqrt(np.sum(self.shares**2)))


def checked(points: Points) -> Points:
    """The points about their middle. MeasureError: fewer than four, no numbers, or all places on one line."""
    points = np.asarray(points, float)
    if points.ndim != 2 or points.shape[1:] != (3,):
        raise MeasureError(f"points have the shape {points.shape}, and (n, 3) is wanted: x, y and height of each")
    if len(points) < FEWEST:
        raise MeasureError(f"{len(points)} readings are too few for flatness; take four at least, all round the face")
    if not np.isfinite(points).all():
        raise MeasureError("a reading is no number; measure that place again or leave it out")
    centred = points - points.mean(axis=0)
    spread = np.linalg.svd(centred[:, :2], compute_uv=False)
    if spread[1] <= _ON_A_LINE * spread[0] or spread[0] == 0:
        raise MeasureError("the readings stand on one line, which says nothing of a face; take some beside it")
    return np.asarray(centred, np.float64)


def least_squares(points: Points) -> Numbers:
    """Heights (n,) over the least-squares plane; their range is the peak-to-valley flatness."""
    centred = checked(points)
    heights: Numbers = _levelled(centred)[:, 2]
    return heights


def minimum_zone(points: Points) -> Zone:
    """The exact minimum zone of a face; MeasureError as for ``checked``."""
    levelled = _levelled(checked(points))
    best = _vertical_zone(levelled)
    for _ in range(_TURNS):
        slopes = _slopes(levelled, best)
        if slopes @ slopes <= _LEVEL:
            square = 1 / np.sqrt(1 + slopes @ slopes)  # from upright to square to the plane
            return Zone(best.width * float(square), best.heights * square, best.shares)
        levelled = _turned(levelled, slopes)
        found = _vertical_zone(levelled)
        if found.width >= best.width:
            break
        best = found
    return best


def _levelled(centred: Points) -> Points:
    """Turned so that the plane of least squared distances lies level."""
    _, _, axes = np.linalg.svd(centred, full_matrices=False)
    axes = axes if axes[2, 2] >= 0 else axes * np.array([[1.0], [1.0], [-1.0]])
    return np.asarray(centred @ axes.T, np.float64)


def _slopes(points: Points, zone: Zone) -> Numbers:
    """Slopes (2,) of the plane midway of a zone that was found on these points."""
    flat = np.column_stack([points[:, :2], np.ones(len(points))])
    plane = np.linalg.lstsq(flat, points[:, 2] - zone.heights, rcond=None)[0]
    return np.asarray(plane[:2], np.float64)


def _turned(points: Points, slopes: Numbers) -> Points:
    """Turned so that a plane of these slopes lies level."""
    normal = np.array([-slopes[0], -slopes[1], 1.0])
    first = np.array([1.0, 0.0, slopes[0]])
    second = np.cross(normal, first)
    axes = np.array([axis / np.linalg.norm(axis) for axis in (first, second, normal)])
    return np.asarray(points @ axes.T, np.float64)


def _vertical_zone(points: Points) -> Zone:
    """The minimum zone by heights alone, exact where the points are level."""
    heights = points[:, 2] - points[:, 2].mean()
    size, tall = np.abs(points[:, :2]).max(), np.abs(heights).max()
    if tall == 0:
        return Zone(0.0, heights * 0, heights * 0)
    flat = np.column_stack([np.ones(len(points)), points[:, :2] / size])
    scaled = heights / tall
    four = _first_four(flat, scaled)
    signs, weights = _signs_of(flat[four])
    for _ in range(_MOST_STEPS):
        basis = np.column_stack([signs[:, None] * flat[four], np.ones(4)])
        plane = np.linalg.solve(basis, signs * scaled[four])
        away = scaled - flat @ plane[:3]
        worst = int(np.abs(away).argmax())
        if abs(away[worst]) <= plane[3] + _CLOSE:
            return _zone(away * tall, plane[3] * tall, four, weights)
        sign = np.sign(away[worst])
        change = np.linalg.solve(basis.T, np.append(sign * flat[worst], 1.0))
        leaving = np.where(change > _CLOSE, weights / np.where(change > _CLOSE, change, 1.0), np.inf)
        out = int(leaving.argmin())
        weights = weights - leaving[out] * change
        four[out], signs[out], weights[out] = worst, sign, leaving[out]
        weights = np.maximum(weights, 0.0)
    return _by_programme(flat, scaled, tall)


def _zone(heights: Numbers, half: float, four: NDArray[np.intp], weights: Numbers) -> Zone:
    shares = np.zeros(len(heights))
    shares[four] = weights
    return Zone(max(0.0, float(2 * half)), heights, shares)


def _first_four(flat: Numbers, heights: Numbers) -> NDArray[np.intp]:
    """Three places far from each other, and the one of the others that stands farthest off their plane."""
    first = int((flat[:, 1] ** 2 + flat[:, 2] ** 2).argmax())
    away = flat[:, 1:] - flat[first, 1:]
    second = int((away**2).sum(axis=1).argmax())
    third = int(np.abs(away[:, 0] * away[second, 1] - away[:, 1] * away[second, 0]).argmax())
    three = [first, second, third]
    off = np.abs(heights - flat @ np.linalg.solve(flat[three], heights[three]))
    off[three] = -1.0
    return np.array([*three, int(off.argmax())])


def _signs_of(four: Numbers) -> tuple[Numbers, Numbers]:
    """On which side each of four places lies, and its weight: the one way in which they balance."""
    weights = np.append(-np.linalg.solve(four[:3].T, four[3]), 1.0)
    signs = np.where(weights < 0, -1.0, 1.0)
    weights = np.abs(weights) / np.abs(weights).sum()
    return signs, weights


def _by_programme(flat: Numbers, heights: Numbers, tall: float) -> Zone:
    """The same by a general solver, for the rare face on which exchanging goes round in circles."""
    from scipy.optimize import linprog

    ones = np.ones((len(heights), 1))
    above, below = np.hstack([flat, -ones]), np.hstack([-flat, -ones])
    found = linprog([0, 0, 0, 1], np.vstack([above, below]), np.concatenate([heights, -heights]),
                    bounds=[(None, None)] * 4, method="highs")  # fmt: skip
    away = heights - flat @ found.x[:3]
    forces = -np.asarray(found.ineqlin.marginals).reshape(2, -1).sum(axis=0)
    return Zone(float(2 * found.x[3] * tall), away * tall, forces)
