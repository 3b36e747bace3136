"""How a joint looks and where its fasteners stand, as far as that is typed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leakdx.measured.fields import typed_as, words
from leakdx.measured.typed import count, number_in
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.outline import Outline, oblong, ring
from leakdx.mechanics.places import HOURS, read_clock

_LENGTH = number_in("m", "180mm")
_FIRST = "--first goes with --count; --clock says where each is, fastener 1 first"


def hour(text: str) -> float:
    """Reads a clock place such as 4:30, as hours from 0 (12 o'clock) to 12."""
    return read_clock(text) * HOURS / math.tau


def hours(text: str) -> tuple[float, ...]:
    """Reads clock places with blanks between."""
    return tuple(map(hour, words(text)))


@dataclass(frozen=True, kw_only=True)
class Joint:
    """Sizes in m, places in hours."""

    count: int | None = typed_as(count)
    radius: float | None = typed_as(_LENGTH)
    high: float | None = typed_as(_LENGTH)
    wide: float | None = typed_as(_LENGTH)
    corner: float | None = typed_as(_LENGTH)
    first: float | None = typed_as(hour)
    clock: Sequence[float] | None = typed_as(hours)

    @property
    def has_size(self) -> bool:
        """Whether it is said how large the joint is."""
        return self.radius is not None or self.high is not None

    def outline(self, usual: float | None = None) -> Outline:
        """The line of the fasteners; a ring of the ``usual`` radius (m) where no size is given.

        MeasureError: neither round nor oblong, or both.
        """
        radius = usual if self.radius is None else self.radius
        if radius is not None and not any((self.high, self.wide, self.corner)):
            return ring(radius)
        if self.radius is not None or self.high is None or self.wide is None:
            raise MeasureError("give --radius of a round joint, or --high and --wide of an oblong one")
        return oblong(self.high, self.wide, self.corner)

    def fasteners(self, line: Outline) -> tuple[float, ...]:
        """Places of the fasteners on the line. MeasureError: neither counted nor named, or both, or one said twice."""
        if self.count is not None and self.clock is None:
            return line.even(self.count, self.first or 0)
        if self.clock is None or self.count is not None:
            raise MeasureError("give --count of fasteners that are spaced evenly, or --clock of each; --axle names a "
                               "family that has them")  # fmt: skip
        if self.first is not None:
            raise MeasureError(_FIRST)
        return line.at_hours(self.clock)

    def turns(self, line: Outline) -> tuple[float, ...]:
        """Turn of each fastener in order, rad clockwise from 12 o'clock; none where none are counted or named."""
        if self.count is None and self.clock is None:
            if self.first is not None:
                raise MeasureError(_FIRST)
            return ()
        return tuple((line.hours(np.array(self.fasteners(line))) * (math.tau / HOURS)).tolist())
