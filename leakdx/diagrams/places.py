"""What has a place round the joint: the wet arc, the fasteners, a low face, a weld."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.places import Arc, clock

_MIDDLE_X, _MIDDLE_Y, _RING = 260.0, 285.0, 140.0
_WET, _FIRST, _BETWEEN = 178.0, 116.0, 14.0
_LOOKS = ("", "2,1", "5,2")
_SINGLE = math.radians(6)
"""How wide a place without a width is drawn."""


@dataclass(frozen=True)
class Dot:
    """A fastener: where it stands (rad clockwise from 12), its number, whether it is weak."""

    turn: float
    name: str
    weak: bool


def places_svg(wet: Arc, dots: Sequence[Dot], others: Sequence[tuple[str, Arc]], title: str) -> str:
    """The joint from outside, 12 o'clock on top; black fasteners are weak, the others' arcs lie inside the ring."""
    drawing = Drawing(560, 560, title)
    drawing.text(20, 26, title, 13, "left")
    drawing.line(_way(wet, _WET), 16, stroke="#999999")
    drawing.text(*_at(wet.middle, _WET + 26), "wet", 13)
    drawing.circle(_MIDDLE_X, _MIDDLE_Y, _RING, "none")
    for dot in dots:
        x, y = _at(dot.turn, _RING)
        drawing.circle(x, y, 12, "black" if dot.weak else "white", 1.5)
        drawing.text(x, y + 4, dot.name, 11, fill="white" if dot.weak else "black")
    for row, (name, arc) in enumerate(others):
        radius = _FIRST - _BETWEEN * row
        look = _LOOKS[row % len(_LOOKS)]
        y = _MIDDLE_Y + 20 * (row - (len(others) - 1) / 2)
        drawing.line(_way(arc, radius), 9, look, "black")
        drawing.line([(_MIDDLE_X - 82, y), (_MIDDLE_X - 62, y)], 9, look, "black")
        drawing.text(_MIDDLE_X - 56, y + 4, f"{name}: {_said(arc)}", 11, "left")
    for hour in (12, 3, 6, 9):
        x, y = _at(hour * math.tau / 12, _WET + 48)
        drawing.text(x, y + 4, str(hour), 12)
    says = ["grey: wet"]
    says += ["black dot: weak fastener"] if any(dot.weak for dot in dots) else []
    says += ["inside the ring: what it is held against"] if others else []
    drawing.text(20, 544, "; ".join(says), 11, "left")
    return drawing.svg()


def _way(arc: Arc, radius: float) -> list[tuple[float, float]]:
    """Points along an arc."""
    width = max(arc.width, _SINGLE)
    start = arc.middle - width / 2
    steps = max(2, round(width / math.radians(3)))
    return [_at(start + width * step / steps, radius) for step in range(steps + 1)]


def _at(turn: float, radius: float) -> tuple[float, float]:
    return _MIDDLE_X + radius * math.sin(turn), _MIDDLE_Y - radius * math.cos(turn)


def _said(arc: Arc) -> str:
    return clock(arc.start) if not arc.width else f"{clock(arc.start)} to {clock(arc.start + arc.width)}"
