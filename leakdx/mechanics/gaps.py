"""Gaps under a straight edge laid across a face, by feeler: each is known between two feelers, or by one alone.

A machinist's straight edge and a feeler of the limit's thickness are the trade's own measure: where the feeler goes in,
the face is beyond. A gap is at least as much as the straightness of that line, and says nothing of lines that were
not tried. Lengths in m.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from leakdx.mechanics.flatness import Judged, Limit, Verdict, standard
from leakdx.mechanics.given import MeasureError, between, not_negative, positive

_NORMAL = NormalDist()
WIDEST = 0.01
"""m; a wider gap is a slip of the pen or of the unit."""


@dataclass(frozen=True)
class Gap:
    """A gap between ``low`` (goes in) and ``high`` (does not); both alike where one number was read, inf if unknown."""

    place: str
    low: float
    high: float

    def __post_init__(self) -> None:
        right = "look at number and unit"
        between(f"the gap at {self.place} in m", self.low, 0, WIDEST, right)
        if math.isfinite(self.high):
            between(f"the gap at {self.place} in m", self.high, 0, WIDEST, right)
        if math.isnan(self.high) or self.high < self.low:
            raise MeasureError(
                f"the gap at {self.place} goes from {self.low:g} to {self.high:g} m; the feeler that goes in first"
            )

    @property
    def figure(self) -> float:
        """What is known of it: the middle, or what goes in where nothing else is known."""
        return (self.low + self.high) / 2 if math.isfinite(self.high) else self.low

    def chance(self, limit: float, deviation: float) -> float:
        """The chance that it is more than the limit; ``deviation``: standard deviation of a number that was read."""
        if self.low == self.high:
            over = self.low - limit
            return _NORMAL.cdf(over / deviation) if deviation else float(over > 0)
        if self.low >= limit:
            return 1.0
        if self.high <= limit:
            return 0.0
        return (self.high - limit) / (self.high - self.low) if math.isfinite(self.high) else 0.5


def go(place: str, feeler: float) -> Gap:
    """A feeler that goes in."""
    return Gap(place, positive("the feeler", feeler, "give its thickness, such as 0.005 in"), math.inf)


def no_go(place: str, feeler: float) -> Gap:
    """A feeler that does not go in."""
    return Gap(place, 0.0, positive("the feeler", feeler, "give its thickness, such as 0.005 in"))


def judge_gaps(gaps: Sequence[Gap], gauge: float, limit: Limit) -> Judged:
    """The widest gap against the limit, and the chance that any is beyond; MeasureError where there is none."""
    if not gaps:
        raise MeasureError("no gap is given; try the feeler at four places at least, all round the face")
    places = [each.place for each in gaps]
    for place in places:
        if places.count(place) > 1:
            raise MeasureError(f"{place} is read twice; give the wider of the two gaps")
    positive("the limit", limit.value, "give a length such as 0.005 in")
    not_negative("what the gauge is good to", gauge, "give a length such as 0.0005 in")
    deviation = standard(gauge)
    worst = widest(gaps)
    chance = 1 - math.prod(1 - each.chance(limit.value, deviation) for each in gaps)
    if chance >= limit.sure:
        return Judged(worst.figure, deviation, chance, Verdict.BEYOND, 1.0)
    if chance <= 1 - limit.sure:
        return Judged(worst.figure, deviation, chance, Verdict.WITHIN, 1.0)
    over = abs(worst.figure - limit.value)
    needed = _NORMAL.inv_cdf(limit.sure) * deviation
    read = worst.low == worst.high
    return Judged(
        worst.figure,
        deviation,
        chance,
        Verdict.TOO_CLOSE,
        max(1.0, needed / over) if read and over else math.inf,
    )


def widest(gaps: Sequence[Gap]) -> Gap:
    """The widest of all."""
    return max(gaps, key=lambda each: (each.low, each.figure))
