"""How flat a face is, from heights at places round it or from gaps under a straight edge.

Heights give the minimum zone (ISO 1101). Gaps under a straight edge are what the trade's limit is written for; an
edge laid across a ring rests on two places and does not see a twist between them. Heights and gaps in m.

What the gauge does to the answer is tried out: its error is put on the readings once more, two hundred times,
and what the zone grows by then is what it had grown by before (basic bootstrap, Davison and Hinkley 1997). So noise,
which always makes a face look less flat, is taken off again. The zone's own error is that of the trials, and no less
than what the readings that carry it hand on to it (first order, as in the GUM).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from scipy.special import stdtrit

from leakdx.mechanics.given import MeasureError, as_length, finite, not_negative, positive
from leakdx.mechanics.places import Place
from leakdx.mechanics.plane import Array, Plan, Slice, least_squares, levelled, minimum_zone, peak_to_valley

FEWEST = 4
_DRAWS = 100
_SEED = 20
_ALONE = 6.0
"""Of the gauge's error, from which on readings are said to disagree."""
_SURE_ALONE = 0.01
"""Chance that among good readings one is said to stand alone."""
_SAME = 1e-6
"""Share of the zone by which spots differ no more than by rounding."""
_CAN_STAND_ALONE = 6
"""Readings that there are at least before one can stand alone."""


@dataclass(frozen=True)
class Height:
    """A height read at a place; a place may be read more than once."""

    place: Place
    height: float


@dataclass(frozen=True)
class Gap:
    """A gap at a place: a blade of ``low`` goes in and one of ``high`` does not (inf: none was tried)."""

    place: Place
    low: float
    high: float


@dataclass(frozen=True)
class Seen:
    """What is known of the true value: from ``low`` to ``high``, either end by a normal error of ``spread``.

    Both the same: a value that was read.
    """

    low: float
    high: float
    spread: float


@dataclass(frozen=True)
class Spot:
    """A place with its height over the middle of the zone."""

    place: Place
    height: float


@dataclass(frozen=True)
class Alone:
    """A reading far from where the others put it, and the zone without it."""

    place: Place
    away: float
    zone_without: float


@dataclass(frozen=True)
class Face:
    """A face by its heights: both flatnesses, every spot, which spots carry the zone, and what is doubtful."""

    zone: float
    least_squares: float
    spots: tuple[Spot, ...]
    carriers: tuple[Place, ...]
    seen: Seen
    alone: Alone | None
    unsteady: tuple[Place, ...]
    """Places that were read twice with more between the readings than the gauge allows."""

    @property
    def highest(self) -> tuple[Spot, ...]:
        """The highest spot, and those as high."""
        return self._as_far(1)

    @property
    def lowest(self) -> tuple[Spot, ...]:
        """The lowest spot, and those as low."""
        return self._as_far(-1)

    def _as_far(self, sign: int) -> tuple[Spot, ...]:
        most = max(sign * spot.height for spot in self.spots)
        return tuple(spot for spot in self.spots if sign * spot.height >= most - _SAME * self.zone)


def face(heights: Sequence[Height], gauge: float, highest: float) -> Face:
    """The face by its readings. ``gauge``: standard deviation of one; ``highest``: what no face is out of flat by."""
    positive("the gauge's error", gauge, "give what one reading is good to, such as 0.0005 in")
    for each in heights:
        finite(f"the height at {each.place.name}", each.height, "give a number with its unit, such as 0.002 in")
    spots, counts, unsteady = _gathered(heights, gauge)
    if len(spots) < FEWEST:
        raise MeasureError(
            f"flatness needs four places at least, and there are {len(spots)}: three always lie in one plane"
        )
    if len({spot.height for spot in spots}) == 1:
        raise MeasureError(
            f"all {len(heights)} heights are the same, which a dial that touches does not show; see that it moves"
        )
    points = np.array([(*spot.place.point, spot.height) for spot in spots])
    alone = _alone(spots, points, gauge, highest)
    zone = minimum_zone(points)
    level = tuple(Spot(spot.place, float(rest)) for spot, rest in zip(spots, zone.residuals, strict=True))
    carriers = tuple(spots[at].place for at in zone.carriers)
    seen = _seen(levelled(points), zone, gauge / np.sqrt(counts))
    return Face(zone.thickness, peak_to_valley(least_squares(points)), level, carriers, seen, alone, unsteady)


