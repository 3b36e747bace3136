"""A face as a map: what was read where, the face shaded between the places."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from leakdx.diagrams.svg import Drawing

_MIDDLE_X, _MIDDLE_Y, _RING, _WIDE = 300.0, 270.0, 150.0, 34.0
_LIGHT, _DARK = 250, 90
_STEP = math.radians(3)
_MOST_WORDS = 24


@dataclass(frozen=True)
class Mark:
    """A place (rad clockwise from 12, its radius), how dark it is (0 to 1), what was read, and how it is called."""

    turn: float
    radius: float
    shade: float
    said: str
    name: str
    thick: bool


def face_svg(marks: Sequence[Mark], title: str, legend: str) -> str:
    """The face as one looks at it, 12 o'clock on top."""
    drawing = Drawing(600, 540, title)
    drawing.text(20, 26, title, 13, "left")
    outer, inner = max(mark.radius for mark in marks), min(mark.radius for mark in marks)
    if inner > 0.999 * outer:
        _shaded(drawing, sorted(marks, key=lambda mark: mark.turn))
    for radius in (max(4.0, _RING * inner / outer - _WIDE / 2), _RING + _WIDE / 2):
        drawing.circle(_MIDDLE_X, _MIDDLE_Y, radius, "none")
    said = marks if len(marks) <= _MOST_WORDS else [mark for mark in marks if mark.thick]
    for mark in marks:
        x, y = _at(mark.turn, _RING * mark.radius / outer)
        drawing.circle(x, y, 9 if len(marks) <= _MOST_WORDS else 4, _grey(mark.shade), 4 if mark.thick else 1)
    for mark in said:
        x, y = _at(mark.turn, _RING + 44, 1.15)
        drawing.text(x, y, mark.said, 13)
        drawing.text(x, y + 14, f"at {mark.name}", 10)
    drawing.text(20, 520, legend, 11, "left")
    return drawing.svg()


def _shaded(drawing: Drawing, marks: Sequence[Mark]) -> None:
    """The ring in short pieces, each as dark as its place between two marks."""
    for one, two in pairwise([*marks, marks[0]]):
        span = (two.turn - one.turn) % math.tau or math.tau
        steps = max(1, round(span / _STEP))
        for step in range(steps):
            start, end = one.turn + span * step / steps, one.turn + span * (step + 1.05) / steps
            shade = one.shade + (two.shade - one.shade) * (step + 0.5) / steps
            inner, outer = _RING - _WIDE / 2, _RING + _WIDE / 2
            drawing.area([_at(start, inner), _at(start, outer), _at(end, outer), _at(end, inner)], _grey(shade))


def _grey(shade: float) -> str:
    level = round(_LIGHT + (_DARK - _LIGHT) * shade)
    return f"#{level:02x}{level:02x}{level:02x}"


def _at(turn: float, radius: float, wide: float = 1.0) -> tuple[float, float]:
    return _MIDDLE_X + wide * radius * math.sin(turn), _MIDDLE_Y - radius * math.cos(turn)
