"""A joint's line of fasteners on a sheet: places on it, and how far out from it, as pixels."""

import numpy as np

from leakdx.clean import clean_line
from leakdx.diagrams.svg import Drawing
from leakdx.explain.page import wrapped
from leakdx.mechanics.outline import Outline

_STEPS = 400
_LETTERS, _ROWS = 100, 3
"""Of a title as it stands over the drawing; all of it is the drawing's name."""


class LineSheet:
    """A sheet of ``size`` pixels with the line about its ``middle``, the larger side twice ``half`` long."""

    def __init__(
        self,
        outline: Outline,
        title: str,
        size: tuple[float, float] = (800, 600),
        middle: tuple[float, float] = (400, 280),
        half: float = 160,
    ) -> None:
        self.outline, self.middle = outline, middle
        self.drawing = Drawing(*size, title)
        for row, words in enumerate(wrapped(clean_line(title), _LETTERS)[:_ROWS]):
            self.drawing.text(20, 26 + 16 * row, words, 13, "left")
        self.scale = 2 * half / max(outline.high, outline.wide)

    def at(self, place: float, out: float = 0) -> tuple[float, float]:
        """Pixels of a place, so many pixels out from the line."""
        step = self.outline.around / 1e5
        here, before, after = self.outline.spots(np.array([place, place - step, place + step]))
        along = [(b - a) * self.scale for a, b in zip(before, after, strict=True)]
        length = (along[0] ** 2 + along[1] ** 2) ** 0.5
        right, up = here[0] * self.scale - out * along[1] / length, here[1] * self.scale + out * along[0] / length
        return self.middle[0] + right, self.middle[1] - up

    def line(
        self, start: float, length: float, width: float, stroke: str = "black", dash: str = "", out: float = 0
    ) -> None:
        """Part of the line, clockwise from a place."""
        steps = max(2, round(_STEPS * length / self.outline.around))
        points = [self.at(start + length * step / steps, out) for step in range(steps + 1)]
        self.drawing.line(points, width, dash, stroke)

    def hours(self) -> None:
        """The clock, inside the line."""
        for hour in (12, 3, 6, 9):
            x, y = self.at(self.outline.place(hour), -34)
            self.drawing.text(x, y + 4, str(hour), 12, fill="#555555")
