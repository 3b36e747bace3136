"""Places round the joint: by the clock as seen from the pinion's side, or by fastener numbers that run clockwise.

A place is how far it is turned clockwise from 12 o'clock (rad) and how far it lies from the joint's middle (m).
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.mechanics.given import MeasureError

_CLOCK = re.compile(r"(\d{1,2})(?::(\d{2}))?", re.ASCII)
HOURS = 12


@dataclass(frozen=True)
class Place:
    """``name`` is as it was typed."""

    name: str
    turn: float
    radius: float = 1.0

    @property
    def point(self) -> tuple[float, float]:
        """x to 3 o'clock, y to 12 o'clock, m."""
        return self.radius * math.sin(self.turn), self.radius * math.cos(self.turn)


@dataclass(frozen=True)
class Arc:
    """A stretch of the ring: clockwise from ``start`` (rad) over ``width`` (rad); no width for a single place."""

    start: float
    width: float = 0.0

    @property
    def middle(self) -> float:
        """rad from 12 o'clock."""
        return (self.start + self.width / 2) % math.tau

    def at_least(self, width: float) -> "Arc":
        """The same place, not narrower than this (rad): nobody reads a clock round a joint finer than some width."""
        return self if self.width >= width else Arc((self.middle - width / 2) % math.tau, width)

    def away(self, turn: float) -> float:
        """How far (rad) a place is from the nearer end; 0 inside."""
        beyond = (turn - self.start) % math.tau
        return 0.0 if beyond <= self.width else min(beyond - self.width, math.tau - beyond)


def read_clock(text: str) -> float:
    """Turn of 4:30 or 4. MeasureError where there is no such place on a clock."""
    found = _CLOCK.fullmatch(text.strip())
    hour, minute = (int(found[1]), int(found[2] or 0)) if found else (0, 0)
    if not 1 <= hour <= HOURS or minute > 59:
        raise MeasureError(f"'{text[:20]}' is no place on a clock; write 1 to 12, or with minutes as 4:30")
    return (hour % HOURS + minute / 60) * math.tau / HOURS


def arc_of_hours(start: float, end: float) -> Arc:
    """A stretch clockwise from one clock hour to another."""
    return Arc(start % HOURS * math.tau / HOURS, (end - start) % HOURS * math.tau / HOURS)


def clock(turn: float) -> str:
    """4:30 for a turn, to the nearest five minutes; 4 on the hour."""
    minutes = round(turn * HOURS / math.tau * 12) * 5 % (60 * HOURS)
    hour = minutes // 60 or HOURS
    return f"{hour}:{minutes % 60:02d}" if minutes % 60 else f"{hour}"


def read_turn(text: str, ring: Sequence[float]) -> float:
    """Turn of a place by the clock (4:30), or of a fastener (n5) by the turns of all in order.

    MeasureError where there is no such place.
    """
    if not text.startswith("n"):
        return read_clock(text)
    if not text[1:].isdecimal():
        raise MeasureError(f"'{text[:20]}' is no fastener; write n5 for number 5, or a place by the clock as 4:30")
    if not ring:
        raise MeasureError(f"{text[:20]} is a fastener's number; say how many there are, as --count 16")
    return ring[index(int(text[1:]), ring)]


def index(number: int, ring: Sequence[float]) -> int:
    """Where a fastener stands in the order, from 0. MeasureError for a number that is not on the joint."""
    if not 1 <= number <= len(ring):
        raise MeasureError(f"there is no fastener {number}; the joint has 1 to {len(ring)}")
    return number - 1


def read_arc(text: str, ring: Sequence[float]) -> Arc:
    """A stretch clockwise from one place to another (10:30..1, n3..n6), or a single place."""
    start, between, end = text.partition("..")
    first = read_turn(start.strip(), ring)
    if not between:
        return Arc(first)
    return Arc(first, (read_turn(end.strip(), ring) - first) % math.tau)
