"""A face as a map: what was read where, the face shaded between the places."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from leakdx.diagrams.line import LineSheet
from leakdx.mechanics.outline import Outline

_HALF, _WIDE = 150.0, 34.0
_LIGHT, _DARK = 250, 90
_PIECES = 120
_MOST_WORDS = 24
_SHORT, _HALF_LETTER = 5, 4
"""Letters that find room beside the face, and by how much each further one moves the words away from it."""


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
    sheet = LineSheet(line, title, (600, 540), (300, 270), _HALF)
    drawing = sheet.drawing
    stands = [line.place(mark.turn * 12 / math.tau % 12) for mark in marks]
    inward = [sheet.scale * (line.reach(mark.turn) - mark.radius) for mark in marks]
    if all(abs(each) < 1 for each in inward):
        _shaded(sheet, sorted(zip(stands, [mark.shade for mark in marks], strict=True)))
    for side in (-_WIDE / 2, _WIDE / 2):
        sheet.line(0, line.around, 1, out=side)
    few = len(marks) <= _MOST_WORDS
    for mark, place, inside in zip(marks, stands, inward, strict=True):
        x, y = sheet.at(place, -inside)
        drawing.circle(x, y, 9 if few else 4, _grey(mark.shade), 4 if mark.thick else 1)
        if few or mark.thick:
            x, y = sheet.at(place, -inside - 44 if inside > _WIDE / 4 else 48)
            x += math.sin(mark.turn) * max(0, len(mark.said) - _SHORT) * _HALF_LETTER
            drawing.text(x, y, mark.said, 13)
            drawing.text(x, y + 14, f"at {mark.name}", 10)
    drawing.text(20, 520, legend, 11, "left")
    return drawing.svg()


def _shaded(sheet: LineSheet, marks: Sequence[tuple[float, float]]) -> None:
    """The face in short pieces, each as dark as its place between two marks (place on the line, shade)."""
    around = sheet.outline.around
    for (one, shade), (two, after) in pairwise([*marks, marks[0]]):
        span = (two - one) % around or around
        steps = max(1, round(_PIECES * span / around))
        for step in range(steps):
            start, end = one + span * step / steps, one + span * (step + 1.05) / steps
            ends = [(start, -1), (start, 1), (end, 1), (end, -1)]
            grey = _grey(shade + (after - shade) * (step + 0.5) / steps)
            sheet.drawing.area([sheet.at(place, side * _WIDE / 2) for place, side in ends], grey)


def _grey(shade: float) -> str:
    level = round(_LIGHT + (_DARK - _LIGHT) * shade)
    return f"#{level:02x}{level:02x}{level:02x}"
