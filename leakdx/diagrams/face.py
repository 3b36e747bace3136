"""A face as a map: what was read where, the face shaded between the places."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.outline import Outline

_MIDDLE_X, _MIDDLE_Y, _RING, _WIDE = 300.0, 270.0, 150.0, 34.0
_LIGHT, _DARK = 250, 90
_STEP = math.radians(3)
_TABLE = 720
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


def face_svg(marks: Sequence[Mark], line: Outline, title: str, legend: str) -> str:
    """The face as one looks at it, 12 o'clock on top; shaded along the joint's line where all marks stand on it."""
    drawing = Drawing(600, 540, title)
    drawing.text(20, 26, title, 13, "left")
    reach = _reach(line)
    outer = max(line.high, line.wide) / 2
    scale = _RING / max(outer, *(mark.radius for mark in marks))
    if all(math.isclose(mark.radius, reach(mark.turn), rel_tol=1e-3) for mark in marks):
        _shaded(drawing, sorted(marks, key=lambda mark: mark.turn), lambda turn: scale * reach(turn))
    whole = [turn * _STEP for turn in range(round(math.tau / _STEP) + 1)]
    for side in (-_WIDE / 2, _WIDE / 2):
        drawing.line([_at(turn, scale * reach(turn) + side) for turn in whole])
    said = marks if len(marks) <= _MOST_WORDS else [mark for mark in marks if mark.thick]
    for mark in marks:
        x, y = _at(mark.turn, scale * mark.radius)
        drawing.circle(x, y, 9 if len(marks) <= _MOST_WORDS else 4, _grey(mark.shade), 4 if mark.thick else 1)
    for mark in said:
        x, y = _at(mark.turn, scale * reach(mark.turn) + 44, 1.1)
        drawing.text(x, y, mark.said, 13)
        drawing.text(x, y + 14, f"at {mark.name}", 10)
    drawing.text(20, 520, legend, 11, "left")
    return drawing.svg()


def _reach(line: Outline) -> Callable[[float], float]:
    """How far the line stands from the middle at a turn, by a table."""
    places = np.linspace(0, line.around, _TABLE, endpoint=False)
    turns, far = line.hours(places) * (math.tau / 12), np.hypot(*line.points(places))
    return lambda turn: float(np.interp(turn, turns, far, period=math.tau))


def _shaded(drawing: Drawing, marks: Sequence[Mark], reach: Callable[[float], float]) -> None:
    """The face in short pieces, each as dark as its place between two marks."""
    for one, two in pairwise([*marks, marks[0]]):
        span = (two.turn - one.turn) % math.tau or math.tau
        steps = max(1, round(span / _STEP))
        for step in range(steps):
            start, end = one.turn + span * step / steps, one.turn + span * (step + 1.05) / steps
            shade = one.shade + (two.shade - one.shade) * (step + 0.5) / steps
            ends = [(start, -1), (start, 1), (end, 1), (end, -1)]
            drawing.area([_at(turn, reach(turn) + side * _WIDE / 2) for turn, side in ends], _grey(shade))


def _grey(shade: float) -> str:
    level = round(_LIGHT + (_DARK - _LIGHT) * shade)
    return f"#{level:02x}{level:02x}{level:02x}"


def _at(turn: float, radius: float, wide: float = 1.0) -> tuple[float, float]:
    return _MIDDLE_X + wide * radius * math.sin(turn), _MIDDLE_Y - radius * math.cos(turn)
