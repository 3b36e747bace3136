"""Whether the wet part of the joint stands with what could have made it wet.

The places of fasteners are a lattice, and a few of them are drawn without putting any back; tests that are made for
directions on an open circle (Rayleigh's) are not exact there. So every way in which as many places could lie is
counted: the chance is the share of ways that stand as near to the wet part as what was found, or nearer (permutation
test). That takes the places as independent. Where one cause takes neighbours together they move as one, and the chance
is that of turning the whole pattern round the joint, never less than one in the count of places (own derivation).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from leakdx.mechanics.given import MeasureError, between, finite
from leakdx.mechanics.outline import FEWEST, MOST

Numbers: TypeAlias = NDArray[np.float64]

MOST_WAYS = 4_000_000
_AT_ONCE = 100_000
_ALIKE = 1e-9


@dataclass(frozen=True)
class Arc:
    """A part of the joint, clockwise from one turn to another (shares of the way round)."""

    start: float
    end: float

    @property
    def span(self) -> float:
        """How much of the way round it is."""
        return (self.end - self.start) % 1

    def away(self, turn: float) -> float:
        """Share of the way round from a place to the arc, the shorter way; 0 inside."""
        inside = (turn - self.start) % 1
        if inside <= self.span + _ALIKE:
            return 0.0
        return min(inside - self.span, 1 - inside)


@dataclass(frozen=True)
class Standing:
    """How near some places stand to the wet part: mean distance (share of the way round), and the two chances."""

    away: float
    inside: int
    ways: int
    chance: float
    turning: float


def stands_with(places: Sequence[int], count: int, wet: Arc, first: float = 0.0) -> Standing:
    """Places 1 to ``count``, evenly clockwise with 1 at the turn ``first``, held against a wet arc.

    MeasureError: a place off the joint or twice, none or all of them, or more ways than can be counted.
    """
    chosen = _chosen(places, count)
    ways = math.comb(count, len(chosen))
    if ways > MOST_WAYS:
        raise MeasureError(f"{len(chosen)} of {count} places lie in {ways} ways, more than can be counted; name fewer")
    away = np.array([wet.away(first + number / count) for number in range(count)])
    found = float(away[chosen].sum())
    near = sum(int((rest.sum(axis=1) <= found + _ALIKE).sum()) for rest in _ways(away, len(chosen)))
    turned = np.array([np.roll(away, -by)[chosen].sum() for by in range(count)])
    inside = int((away[chosen] == 0).sum())
    return Standing(found / len(chosen), inside, ways, near / ways, float((turned <= found + _ALIKE).mean()))


def gathered(places: Sequence[int], count: int) -> tuple[float, float, float]:
    """Whether some places stand together: length of their mean direction, its turn (from place 1), and the chance."""
    chosen = _chosen(places, count)
    ways = math.comb(count, len(chosen))
    if ways > MOST_WAYS:
        raise MeasureError(f"{len(chosen)} of {count} places lie in {ways} ways, more than can be counted; name fewer")
    circle = np.exp(2j * np.pi * np.arange(count) / count)
    total = circle[chosen].sum()
    far = sum(int((np.abs(rest.sum(axis=1)) >= abs(total) - _ALIKE).sum()) for rest in _ways(circle, len(chosen)))
    return float(abs(total)) / len(chosen), float(np.angle(total) / (2 * np.pi) % 1), far / ways


def arc_there(other: Arc, wet: Arc) -> tuple[float, float]:
    """How far another part of the joint, such as a weld, is from the wet arc, and the chance to be as near."""
    apart = min(wet.away(other.start), wet.away(other.end), other.away(wet.start), other.away(wet.end))
    return apart, min(1.0, wet.span + other.span + 2 * apart)


def low_there(heights: Sequence[float], wet: Arc, first: float = 0.0) -> tuple[float, float]:
    """Whether a face stands lower in the wet arc: how much on average (less than 0: higher), and the chance.

    ``heights``: at even places clockwise, the first at the turn ``first``. The chance counts every choice of as many
    places as stand in the arc. MeasureError where none or all of them do.
    """
    values = np.array([finite(f"the height at place {n}", h, "measure it again") for n, h in enumerate(heights, 1)])
    count = len(values)
    between("the count of places", count, FEWEST, MOST, "give one height for each place")
    inside = np.array([wet.away(first + number / count) == 0 for number in range(count)])
    if not inside.any() or inside.all():
        raise MeasureError("the wet arc holds none or all of the places; give heights at more places")
    lower = float(values[~inside].mean() - values[inside].mean())
    return lower, greater_by_chance(-values[inside], -values[~inside])


def greater_by_chance(one: Numbers, other: Numbers) -> float:
    """The share of ways to deal the values of two groups in which the first is as great on average, or greater."""
    together, size = np.concatenate([one, other]), len(one)
    ways = math.comb(len(together), size)
    if ways > MOST_WAYS:
        raise MeasureError(f"{size} of {len(together)} values lie in {ways} ways, more than can be counted; give fewer")
    bound = one.sum() - _ALIKE * np.abs(together).sum()
    return sum(int((rest.sum(axis=1) >= bound).sum()) for rest in _ways(together, size)) / ways


def _chosen(places: Sequence[int], count: int) -> list[int]:
    """Indices from 0. MeasureError for places that are not on the joint."""
    between("the count of fasteners", count, FEWEST, MOST, "count those of the joint")
    for number in places:
        between("a place's number", number, 1, count, f"fasteners run from 1 to {count}")
        if list(places).count(number) > 1:
            raise MeasureError(f"place {number} is given twice; name each once")
    if not 0 < len(places) < count:
        raise MeasureError(f"{len(places)} of {count} places are named, which can stand anywhere; name some, not all")
    return [number - 1 for number in places]


def _ways(values: NDArray[np.float64] | NDArray[np.complex128], size: int) -> Iterator[NDArray[np.float64]]:
    """The values of every choice of so many, some (ways, size) at a time."""
    choices = combinations(range(len(values)), size)
    while some := list(islice(choices, _AT_ONCE)):
        yield np.asarray(values[np.array(some)])