def largest(gaps: Sequence[Gap], gauge: float, highest: float) -> Seen:
    """What gaps say of the largest one anywhere."""
    positive("the feeler's error", gauge, "give what one reading is good to, such as 0.00075 in")
    for gap in gaps:
        not_negative(f"the gap at {gap.place.name}", gap.low, "write 0 where nothing goes in")
        if gap.low > gap.high:
            raise MeasureError(f"the gap at {gap.place.name} goes from the blade that enters to one that does not")
        if gap.low > highest:
            raise MeasureError(f"the gap at {gap.place.name} is {as_length(gap.low)}, and no face is so far "
                               "out of flat; look at the number and its unit")  # fmt: skip
    if len({_where(gap.place) for gap in gaps}) < FEWEST:
        raise MeasureError(
            "a straight edge is laid at four places at least, all round; give a gap for each, 0 for none"
        )
    return Seen(max(gap.low for gap in gaps), max(gap.high for gap in gaps), gauge)


def _where(place: Place) -> tuple[float, float]:
    return round(place.turn, 9), round(place.radius, 9)


def _gathered(heights: Sequence[Height], gauge: float) -> tuple[list[Spot], Array, tuple[Place, ...]]:
    """One spot for each place, in order round the face; how often each was read; those read unsteadily."""
    spots, counts, unsteady = [], [], []
    for _, same in groupby(sorted(heights, key=lambda each: _where(each.place)), key=lambda each: _where(each.place)):
        read = list(same)
        values = [each.height for each in read]
        spots.append(Spot(read[0].place, math.fsum(values) / len(values)))
        counts.append(len(values))
        if max(values) - min(values) > _ALONE * gauge:
            unsteady.append(read[0].place)
    return spots, np.array(counts, float), tuple(unsteady)


def _seen(level: Array, zone: Slice, errors: Array) -> Seen:
    """The true zone by what the gauge's error does to it once more."""
    draws = np.random.default_rng(_SEED).standard_normal((_DRAWS, len(level))) * errors
    plan = Plan(level[:, :2])
    grown = [plan.slice(level[:, 2] + draw, zone.basis).thickness - zone.thickness for draw in (*draws, *-draws)]
    value = max(0.0, zone.thickness - float(np.mean(grown)))
    return Seen(value, value, max(float(np.std(grown)), float(np.linalg.norm(zone.weights * errors))))


def _alone(spots: Sequence[Spot], points: Array, gauge: float, highest: float) -> Alone | None:
    """The reading farthest from the plane of the others; MeasureError where it is farther than a face can be.

    Student's t of the deleted residual, its chance shared out among all readings (Bonferroni).
    """
    plan = np.column_stack([np.ones(len(points)), points[:, :2] - points[:, :2].mean(axis=0)])
    pull = np.linalg.qr(plan)[0]
    rest = points[:, 2] - pull @ (pull.T @ points[:, 2])
    left = np.maximum(1 - (pull**2).sum(axis=1), 1e-9)
    away = rest / left
    at = int((np.abs(rest) / np.sqrt(left)).argmax())
    if peak_to_valley(rest) > highest:
        raise MeasureError(
            f"the height at {spots[at].place.name} stands {as_length(abs(away[at]))} from the others, and no face "
            "is so far out of flat; look at the number and its unit"
        )
    if len(spots) < _CAN_STAND_ALONE:
        return None
    others = math.sqrt(max(0.0, float(rest @ rest - rest[at] ** 2 / left[at])) / (len(spots) - FEWEST))
    bound = float(stdtrit(len(spots) - FEWEST, 1 - _SURE_ALONE / (2 * len(spots))))
    if abs(away[at]) * math.sqrt(left[at]) <= max(bound * others, _ALONE * gauge):
        return None
    without = np.delete(points, at, axis=0)
    return Alone(spots[at].place, float(away[at]), minimum_zone(without).thickness)
