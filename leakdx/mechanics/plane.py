"""The plane through readings of a face, and the thinnest slice that holds them all (minimum zone, ISO 1101).

The slice between two parallel planes is found exactly. Its plane ``z = a x + b y + c`` makes the greatest residual
less the smallest as small as it can be: a linear programme. Its dual asks for weights u on readings above and v below,

    most of  sum (u - v) z   with  sum u = sum v = 1,  sum (u - v) x = sum (u - v) y = 0,  u, v >= 0,

and is solved by the simplex method with a basis of four columns, so that each step costs one look at all readings:
the reading farthest outside the slice comes in, one of the four that carried it goes. The weights say at the end
which readings carry the slice, and how much each moves it (own derivation; duality as in any book on it).

Residuals are measured along z, which is the slice's thickness only where it lies level, so the readings are levelled
first and again until nothing moves. That ends at the thinnest slice of any face, however steep it was read; in a cloud
about as thick as it is wide it may end at a slice that is only thinner than all near it.
Points are (n, 3) in m: x, y and height; errors are MeasureError.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leakdx.mechanics.given import MeasureError

Array = NDArray[np.float64]
Basis = tuple[int, ...]
"""Four columns: i for a reading i above, n + i for a reading i below."""

_FLAT = 1e-13
"""Share of the plan's size below which heights are no more than rounding."""
_EPS = 1e-12
_PIVOT = 1e-9
_LINE = 1e-4
"""Of places that spread so little across a line, the square of one in a hundred, no plane is known."""
_PATIENCE = 12
"""Steps without gain, after which the first column that helps is taken, which cannot go round in circles (Bland)."""
_MOST_STEPS = 2000
_LEVELLINGS = 30
_LEVEL = 1e-7
"""Square of a slope at which the slice that is thinnest along z is the thinnest square to it, too."""


@dataclass(frozen=True)
class Slice:
    """The thinnest slice: thickness (m), residuals from its middle (n, m), and how each height moves the thickness.

    ``weights`` (n) sum to nothing; the few that are not 0 belong to the readings that carry the slice. ``slopes``: of
    its plane, along x and y.
    """

    thickness: float
    residuals: Array
    weights: Array
    slopes: Array
    basis: Basis

    @property
    def carriers(self) -> tuple[int, ...]:
        """The readings that carry the slice, in order."""
        return tuple(int(i) for i in np.flatnonzero(np.abs(self.weights) > 1e-9))


def least_squares(points: Array) -> Array:
    """Residuals (n, m) from the plane of least squares, square to it."""
    plan = _centred(_numbers(points)[:, :2])
    slopes, *_ = np.linalg.lstsq(np.column_stack([plan, np.ones(len(plan))]), points[:, 2], rcond=None)
    residuals: Array = points[:, 2] - plan @ slopes[:2] - slopes[2]
    return residuals / float(np.sqrt(1 + slopes[:2] @ slopes[:2]))


def peak_to_valley(residuals: Array) -> float:
    """The highest less the lowest."""
    return float(residuals.max() - residuals.min())


def levelled(points: Array) -> Array:
    """The points turned so that the plane nearest to them, by distances square to it, lies level."""
    _centred(_numbers(points)[:, :2])
    centred = points - points.mean(axis=0)
    _, axes = np.linalg.eigh(centred.T @ centred)
    return _turned(centred, axes[:, 0])


def minimum_zone(points: Array) -> Slice:
    """The thinnest slice that holds all points."""
    level = levelled(points)
    found = Plan(level[:, :2]).slice(level[:, 2])
    for _ in range(_LEVELLINGS):
        if found.slopes @ found.slopes <= _LEVEL:
            break
        level = _turned(level, np.array([*-found.slopes, 1.0]))
        found = Plan(level[:, :2]).slice(level[:, 2], found.basis)
    square = 1 / float(np.sqrt(1 + found.slopes @ found.slopes))
    return replace(found, thickness=found.thickness * square, residuals=found.residuals * square)


