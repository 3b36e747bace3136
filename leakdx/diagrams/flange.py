"""Maps of a joint's flange as it is seen from the pinion: how hard it is pressed, and the order of its fasteners."""

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from leakdx.diagrams.line import LineSheet
from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.order import Group
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.tight import Flange, Seal, Tightness

_DEEPEST = 44.0
"""How far out the highest pressure stands, in pixels."""
_STEPS = 400
_GREYS = ((0.8, "#555555"), (0.5, "#999999"), (0.0, "#cccccc"))
_LOST, _WEAK = 0.25, 0.8


def clamp_svg(flange: Flange, kept: Sequence[float], seal: Seal, found: Tightness, worst: str, title: str) -> str:
    """The pressure as a band outside the line, the deeper and darker the more; thick and black where it does not hold.

    ``worst``: what is said at the place where it holds least.
    """
    sheet = LineSheet(flange.outline, title)
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
    drawing.text(
        x, y + 4, worst, 12, "left" if x > sheet.middle[0] + 20 else "right" if x < sheet.middle[0] - 20 else "middle"
    )
    _clamp_legend(drawing)
    return drawing.svg()


def _band(sheet: LineSheet, found: Tightness) -> None:
    """The pressure, from the line outwards; one area for each run of the same grey."""
    field, around = found.field, sheet.outline.around
    places = [around * step / _STEPS for step in range(_STEPS + 1)]
    deep = [float(np.interp(place, field.places, field.pressure, period=around)) for place in places]
    mean, highest = float(found.sound.pressure.mean()), max(deep)

    def grey(step: int) -> str:
        both = deep[step] + deep[step + 1]
        return next(grey for share, grey in _GREYS if both >= 2 * share * mean) if both > 0 else ""

    for fill, steps in groupby(range(_STEPS), key=grey):
        if not fill:
            continue
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
    sheet = LineSheet(outline, title)
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
