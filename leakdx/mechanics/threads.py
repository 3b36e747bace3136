"""Threads and strengths: what a fastener of a size and grade bears.

Inch: ``At = 0.7854 (D - 0.9743/n)^2`` (ASME B1.1, appendix; from memory). Metric: ``As = pi/4 ((d2+d3)/2)^2``
(ISO 898-1; from memory). Strengths and series are numbers of the trade.
"""

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from leakdx.mechanics.given import MeasureError, as_length
from leakdx.mechanics.trade import Grade, Strength, Trade

INCH = 0.0254
"""m"""

_INCH_NAME = re.compile(r"\s*(?P<size>\d{1,2}(?:/\d{1,2})?)\s*(?:-\s*(?P<per>\d{1,2}))?"
                        r"\s*(?:UN[CF])?\s*", re.ASCII | re.IGNORECASE)  # fmt: skip
_METRIC_NAME = re.compile(r"\s*M\s*(?P<size>\d{1,2})\s*(?:[x×*]\s*(?P<pitch>\d(?:\.\d{1,2})?))?\s*", re.IGNORECASE)


@dataclass(frozen=True)
class Thread:
    """A thread of 60 degrees; ``diameter`` and ``pitch`` in m."""

    name: str
    diameter: float
    pitch: float
    inch: bool

    @property
    def pitch_diameter(self) -> float:
        """d2, m."""
        return self.diameter - 0.649519 * self.pitch

    @property
    def root_diameter(self) -> float:
        """d3, m."""
        return self.diameter - 1.226869 * self.pitch

    @property
    def stress_area(self) -> float:
        """Tensile stress area, m^2."""
        if self.inch:
            return 0.7854 * (self.diameter - 0.9743 * self.pitch) ** 2
        return math.pi / 4 * ((self.pitch_diameter + self.root_diameter) / 2) ** 2


def read_thread(text: str, trade: Trade) -> Thread:
    """The thread of a name such as 5/8-11 or M16x2; without a pitch the coarse one. MeasureError where there is none.

    Only threads of the common series are taken, so that a slip of the pen is not reckoned with.
    """
    if found := _INCH_NAME.fullmatch(text):
        size = found["size"]
        series = trade.threads.inch.get(size, ())
        wanted, diameter = found["per"], float(Fraction(size)) if series else 0.0
    elif found := _METRIC_NAME.fullmatch(text):
        size = f"M{int(found['size'])}"
        wanted, diameter = found["pitch"], float(found["size"])
        series = trade.threads.metric.get(size, ())
    else:
        raise MeasureError(f"'{text[:40]}' is no thread; write it as 5/8-11 or M16x2")
    metric = size.startswith("M")
    name = f"{size}{'x' if metric else '-'}{{:g}}".format
    if not series:
        known = ", ".join(trade.threads.metric if metric else trade.threads.inch)
        raise MeasureError(f"there is no thread of size {size} in the common series; known are {known}")
    step = float(wanted) if wanted else series[0]
    if step not in series:
        raise MeasureError(f"{name(step)} is not in the common series; {size} has {' or '.join(map(name, series))}")
    if metric:
        return Thread(name(step), diameter / 1000, step / 1000, inch=False)
    return Thread(name(step), diameter * INCH, INCH / step, inch=True)


def inch_thread(diameter: float, per_inch: float, trade: Trade) -> Thread:
    """The inch thread of a diameter (m) and so many threads per inch. MeasureError where none is so made."""
    size = min(trade.threads.inch, key=lambda each: abs(float(Fraction(each)) * INCH - diameter))
    if abs(float(Fraction(size)) * INCH - diameter) > 1e-5:
        raise MeasureError(f"there is no inch thread of {as_length(diameter)} in the common series; look at the size")
    return read_thread(f"{size}-{per_inch:g}", trade)


def read_grade(text: str, trade: Trade) -> Grade:
    """The grade of a name such as 8 or 10.9. MeasureError where there is none."""
    name = re.sub(r"(?i)^\s*(sae|grade|gr\.?|class|iso|property class)\s*", "", text.strip())
    if name in trade.grades:
        return trade.grades[name]
    raise MeasureError(f"there is no grade '{text[:40]}'; known are {', '.join(trade.grades)}")


def strength(grade: Grade, thread: Thread) -> Strength:
    """What a grade bears at this size. MeasureError where it is not made so big, or for threads of the other system.

    A trap: 8.8 has a proof stress of 600 MPa above 16 mm, 580 up to it.
    """
    system = "inch" if thread.inch else "metric"
    if grade.threads not in (None, system):
        raise MeasureError(
            f"{grade.name} is of {grade.threads} fasteners, and {thread.name} is {system}; look at the mark on its head"
        )
    for step in grade.strengths:
        if thread.diameter <= step.up_to_mm / 1000 * (1 + 1e-9):
            return step
    largest = grade.strengths[-1].up_to_mm
    raise MeasureError(f"{grade.name} is made up to {largest:g} mm, not for {thread.name}; look at size and grade")
