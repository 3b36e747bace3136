"""Whether what is weak stands where the joint is wet, or only chance brought them so near.

Fasteners stand on a ring of places, each taken once, so that the usual tests of directions (Rayleigh) are not exact:
for four side by side of twelve they say .051, where the count says 12 of 495, .024. Here the ways are counted, all of
them (permutation test, Fisher 1935). Two counts answer two questions: each fastener by itself, as likely at any place;
and the whole group turned as it stands, since neighbours grow weak together. Turns in rad, clockwise from 12 o'clock.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import fdtrc

from leakdx.mechanics.given import MeasureError, finite
from leakdx.mechanics.places import Arc

Numbers = NDArray[Any]
"""Real or complex."""

READ_TO = math.radians(15)
"""A place that is told as one hour stands for half an hour on the clock."""
MOST_WAYS = 6_000_000
_EPS = 1e-9
_NOWHERE = 1e-9
"""Mean resultant length under which places have no middle."""


@dataclass(frozen=True)
class Gathered:
    """Whether places keep to one side: middle (None where there is none), mean resultant length (0 to 1), chance."""

    middle: float | None
    length: float
    chance: float


@dataclass(frozen=True)
class Near:
    """How near places stand to an arc: how many inside it, and the chance that so near or nearer comes by itself.

    ``chance_each``: every one likely at any place; ``chance_turned``: the group turned as it stands.
    """

    inside: int
    chance_each: float
    chance_turned: float

    @property
    def chance(self) -> float:
        """The more careful of the two."""
        return max(self.chance_each, self.chance_turned)


@dataclass(frozen=True)
class Wave:
    """One wave round the ring through readings: share of their spread that follows it, where it is lowest, chance."""

    share: float
    lowest: float
    chance: float


def direction(turns: Sequence[float]) -> tuple[float | None, float]:
    """Middle and mean resultant length of places."""
    if not turns:
        raise MeasureError("there is no place to find the middle of; name one at least")
    mean = sum(complex(math.cos(turn), math.sin(turn)) for turn in turns) / len(turns)
    length = min(1.0, abs(mean))
    return (math.atan2(mean.imag, mean.real) % math.tau if length > _NOWHERE else None), length


def gathered(ring: Sequence[float], chosen: Sequence[int]) -> Gathered:
    """Whether the chosen of a ring (indices) keep to one side more than as many at any places do."""
    some = _some(ring, chosen)
    middle, length = direction([ring[at] for at in some])
    unit = np.exp(1j * np.asarray(ring))
    least = length * len(some) - _EPS
    return Gathered(middle, length, share_of_ways(unit, len(some), lambda sums: np.abs(sums) >= least))


def near(ring: Sequence[float], chosen: Sequence[int], arc: Arc) -> Near:
    """How near the chosen of an evenly spaced ring (indices, in order round it) stand to an arc, by the sum of gaps."""
    some = _some(ring, chosen)
    away = np.array([arc.away(turn) for turn in ring])
    most = float(away[some].sum()) + _EPS
    each = share_of_ways(away, len(some), lambda sums: sums <= most)
    turned = sum(float(np.roll(away, step)[some].sum()) <= most for step in range(len(ring))) / len(ring)
    return Near(int((away[some] == 0).sum()), each, turned)


def apart(one: Arc, other: Arc) -> float:
    """The gap (rad) between two arcs; 0 where they touch."""
    after, before = (other.start - one.start) % math.tau, (one.start - other.start) % math.tau
    if after <= one.width or before <= other.width:
        return 0.0
    return min(after - one.width, before - other.width)


def chance_so_near(one: Arc, other: Arc) -> float:
    """That two arcs, one of them turned anywhere, come as near as these or nearer."""
    return min(1.0, (one.width + other.width + 2 * apart(one, other)) / math.tau)


def wave(turns: Sequence[float], values: Sequence[float]) -> Wave:
    """One wave ``a + b cos + c sin`` through readings (Mardia 1976); chance by F, 2 and n - 3 degrees of freedom."""
    if len(turns) != len(values) or len(values) < 5:
        raise MeasureError("a wave round the ring needs five readings at least, one for each place")
    for number, value in enumerate(values, 1):
        finite(f"reading {number}", value, "give a number with its unit")
    angles, read = np.asarray(turns, float), np.asarray(values, float)
    columns = np.column_stack([np.ones(len(read)), np.cos(angles), np.sin(angles)])
    fitted, *_ = np.linalg.lstsq(columns, read, rcond=None)
    spread = float(((read - read.mean()) ** 2).sum())
    if spread <= _EPS**2 * float((read**2).sum()):
        raise MeasureError("all readings are the same, so that none is lowest; give them as they were read")
    left = float(((read - columns @ fitted) ** 2).sum())
    share = max(0.0, 1 - left / spread)
    free = len(read) - 3
    chance = float(fdtrc(2, free, share / 2 / ((1 - share) / free))) if share < 1 else 0.0
    return Wave(share, math.atan2(-fitted[2], -fitted[1]) % math.tau, chance)


def share_of_ways(values: Numbers, size: int, counts: Callable[[Numbers], NDArray[np.bool_]]) -> float:
    """Share of all ways to take so many of the values, whose sums count; each value is taken once."""
    number = math.comb(len(values), size)
    if number > MOST_WAYS:
        raise MeasureError(f"{size} of {len(values)} can be taken in {number:.1e} ways, too many to count one by one; "
                           "so many weak ones stand nowhere in particular")  # fmt: skip
    half = len(values) // 2
    found = 0
    for left in range(max(0, size - (len(values) - half)), min(half, size) + 1):
        rest = _sums(values[half:], size - left)
        found += sum(int(counts(one + rest).sum()) for one in _sums(values[:half], left))
    return found / number


def _sums(values: Numbers, size: int) -> Numbers:
    """Sums of all ways to take so many."""
    if size == 0:
        return np.zeros(1, values.dtype)
    sums: Numbers = values[np.array(list(combinations(range(len(values)), size)))].sum(axis=1)
    return sums


def _some(ring: Sequence[float], chosen: Sequence[int]) -> list[int]:
    some = sorted(chosen)
    if len({*some}) < len(some):
        raise MeasureError("a fastener is named twice; name each once")
    if not some or not 0 <= some[0] <= some[-1] < len(ring):
        raise MeasureError(f"name some of the {len(ring)} fasteners, by their numbers 1 to {len(ring)}")
    return some