class Plan:
    """Places (n, 2) of a face, for which the slice that is thinnest along z is sought, for one set of heights or many.

    ``_columns`` (2 n, 4): what each weight adds to the four sums, all above, then all below.
    """

    def __init__(self, places: Array) -> None:
        centred = _centred(places)
        self._size = float(np.abs(centred).max())
        self._places = centred / self._size
        count = len(places)
        self._columns = np.zeros((2 * count, 4))  # filled in place: putting blocks together takes as long as the rest
        self._columns[:count, 0] = self._columns[count:, 1] = 1
        self._columns[:count, 2:], self._columns[count:, 2:] = self._places, -self._places

    def slice(self, heights: Array, start: Basis | None = None) -> Slice:
        """The slice for heights (n); the basis of other heights at these places can ``start`` it."""
        rough = heights - heights.mean()
        tall = float(np.abs(rough).max())
        basis = start if start is not None and self._holds(start) else self._first_basis()
        if tall <= _FLAT * self._size:
            return Slice(0.0, np.zeros_like(rough), np.zeros_like(rough), np.zeros(2), basis)
        gains = np.concatenate([rough, -rough]) / tall
        found, shares, prices = _simplex(self._columns, gains, list(basis))
        weights = np.zeros(len(rough))
        for column, share in zip(found, shares, strict=True):
            weights[column % len(rough)] += share if column < len(rough) else -share
        residuals = rough - tall * (self._places @ prices[2:])
        middle = (residuals.max() + residuals.min()) / 2
        slopes = prices[2:] * (tall / self._size)
        return Slice(peak_to_valley(residuals), residuals - middle, weights, slopes, tuple(found))

    def _first_basis(self) -> Basis:
        """One reading above and below itself, and two more that stand apart from it."""
        away = self._places - self._places[0]
        two = int((away**2).sum(axis=1).argmax())
        three = int(np.abs(away[:, 0] * away[two, 1] - away[:, 1] * away[two, 0]).argmax())
        return 0, len(away), two, three

    def _holds(self, basis: Basis) -> bool:
        """Whether the four stand apart and none has a weight below nothing."""
        four = self._columns[list(basis)].T
        if abs(np.linalg.det(four)) <= _PIVOT:
            return False
        return bool(np.linalg.solve(four, [1.0, 1.0, 0.0, 0.0]).min() >= -_EPS)


def _simplex(columns: Array, gains: Array, basis: list[int]) -> tuple[list[int], Array, Array]:
    """The best basis, the weight of each of its columns, and the prices: top, less the bottom, and both slopes."""
    idle = 0
    for _ in range(_MOST_STEPS):
        inverse = np.linalg.inv(columns[basis].T)
        shares, prices = inverse[:, 0] + inverse[:, 1], gains[basis] @ inverse
        outside = gains - columns @ prices
        enters = int(outside.argmax()) if idle < _PATIENCE else int((outside > _EPS).argmax())
        if outside[enters] <= _EPS:
            break
        step: list[float] = (inverse @ columns[enters]).tolist()
        reaches = {at: max(share, 0.0) / step[at] for at, share in enumerate(shares.tolist()) if step[at] > _PIVOT}
        reach = min(reaches.values())
        first = [at for at, other in reaches.items() if other <= reach + _EPS]
        leaves = max(first, key=step.__getitem__) if idle < _PATIENCE else min(first, key=basis.__getitem__)
        idle = idle + 1 if reach <= _EPS else 0
        basis[leaves] = enters
    return basis, shares, prices


def _centred(places: Array) -> Array:
    """x and y about their middle. MeasureError where no plane goes through the points alone."""
    if places.ndim != 2 or places.shape[1] != 2 or len(places) < 3:
        raise MeasureError("a plane needs three places at least; read the face at four or more")
    centred: Array = places - places.mean(axis=0)
    (xx, xy), (_, yy) = (centred.T @ centred).tolist()
    if xx * yy - xy * xy <= _LINE * (xx + yy) ** 2:
        raise MeasureError(
            "all places lie on one line or nearly so, and no plane is known by them; read the face all round"
        )
    return centred


def _numbers(points: Array) -> Array:
    if not np.isfinite(points).all():
        raise MeasureError("a height or a place is no number; give each as a number with its unit")
    return points


def _turned(points: Array, normal: Array) -> Array:
    """The points with ``normal`` turned to z, the shorter way round."""
    up = normal / np.linalg.norm(normal) * (1 if normal[2] >= 0 else -1)
    cross = np.array([[0.0, 0.0, -up[0]], [0.0, 0.0, -up[1]], [up[0], up[1], 0.0]])
    turn = np.eye(3) + cross + cross @ cross / (1 + up[2])
    turned: Array = points @ turn.T
    return turned
