"""The clamp field: how hard a joint is pressed together along the line of its fasteners, and where it is not.

The flange is a closed strip on the elastic bed of what seals it (beam.py), pressed by the preload of each fastener. A
bed pushes and never pulls: where the strip would have to be pulled down it lifts off, bears nothing there, and lifts
its neighbourhood too (own derivation). The load on the bed always sums up to that of the fasteners.

The bend of the line in its own plane is left out, so that the flange is a strip and not a ring that twists: right as
long as 1 / beta is small against the radius. Lengths in m, forces in N, pressures in Pa; places as in outline.py.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array, diags_array
from scipy.sparse.linalg import spsolve

from leakdx.mechanics.beam import Numbers, Strip, bed_load
from leakdx.mechanics.given import MeasureError, between, not_negative, positive

POINTS = 2000
_ROUNDS = 300
_FINE = 0.25
"""Of the length 1 / beta that points may be apart."""


@dataclass(frozen=True)
class Stretch:
    """Part of the line, from ``start`` clockwise to ``end``; ``least``: the place in it that is pressed least."""

    start: float
    end: float
    length: float
    least: float


@dataclass(frozen=True)
class Field:
    """Contact at places spaced evenly round the line of ``around`` m, the first at its top.

    ``load``: on the bed, N/m; less than 0 where the faces part, and then the gap times the bed.
    """

    around: float
    load: Numbers
    width: float
    bed: float

    @property
    def places(self) -> Numbers:
        """Places of the points, m."""
        return np.asarray(np.arange(len(self.load)) * (self.around / len(self.load)))

    @property
    def pressure(self) -> Numbers:
        """Pa; 0 where the faces part."""
        return np.asarray(np.maximum(self.load, 0) / self.width)

    @property
    def gap(self) -> Numbers:
        """m; 0 where the faces touch."""
        return np.asarray(np.maximum(-self.load, 0) / self.bed)

    @property
    def total(self) -> float:
        """All the load on the bed, N: that of the fasteners."""
        return float(self.pressure.mean() * self.width * self.around)

    @property
    def least(self) -> int:
        """Index of the place that is pressed least, or that gapes most."""
        return int(np.argmin(self.load))

    @property
    def lifted(self) -> tuple[Stretch, ...]:
        """Where the faces do not touch."""
        return self.stretches(self.load < 0)

    def stretches(self, which: NDArray[np.bool_]) -> tuple[Stretch, ...]:
        """Runs of those places; the last place stands beside the first."""
        if which.all():
            return (Stretch(0.0, 0.0, self.around, float(self.places[self.least])),)
        found = []
        for first in np.flatnonzero(which & ~np.roll(which, 1)):
            run = (first + np.arange(np.argmin(np.roll(which, -first)))) % len(which)
            start, end, least = (float(self.places[at]) for at in (run[0], run[-1], run[np.argmin(self.load[run])]))
            found.append(Stretch(start, end, len(run) * self.around / len(which), least))
        return tuple(found)


@dataclass(frozen=True)
class Joint:
    """A flange: ``around``, the length of its line; ``width`` of its faces; ``places`` of its fasteners."""

    strip: Strip
    around: float
    width: float
    places: tuple[float, ...]

    def __post_init__(self) -> None:
        positive("the joint's width", self.width, "give a length such as 20 mm")
        positive("the length of the line", self.around, "give the joint's outline")
        between("the count of fasteners", len(self.places), 1, 60, "count those of the joint")
        for number, place in enumerate(self.places, 1):
            between(f"the place of fastener {number}", place, 0, self.around, "it stands on the joint's line")
        if len({place % self.around for place in self.places}) < len(self.places):
            raise MeasureError("two fasteners stand at one place; look at their places")

    def field(self, preloads: Sequence[float], points: int = POINTS) -> Field:
        """The contact under the preloads (N) of the fasteners in order. MeasureError: not one each, none above 0."""
        if len(preloads) != len(self.places):
            raise MeasureError(
                f"{len(preloads)} preloads are given for {len(self.places)} fasteners; give one for each"
            )
        for number, preload in enumerate(preloads, 1):
            not_negative(f"the preload of fastener {number}", preload, "write 0 for a lost one")
        if not any(preloads):
            raise MeasureError("every fastener is lost; there is nothing left that holds the joint")
        if self.strip.beta * self.around / points > _FINE:
            raise MeasureError("this flange bends over a finger's breadth like a sheet; look at its thickness")
        at = np.asarray(np.arange(points) * (self.around / points))
        clockwise = np.argsort(np.array(self.places) % self.around)
        places = np.asarray(np.array(self.places)[clockwise] % self.around)
        loads = np.array(preloads, float)[clockwise]
        load = bed_load(self.strip, self.around, places, loads, at)
        if load.min() < 0:
            load = self._lifting(load, _spread(places, loads, self.around, points))
        return Field(self.around, load, self.width, self.strip.bed)

    def _lifting(self, load: Numbers, pressed: Numbers) -> Numbers:
        """The load on a bed that cannot pull, from that on one that can; below 0 it is the gap times the bed.

        ``pressed``: what presses the strip, N/m. The strip is taken at so many places, its bends by differences. What
        it stores is convex, so that Newton's method with the best length for each step ends at the one contact there
        is.
        """
        bend, bed = _differences(self.strip.bending, self.around, len(load)), self.strip.bed
        depth = load / bed
        for _ in range(_ROUNDS):
            touches = depth > 0
            step = spsolve(bend + diags_array(bed * touches, format="csc"), pressed) - depth
            depth = depth + _best_length(lambda at: bend @ at + bed * np.maximum(at, 0) - pressed, depth, step) * step
            if np.array_equal(depth > 0, touches):
                return np.asarray(bed * depth)
        raise MeasureError("where this flange lifts off cannot be settled; look at its thickness and at what seals it")


def _differences(bending: float, around: float, count: int) -> csc_array:
    """EI times the fourth derivative round a closed strip, by differences."""
    second = diags_array([-2.0, 1.0, 1.0, 1.0, 1.0], offsets=[0, 1, -1, count - 1, 1 - count], shape=(count, count))
    return csc_array(second @ second) * (bending / (around / count) ** 4)


def _spread(places: Numbers, loads: Numbers, around: float, count: int) -> Numbers:
    """Loads (N/m) at evenly spaced places, each shared between its two neighbours by nearness."""
    at = places / around * count
    below = np.floor(at).astype(int)
    spread = np.zeros(count)
    np.add.at(spread, below % count, loads * (1 - (at - below)))
    np.add.at(spread, (below + 1) % count, loads * (at - below))
    return spread / (around / count)


def _best_length(slope: Callable[[Numbers], Numbers], start: Numbers, step: Numbers) -> float:
    """How far along a step the energy is least, by halving; all of it where it still falls at the end."""
    low, high = 0.0, 1.0
    if slope(start + step) @ step <= 0:
        return high
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if slope(start + middle * step) @ step < 0 else (low, middle)
    return high
