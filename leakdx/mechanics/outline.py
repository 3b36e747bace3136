"""The line of fasteners of a joint, round or oblong, and places on it.

A place is a length (m) along the line, clockwise from its top (12 o'clock) as seen from the pinion.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leakdx.mechanics.beam import Numbers
from leakdx.mechanics.given import MeasureError, as_length, between, positive

_NEXT = 0.002
"""m; no two fasteners are so near each other."""
_SIZES = 0.02, 3.0
"""m; no joint of a truck's axle is smaller or larger."""


@dataclass(frozen=True)
class Outline:
    """A rectangle with rounded corners; a round joint is all corner."""

    high: float
    wide: float
    corner: float

    def __post_init__(self) -> None:
        between("the joint's height", self.high, *_SIZES, "give a length such as 400 mm", as_length)
        between("the joint's width", self.wide, *_SIZES, "give a length such as 320 mm", as_length)
        positive("the corner's radius", self.corner, "give a length such as 80 mm")
        if self.corner > min(self.high, self.wide) / 2 * (1 + 1e-9):
            raise MeasureError(
                f"a corner of {as_length(self.corner)} is too round for this joint; "
                f"its radius is at most half of the smaller side, {as_length(min(self.high, self.wide) / 2)}"
            )

    @property
    def around(self) -> float:
        """Length of the line, m."""
        return 2 * (self.high + self.wide) - (8 - math.tau) * self.corner

    @property
    def is_round(self) -> bool:
        """Whether it is a circle."""
        return math.isclose(self.high, self.wide) and math.isclose(self.corner, self.high / 2)

    def points(self, places: Numbers) -> tuple[Numbers, Numbers]:
        """How far right and up from the middle (m) places are."""
        half = self.around / 2
        along = places % self.around
        sign = np.where(along < half, 1.0, -1.0)
        along = along % half
        upper = along <= half / 2
        right, up = self._first_quarter(np.where(upper, along, half - along))
        return sign * right, sign * np.where(upper, up, -up)

    def spots(self, places: Numbers) -> list[tuple[float, float]]:
        """The same for each place."""
        right, up = self.points(places)
        return list(zip(right.tolist(), up.tolist(), strict=True))

    def hours(self, places: Numbers) -> Numbers:
        """The clock hour of places, 0 to 12, by their direction from the middle."""
        right, up = self.points(places)
        return np.arctan2(right, up) / math.tau * 12 % 12

    def place(self, hour: float) -> float:
        """The place at a clock hour, found by halving."""
        between("the clock hour", hour, 0, 12, "give it as on a clock, 12 at the top")
        low, high = (0.0, self.around / 2) if hour % 12 < 6 else (self.around / 2, self.around)
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.hours(np.array(middle)) < hour % 12 else (low, middle)
        return low

    def reach(self, turn: float) -> float:
        """How far (m) the line stands from the middle at a turn (rad clockwise from 12 o'clock)."""
        right, up = self.points(np.array(self.place(turn / math.tau * 12 % 12)))
        return float(np.hypot(right, up))

    def even(self, count: int, first: float = 0) -> tuple[float, ...]:
        """Places of fasteners spaced evenly along the line, the first at a clock hour."""
        between("the count of fasteners", count, 3, 60, "count those of the joint")
        begins = self.place(first)
        return tuple((begins + self.around * number / count) % self.around for number in range(count))

    def at_hours(self, hours: Sequence[float]) -> tuple[float, ...]:
        """Places of fasteners at clock hours, each further round than the one before. MeasureError otherwise."""
        between("the count of fasteners", len(hours), 3, 60, "give the clock hour of each")
        places = tuple(self.place(hour) for hour in hours)
        for number, place in enumerate(places):
            onward = (places[(number + 1) % len(places)] - place) % self.around
            if not _NEXT < onward < self.around - _NEXT:
                raise MeasureError(f"fastener {number + 1} stands where the next one does; look at their clock hours")
        steps = [(one - other) % self.around for one, other in zip(places[1:], places, strict=False)]
        if sum(steps) >= self.around:
            raise MeasureError(
                "the clock hours of the fasteners go round more than once; give them in order, clockwise"
            )
        return places

    def _first_quarter(self, along: Numbers) -> tuple[Numbers, Numbers]:
        """Right and up of places from 12 to 3 o'clock: straight, corner, straight."""
        flat, bend = self.wide / 2 - self.corner, math.pi / 2 * self.corner
        turned = np.clip(along - flat, 0, bend) / self.corner
        right = np.minimum(along, flat) + self.corner * np.sin(turned)
        up = self.high / 2 - self.corner * (1 - np.cos(turned)) - np.maximum(0, along - flat - bend)
        return right, up


def ring(radius: float) -> Outline:
    """A round joint by the radius of its bolt circle."""
    least, most = _SIZES
    between("the joint's radius", radius, least / 2, most / 2, "give a length such as 180 mm", as_length)
    return Outline(2 * radius, 2 * radius, radius)


def oblong(high: float, wide: float, corner: float | None = None) -> Outline:
    """An oblong joint; without a corner's radius both short sides are half circles."""
    return Outline(high, wide, min(high, wide) / 2 if corner is None else corner)
