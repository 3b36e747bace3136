"""A face against its limit: from readings at named places to a verdict that an engineer would sign.

Three uses of the limit are kept apart. The rule compares the figure with the limit at the fineness it was read to (the
command does that, since only what was typed knows it). The belief gets the chance that the true figure is beyond.
The verdict says when that chance is too near a half to decide: then the face is measured again, and a stop stays.

What a gauge is good to is taken as the ends of an even spread (GUM, type B: standard deviation = ends / sqrt 3), and
carried to the figure to first order through the points that hold it. Noise can only make a face look worse, so
that a face near the limit is rather sent back than passed. Nothing is said about places that were not measured.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist

import numpy as np

from leakdx.mechanics.given import MeasureError, between, not_negative, positive
from leakdx.mechanics.minimum_zone import FEWEST, Numbers, Zone, least_squares, minimum_zone

_NORMAL = NormalDist()
FARTHEST, HIGHEST = 2.0, 0.05
"""m; beyond these a place or a height is a slip of the pen or of the unit."""
_SURE_ODD = 0.001
_TIMES_GAUGE = 4


class Verdict(StrEnum):
    """Three words, and no more."""

    WITHIN = "within the limit"
    BEYOND = "beyond the limit"
    TOO_CLOSE = "too close to say"


@dataclass(frozen=True)
class Reading:
    """The height of the face at a place; all in m."""

    place: str
    x: float
    y: float
    height: float


@dataclass(frozen=True)
class Limit:
    """The limit (m), and how sure a verdict must be (a share such as 0.95)."""

    value: float
    sure: float


@dataclass(frozen=True)
class Judged:
    """A figure (m) with its standard deviation against the limit: the chance that the true one is beyond it."""

    figure: float
    deviation: float
    chance: float
    verdict: Verdict
    finer: float
    """How many times finer a gauge would decide; 1 where it is decided, inf where none would."""

    @property
    def again(self) -> int | None:
        """How often each place would have to be read, and the mean taken, to decide; None where that decides nothing.

        Errors that a gauge makes every time do not go away by reading often.
        """
        return math.ceil(self.finer**2) if math.isfinite(self.finer) else None


@dataclass(frozen=True)
class Odd:
    """A reading that does not go with the others, and the flatness without it."""

    place: str
    off: float
    without: float


@dataclass(frozen=True)
class Flatness:
    """A face: its readings, both figures, and the verdict on the exact one."""

    readings: tuple[Reading, ...]
    zone: Zone
    least_squares: float
    judged: Judged
    odd: Odd | None

    @property
    def high(self) -> tuple[str, ...]:
        """Places that stand highest."""
        return tuple(self.readings[i].place for i in self.zone.high)

    @property
    def low(self) -> tuple[str, ...]:
        """Places that stand lowest."""
        return tuple(self.readings[i].place for i in self.zone.low)


def flatness(readings: Sequence[Reading], gauge: float, limit: Limit) -> Flatness:
    """The flatness of a face; ``gauge``: what a reading is good to (m), either way.

    MeasureError: fewer than four readings, places twice, on one line or off the face, heights that no face has.
    """
    _check(readings)
    points = _points(readings)
    zone = minimum_zone(points)
    deviation = zone.deviation(standard(gauge)) if zone.width else standard(gauge)
    return Flatness(
        tuple(readings),
        zone,
        float(np.ptp(least_squares(points))),
        judge(zone.width, deviation, limit),
        _odd(readings, points, gauge),
    )


def standard(gauge: float) -> float:
    """Standard deviation of a reading that is good to ``gauge`` either way."""
    return not_negative("what the gauge is good to", gauge, "give a length such as 0.001 in") / math.sqrt(3)


def judge(figure: float, deviation: float, limit: Limit) -> Judged:
    """A figure against the limit; exactly the limit is within it."""
    positive("the limit", limit.value, "give a length such as 0.005 in")
    between("how sure a verdict must be", limit.sure, 0.5, 1, "give a share such as 0.95")
    over = figure - limit.value
    if deviation == 0 or not math.isfinite(over / deviation):
        return Judged(figure, 0.0, float(over > 0), Verdict.BEYOND if over > 0 else Verdict.WITHIN, 1.0)
    chance = _NORMAL.cdf(over / deviation)
    if chance >= limit.sure:
        return Judged(figure, deviation, chance, Verdict.BEYOND, 1.0)
    if chance <= 1 - limit.sure:
        return Judged(figure, deviation, chance, Verdict.WITHIN, 1.0)
    needed = _NORMAL.inv_cdf(limit.sure) * deviation
    return Judged(figure, deviation, chance, Verdict.TOO_CLOSE, needed / abs(over) if over else math.inf)


def _check(readings: Sequence[Reading]) -> None:
    if len(readings) < FEWEST:
        raise MeasureError(f"{len(readings)} readings are too few for flatness; take four at least, all round the face")
    seen: set[str] = set()
    for each in readings:
        if each.place in seen:
            raise MeasureError(f"{each.place} is read twice; give one reading for each place, the mean of several")
        seen.add(each.place)
        right = "look at number and unit"
        between(f"the distance of {each.place} from the middle in m", math.hypot(each.x, each.y), 0, FARTHEST, right)
        between(f"the reading at {each.place} in m", each.height, -HIGHEST, HIGHEST, right)


def _points(readings: Sequence[Reading]) -> Numbers:
    return np.array([(each.x, each.y, each.height) for each in readings], float)


def _odd(readings: Sequence[Reading], points: Numbers, gauge: float) -> Odd | None:
    """The one reading that is far off the plane of the others and alone in that, by its deleted residual.

    Student's t of the deleted residual, shared out among all readings (Bonferroni); it must also be well off by the
    gauge. With five readings or fewer no reading can be told from a bent face.
    """
    count = len(readings)
    if count < FEWEST + 2:
        return None
    flat = np.column_stack([np.ones(count), points[:, :2]])
    away = points[:, 2] - flat @ np.linalg.lstsq(flat, points[:, 2], rcond=None)[0]
    free = 1 - np.einsum("ij,ji->i", flat, np.linalg.pinv(flat))
    usable = free > 1e-9
    free = np.where(usable, free, 1.0)
    deleted = np.where(usable, away / free, 0.0)
    rest = np.maximum(np.sum(away**2) - away**2 / free, 0) / (count - FEWEST)
    worst = int(np.abs(deleted).argmax())
    bound = _t_beyond(_SURE_ODD / count, count - FEWEST)
    far = abs(away[worst]) > bound * math.sqrt(rest[worst] * free[worst])
    if not far or abs(deleted[worst]) <= _TIMES_GAUGE * gauge:
        return None
    try:
        without = minimum_zone(np.delete(points, worst, axis=0)).width
    except MeasureError:  # the others stand on one line
        return None
    return Odd(readings[worst].place, float(deleted[worst]), without)


def _t_beyond(chance: float, freedom: int) -> float:
    """Student's t that is passed on either side with so small a chance."""
    from scipy.special import stdtrit

    return float(stdtrit(freedom, 1 - chance / 2))
