"""A number of which only a band is known, and what follows from several of them.

Every quantity here is positive and comes about by multiplying, so its band is reckoned in logarithms, each
side by itself: the sides of independent factors add as squares. That is exact for a log-normal spread and
close enough for bands that are only roughly known (own derivation).
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

from leakdx.mechanics.given import MeasureError, positive

_NORMAL = NormalDist()
_EDGE = _NORMAL.inv_cdf(0.95)
"""Standard deviations from the middle to either end of a band."""


@dataclass(frozen=True)
class Band:
    """Low, likely and high: one in twenty lies below ``low``, one in twenty above ``high``, half below ``likely``."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        for name, value in (("low", self.low), ("likely", self.likely), ("high", self.high)):
            positive(f"the {name} end of a band", value, "a band has positive numbers")
        if not self.low <= self.likely <= self.high:
            raise MeasureError(f"a band goes from low to high, not {self.low:g}, {self.likely:g}, {self.high:g}")

    def times(self, other: "Band | float") -> "Band":
        """The product with an independent band or a number."""
        factor = other if isinstance(other, Band) else exactly(other)
        up, down = math.hypot(self.up, factor.up), math.hypot(self.down, factor.down)
        likely = self.likely * factor.likely
        return Band(likely * math.exp(-down), likely, likely * math.exp(up))

    def over(self, other: "Band | float") -> "Band":
        """The quotient by an independent band or a number."""
        return self.times((other if isinstance(other, Band) else exactly(other)).power(-1))

    def power(self, exponent: float) -> "Band":
        """The band raised to a power."""
        ends = sorted(end**exponent for end in (self.low, self.high))
        return Band(ends[0], self.likely**exponent, ends[1])

    @property
    def up(self) -> float:
        """Logarithm from likely to high."""
        return math.log(self.high / self.likely)

    @property
    def down(self) -> float:
        """Logarithm from low to likely."""
        return math.log(self.likely / self.low)

    def chance_above(self, limit: float) -> float:
        """The probability that the quantity is above a limit."""
        if limit <= 0:
            return 1.0
        away = math.log(limit / self.likely)
        side = self.up if away >= 0 else self.down
        if side == 0:
            return float(away < 0)
        return 1 - _NORMAL.cdf(_EDGE * away / side)

    def at(self, deviations: float) -> float:
        """The value so many standard deviations from the middle."""
        side = self.up if deviations > 0 else self.down
        return self.likely * math.exp(deviations * side / _EDGE)

    def chance_above_band(self, limit: "Band") -> float:
        """The probability that the quantity is above a limit that is itself only a band."""
        return self.over(limit).chance_above(1)


def exactly(value: float) -> Band:
    """A number without spread."""
    return Band(value, value, value)


def about(value: float, share: float) -> Band:
    """A number good to so great a share of itself: 100 within 0.25 is 75 to 125."""
    if not 0 <= share < 1:
        raise MeasureError(f"a spread of {share:g} is no share; it lies between 0 and 1, such as 0.25")
    return Band(value * (1 - share), value, value * (1 + share))
