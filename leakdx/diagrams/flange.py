"""Maps of a joint's flange as it is seen from the pinion: how hard it is pressed, and the order of its fasteners."""

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.order import Group
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.tight import Flange, Seal, Tightness

_ACROSS, _DOWN, _HALF = 400.0, 280.0, 160.0
_DEEPEST = 44.0
"""How far out the highest pressure stands, in pixels."""
_STEPS = 400
_GREYS = ((0.8, "#555555"), (0.5, "#999999"), (0.0, "#cccccc"))
_LOST, _WEAK = 0.25, 0.8


class _Sheet:
    """An outline on a sheet: places, and how far out from the line, as pixels."""

    def __init__(self, outline: Outline, title: str) -> None:
        self.outline = outline
        self.drawing = Drawing(800, 600, title)
        self.drawing.text(20, 26, title, 13, "left")
        self._scale = 2 * _HALF / max(outline.high, outline.wide)

    def at(self, place: float, out: float = 0) -> tuple[float, float]:
        """Pixels of a place, so many pixels out from the line."""
        here = [float(part) for part in self.outline.points(np.array(place))]
        step = self.outline.around / 1e5
        before, after = (self.outline.points(np.array(place + way)) for way in (-step, step))
        along = [float(b - a) * self._scale for a, b in zip(before, after, strict=True)]
        length = (along[0] ** 2 + along[1] ** 2) ** 0.5
        right, up = here[0] * self._scale - out * along[1] / length, here[1] * self._scale + out * along[0] / length
        return _ACROSS + right, _DOWN - up

    def line(self, start: float, length: float, width: float, stroke: str = "black", dash: str = "") -> None:
        """Part of the line, clockwise from a place."""
        steps = max(2, round(_STEPS * length / self.outline.around))
        points = [self.at(start + length * step / steps) for step in range(steps + 1)]
        self.drawing.line(points, width, dash, stroke)

    def hours(self) -> None:
        """The clock, inside the line."""
        for hour in (12, 3, 6, 9):
            x, y = self.at(self.outline.place(hour), -34)
            self.drawing.text(x, y + 4, str(hour), 12, fill="#555555")


def clamp_svg(flange: Flange, kept: Sequence[float], seal: Seal, found: Tightness, worst: str, title: str) -> str:
    """The pressure as a band outside the line, the deeper and darker the more; thick and black where it does not hold.

    ``worst``: what is said at the place where it holds least.
    """
    sheet = _Sheet(flange.outline, title)
    drawing, field = sheet.drawing, found.field
    _band(sheet, found)
    sheet.line(0, flange.outline.around, 1)
    for each in field.lifted:
        sheet.line(each.start, each.length, 3, "white")
        sheet.line(each.start, each.length, 1.5, dash="2,4")
    for each in field.stretches(seal.is_open(field, found.sound)):
        sheet.line(each.start, each.length, 7)
    sheet.hours()
    for number, (place, share) in enumerate(zip(flange.places, kept, strict=True), 1):
        x, y = sheet.at(place)
        drawing.circle(x, y, 10, "black" if share < _LOST else "#cccccc" if share < _WEAK else "white", 1.5)
        drawing.text(x, y + 4, str(number), 10, fill="white" if share < _LOST else "black")
    place = float(field.places[found.worst])
    drawing.line([sheet.at(place, 14), sheet.at(place, 60)], 1.5)
    x, y = sheet.at(place, 68)
    drawing.text(x, y + 4, worst, 12, "left" if x > _ACROSS + 20 else "right" if x < _ACROSS - 20 else "middle")
    _clamp_legend(drawing)
    return drawing.svg()


def _band(sheet: _Sheet, found: Tightness) -> None:
    """The pressure, from the line outwards; one area for each run of the same grey."""
    field, around = found.field, sheet.outline.around
    places = [around * step / _STEPS for step in range(_STEPS + 1)]
    deep = [float(np.interp(place, field.places, field.pressure, period=around)) for place in places]
    mean, highest = float(found.sound.pressure.mean()), max(deep)

    def grey(step: int) -> str:
        return next(grey for share, grey in _GREYS if deep[step] + deep[step + 1] >= 2 * share * mean)

    for fill, steps in groupby((step for step in range(_STEPS) if deep[step] + deep[step + 1] > 0), key=grey):
        run = list(steps)
        ends = [*run, run[-1] + 1]
        outer = [sheet.at(places[end], _DEEPEST * deep[end] / highest) for end in reversed(ends)]
        sheet.drawing.area([*(sheet.at(places[end]) for end in ends), *outer], fill)


def _clamp_legend(drawing: Drawing) -> None:
    left, top = 30.0, 552.0
    for column, ((_, grey), said) in enumerate(zip(_GREYS, ("more than 80%", "50% to 80%", "less"), strict=True)):
        x = left + 130 * column
        drawing.area([(x, top - 10), (x + 20, top - 10), (x + 20, top), (x, top)], grey)
        drawing.text(x + 28, top, said, 11, "left")
    drawing.text(left + 330, top, "of the mean pressure of a sound joint", 11, "left")
    for column, (width, dash, said) in enumerate(((1.5, "2,4", "does not touch"), (7, "", "does not hold"))):
        drawing.line([(left + 130 * column, top + 20), (left + 20 + 130 * column, top + 20)], width, dash)
        drawing.text(left + 28 + 130 * column, top + 24, said, 11, "left")
    for column, (fill, said) in enumerate((("#cccccc", "weak fastener"), ("black", "lost fastener"))):
        drawing.circle(left + 270 + 130 * column, top + 20, 8, fill, 1.5)
        drawing.text(left + 288 + 130 * column, top + 24, said, 11, "left")


def order_svg(outline: Outline, places: Sequence[float], groups: Sequence[Group], title: str) -> str:
    """The step of each fastener beside it; a second ring round those at dowels, a line from each step to the next."""
    sheet = _Sheet(outline, title)
    drawing = sheet.drawing
    order = [number for group in groups for number in group.numbers]
    at_dowels = {number for group in groups if group.dowels for number in group.numbers}
    sheet.line(0, outline.around, 1, "#999999")
    drawing.line([sheet.at(places[number - 1]) for number in order], 1, "3,4", "#999999")
    for step, number in enumerate(order, 1):
        x, y = sheet.at(places[number - 1])
        if number in at_dowels:
            drawing.circle(x, y, 16, "white", 1.5)
        drawing.circle(x, y, 12, "white", 1.5)
        drawing.text(x, y + 4, str(number), 11)
        x, y = sheet.at(places[number - 1], 32)
        drawing.text(x, y + 6, str(step), 17)
    _order_legend(drawing, bool(at_dowels))
    return drawing.svg()


def _order_legend(drawing: Drawing, dowels: bool) -> None:
    y = 560
    drawing.circle(40, y, 12, "white", 1.5)
    drawing.text(40, y + 4, "n", 11)
    drawing.text(62, y + 4, "fastener", 11, "left")
    drawing.text(160, y + 6, "n", 17)
    drawing.text(176, y + 4, "the step at which it is due", 11, "left")
    if dowels:
        drawing.circle(370, y, 16, "white", 1.5)
        drawing.circle(370, y, 12, "white", 1.5)
        drawing.text(396, y + 4, "at a dowel", 11, "left")
