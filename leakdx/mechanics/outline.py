"""Places on the joint: the outline of its bolt line, clock positions and fastener numbers as points.

The joint is seen from the pinion's side, x to the right and y up, in m. Places run clockwise from 12 o'clock; a
``turn`` is the share of the way round, in 0..1, along the outline or by direction, as each function says.
"""

import math
import re
from dataclasses import dataclass
from functools import cached_property

from leakdx.mechanics.given import MeasureError, between, positive

Point = tuple[float, float]

FEWEST, MOST = 3, 60
"""Fasteners of a joint."""

_SIZES = 0.02, 3.0
"""m; no joint of a truck's axle is smaller or larger."""
_CLOCK = re.compile(r"(1[0-2]|0?[1-9])(?::([0-5]\d))?", re.ASCII)


@dataclass(frozen=True)
class Outline:
    """A ring, or an oblong of two half rings with straights between: how wide and how tall the bolt line is."""

    width: float
    height: float

    def __post_init__(self) -> None:
        between("the joint's width in m", self.width, *_SIZES, "give a length such as 360 mm")
        between("the joint's height in m", self.height, *_SIZES, "give a length such as 360 mm")
        between("width over height", self.width / self.height, 0.2, 5, "look at numbers and units")

    @property
    def is_ring(self) -> bool:
        """Whether it is as tall as it is wide."""
        return self.width == self.height

    @property
    def radius(self) -> float:
        """Of its round ends."""
        return min(self.width, self.height) / 2

    @property
    def straight(self) -> float:
        """Half the length of one straight side; 0 on a ring."""
        return abs(self.width - self.height) / 2

    @cached_property
    def length(self) -> float:
        """All the way round."""
        return math.tau * self.radius + 4 * self.straight

    def along(self, turn: float) -> Point:
        """The point after so great a share of the way round."""
        if self.height > self.width:
            x, y = Outline(self.height, self.width).along(turn + 0.75)
            return y, -x
        way = (turn % 1) * self.length
        half, end = self.straight, math.pi * self.radius
        if way <= half:
            return way, self.radius
        if way <= half + end:
            angle = (way - half) / self.radius
            return half + self.radius * math.sin(angle), self.radius * math.cos(angle)
        if way <= 3 * half + end:
            return 2 * half + end - way, -self.radius
        if way <= 3 * half + 2 * end:
            angle = (way - 3 * half - end) / self.radius
            return -half - self.radius * math.sin(angle), -self.radius * math.cos(angle)
        return way - self.length, self.radius

    def towards(self, turn: float) -> Point:
        """The point of the outline that a clock hand points at."""
        across, up = math.sin(math.tau * turn), math.cos(math.tau * turn)
        if self.height > self.width:
            y, x = Outline(self.height, self.width).towards(0.25 - turn)
            return x, y
        if abs(up) * self.straight >= abs(across) * self.radius and up != 0:
            far = self.radius / abs(up)
            if abs(far * across) <= self.straight:
                return far * across, far * up
        middle = math.copysign(self.straight, across)
        ahead = middle * across
        far = ahead + math.sqrt(max(0.0, self.radius**2 - self.straight**2 + ahead**2))
        return far * across, far * up

    def way_to(self, turn: float) -> float:
        """The share of the way round at which the point stands that a clock hand points at."""
        x, y = self.towards(turn)
        if self.height > self.width:
            return (Outline(self.height, self.width).way_to(turn - 0.25) + 0.25) % 1
        half, end = self.straight, math.pi * self.radius
        if x > half:
            way = half + self.radius * math.atan2(x - half, y)
        elif x < -half:
            way = 3 * half + end + self.radius * math.atan2(-half - x, -y)
        else:
            way = x if y > 0 else 2 * half + end - x
        return (way / self.length) % 1

    def fasteners(self, count: int, first: float = 0.0) -> list[Point]:
        """So many fasteners, evenly along the outline; ``first``: the clock hand's turn at number 1."""
        between("the count of fasteners", count, FEWEST, MOST, "count those of the joint")
        start = self.way_to(first) if first else 0.0
        return [self.along(start + number / count) for number in range(count)]


def ring(radius: float) -> Outline:
    """A round joint."""
    positive("the joint's radius", radius, "give the radius of its bolt circle, such as 180 mm")
    return Outline(2 * radius, 2 * radius)


def read_clock(text: str) -> float:
    """The turn of a clock position such as 1:30. MeasureError where it is none."""
    found = _CLOCK.fullmatch(text.strip())
    if found is None:
        raise MeasureError(f"'{text[:20]}' is no clock position; write 12, 3 or 1:30, as seen from the pinion's side")
    return (int(found[1]) % 12 * 60 + int(found[2] or 0)) / 720


def turn_of(point: Point) -> float:
    """The turn of the clock hand that points at a point."""
    return math.atan2(point[0], point[1]) / math.tau % 1


def clock(turn: float) -> str:
    """A turn as a clock position to five minutes, such as 1:30, and 3 o'clock for a full hour."""
    minutes = round(turn * 144) * 5 % 720
    hour = minutes // 60 or 12
    return f"{hour}:{minutes % 60:02}" if minutes % 60 else f"{hour} o'clock"
