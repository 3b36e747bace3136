"""The order in which a ring is tightened, and its passes.

Round joints: groups of fasteners spaced evenly, each group half-way between those before it (ASME PCC-1, legacy
cross pattern; from memory). Fours where four divide the count, else pairs, else the smallest group that divides it;
a prime count is one group. Oblong joints: from the middle outwards, so that the faces flatten towards the ends, each
fastener followed by the one across (common practice, no source). Dowel places come first in either (common practice,
no source), since a tapered dowel puts the carrier where it belongs only as long as it can still move.
Fasteners are numbered clockwise from 1.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leakdx.mechanics.given import MeasureError, between, positive
from leakdx.mechanics.outline import Outline

Point = tuple[float, float]


@dataclass(frozen=True)
class Group:
    """Fasteners tightened one after the other; ``dowels``: whether they stand at dowels."""

    numbers: tuple[int, ...]
    dowels: bool = False


def round_order(count: int, dowels: Sequence[int] = (), start: int | None = None) -> tuple[Group, ...]:
    """Groups of a round joint in order, from the ``start`` on, or the first dowel. MeasureError: no such fasteners.

    Without dowels every group balances: the pull of its fasteners has no side.
    """
    between("the count of fasteners", count, 3, 60, "count those of the joint")
    _on_the_joint(count, dowels)
    _on_the_joint(count, [] if start is None else [start])
    size = next(each for each in (4, 2, *range(3, count + 1, 2)) if count % each == 0)
    first = start if start is not None else min(dowels, default=1)
    steps = count // size
    groups = [
        [(first - 1 + offset + steps * turn) % count + 1 for turn in spread(size)] for offset in spread(steps)
    ]  # fmt: skip
    return _dowels_first(groups, dowels)


def oblong_order(points: Sequence[Point], dowels: Sequence[int] = ()) -> tuple[Group, ...]:
    """Groups of an oblong joint in order, from fasteners' places (m) about its middle. MeasureError as above."""
    between("the count of fasteners", len(points), 3, 60, "count those of the joint")
    _on_the_joint(len(points), dowels)
    left = sorted(range(len(points)), key=lambda each: (round(math.hypot(*points[each]), 6), each))
    groups = []
    while left:
        lead = left.pop(0)
        across = [-part for part in points[lead]]
        group = [lead]
        if left:
            group.append(min(left, key=lambda each: round(math.dist(points[each], across), 6)))
            left.remove(group[1])
        groups.append([each + 1 for each in group])
    return _dowels_first(groups, dowels)


def order_of(
    line: Outline, places: Sequence[float], dowels: Sequence[int] = (), start: int | None = None
) -> tuple[Group, ...]:
    """Groups of the joint with fasteners at these places (m) of its line, in order; ``start``: of a round one only."""
    if line.is_round:
        return round_order(len(places), dowels, start)
    return oblong_order(line.spots(np.array(places)), dowels)


def spread(count: int) -> tuple[int, ...]:
    """0 to count - 1 on a circle, each as far as can be from those before it, then from the last, then the lowest."""
    done = [0]
    while len(done) < count:
        left = [each for each in range(count) if each not in done]
        done.append(max(left, key=lambda each: (min(_apart(each, at, count) for at in done),
                                                _apart(each, done[-1], count), -each)))  # fmt: skip
    return tuple(done)


def passes(torque: float, shares: Sequence[float]) -> tuple[float, ...]:
    """Torque (N m) of each pass."""
    positive("the torque", torque, "give a torque such as 225 lb-ft")
    return tuple(torque * share for share in shares)


def _apart(one: int, other: int, count: int) -> int:
    return min((one - other) % count, (other - one) % count)


def _on_the_joint(count: int, numbers: Sequence[int]) -> None:
    for number in numbers:
        between("the number of a fastener", number, 1, count, f"the joint has 1 to {count}")
    if len(set(numbers)) < len(numbers):
        raise MeasureError("a fastener is named twice; name each once")


def _dowels_first(groups: Sequence[Sequence[int]], dowels: Sequence[int]) -> tuple[Group, ...]:
    """The groups with the dowels taken out of them and put first."""
    first = [Group(tuple(each for each in group if each in dowels), dowels=True) for group in groups]
    rest = [Group(tuple(each for each in group if each not in dowels)) for group in groups]
    return tuple(group for group in (*first, *rest) if group.numbers)
