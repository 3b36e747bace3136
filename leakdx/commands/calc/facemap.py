"""A face as a map in text: what was read, where it was read, 12 o'clock on top."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leakdx.commands.calc.sheet import GAP
from leakdx.diagrams.canvas import Canvas
from leakdx.explain.numbers import written
from leakdx.measured.face import Measured
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.places import Place

_STEPS = 120
_MOST, _SECTORS = 16, 12
"""Labels that find room, and into how many sectors more of them are gathered."""


@dataclass(frozen=True)
class Label:
    """What was read at a place, m: one value, or from ``low`` to ``high``; ``carries``: the figure stands on it."""

    place: Place
    low: float
    high: float
    carries: bool = False
    signed: bool = False

    def said(self, metric: bool) -> str:
        """The value in thou or µm."""
        low, high = (_number(each, metric, self.signed) for each in (self.low, self.high))
        if self.low == self.high:
            return low
        if math.isinf(self.high):
            return f"over {low}"
        return f"{low}..{high}" if self.low else f"under {high}"


def labels(found: Measured) -> tuple[Label, ...]:
    """What was read, place by place."""
    if found.face is None:
        least = found.seen.low
        return tuple(Label(gap.place, gap.low, gap.high, carries=0 < gap.low == least) for gap in found.gaps)
    carriers = found.face.carriers
    return tuple(
        Label(spot.place, spot.height, spot.height, carries=spot.place in carriers, signed=True)
        for spot in found.face.spots
    )


def drawn(labels: Sequence[Label], line: Outline, metric: bool, legend: str) -> list[str]:
    """The map over the joint's line, and under it what it shows."""
    canvas = Canvas(line.wide / 2, line.high / 2)
    canvas.dots(line.spots(np.linspace(0, line.around, _STEPS)))
    for label in _shown(labels):
        canvas.put(label.place.point, f" {label.said(metric)}{'*' if label.carries else ''} ")
    return [*canvas.lines(), "", f"{GAP.written(metric)}: {legend}"]


def _shown(labels: Sequence[Label]) -> list[Label]:
    """All labels, or of each twelfth of the face the one farthest from the middle, those that carry first."""
    if len(labels) <= _MOST and len({round(label.place.turn, 1) for label in labels}) == len(labels):
        return list(labels)
    sectors: dict[int, Label] = {}
    for label in sorted(labels, key=lambda each: (each.carries, abs(each.low))):
        sectors[round(label.place.turn * _SECTORS / math.tau) % _SECTORS] = label
    return list(sectors.values())


def _number(value: float, metric: bool, signed: bool) -> str:
    """To a tenth of a thousandth or a whole µm."""
    if math.isinf(value):
        return ""
    shown = GAP.shown(value, metric)
    text = f"{shown:+.{0 if metric else 1}f}" if signed else f"{shown:.3g}"
    return written(text.replace("-0.0", "0").replace("+0.0", "0") if float(text) == 0 else text)
