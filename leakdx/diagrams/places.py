"""The flange with all that has a place on it: wet arc, fasteners by state, heights of the faces, welds; as SVG.

Seen from the pinion's side, 12 o'clock on top. What a thing is shows in shape, hatch, letter and words.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import tau
from typing import NamedTuple

from leakdx.diagrams.flangemap import READ, STRETCHED, UNREAD, UNSURE, WEAK
from leakdx.diagrams.line import LineSheet
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.places import HOURS, Arc, clock

LOOSE = "T"
"""Beside the marks of the map in plain characters: a fastener that turns freely."""
_SIZE, _MIDDLE, _HALF = (800.0, 580.0), (400.0, 290.0), 165.0
_INSIDE, _OUTSIDE = 18.0, 40.0
"""How far out the wet band lies, in pixels."""
_LETTER, _FIRST, _BETWEEN, _WORD, _HEIGHTS = -19.0, 52.0, 12.0, 20.0, (-68.0, -98.0)
_LARGEST, _ROOM, _MOST_READINGS = 11.0, 0.42, 24
_LOOKS = ("", "2,1", "5,2")
_INCH = 0.0254
_SINGLE = tau / 60
"""rad; how wide a place without a width is drawn."""
_LEFT, _ROW, _HATCH = 30.0, 22.0, 9.0
_NOTHING = "No place round the joint is written down yet: where it is wet, what was measured where."


@dataclass(frozen=True)
class Dot:
    """A fastener: where it stands (rad clockwise from 12), its number, its mark (of ``flangemap``, or LOOSE)."""

    turn: float
    name: str
    mark: str = READ


@dataclass(frozen=True)
class Height:
    """What was read at a place of a face (rad clockwise from 12), as typed, and whether it is a low spot."""

    turn: float
    said: str
    low: bool


@dataclass(frozen=True)
class FaceHeights:
    """One face: its name, what was read on it ("heights (thou)"), the readings."""

    name: str
    what: str
    heights: tuple[Height, ...]


@dataclass(frozen=True)
class Flange:
    """What is known of places. ``has_size``: whether the line is as large as the joint's, so that lengths mean it."""

    line: Outline
    has_size: bool = False
    wet: Arc | None = None
    dots: tuple[Dot, ...] = ()
    others: tuple[tuple[str, Arc], ...] = ()
    faces: tuple[FaceHeights, ...] = ()

    @property
    def is_measured(self) -> bool:
        """Whether there is more to see than a ring and where it is wet."""
        return bool(self.others or self.faces) or any(dot.mark != READ for dot in self.dots)


class _Look(NamedTuple):
    """How a fastener in some state is drawn: its shape, its fill, the line round it, and the words for it."""

    shape: str
    fill: str
    line: float
    said: str


_STATES: Mapping[str, _Look] = {
    READ: _Look("circle", "white", 1.5, "fastener"),
    UNREAD: _Look("circle", "white", 0.6, "fastener, not read"),
    WEAK: _Look("square", "black", 1.5, "weak: has lost clamp"),
    LOOSE: _Look("diamond", "black", 1.5, "turns freely: loose or broken"),
    UNSURE: _Look("circle", "#bbbbbb", 1.5, "too close to say"),
    STRETCHED: _Look("circle", "white", 4.0, "may be stretched"),
}


def places_svg(flange: Flange, title: str) -> str:
    """The drawing with a legend of what stands on it, and no more."""
    rows = list(_legend(flange))
    sheet = LineSheet(flange.line, title, (_SIZE[0], _SIZE[1] - 40 + _ROW * len(rows)), _MIDDLE, _HALF)
    if flange.wet is not None:
        _wet(sheet, flange.wet)
    sheet.line(0, flange.line.around, 1.5)
    sheet.hours()
    _road(sheet)
    for face, out in zip(flange.faces, _HEIGHTS, strict=False):
        _heights(sheet, face, out)
    for at, (name, arc) in enumerate(flange.others):
        _along(sheet, name, arc, at)
    for dot in flange.dots:
        _fastener(sheet, dot, _dot_size(sheet, len(flange.dots)))
    for at, (mark, said) in enumerate(rows):
        _legend_row(sheet, mark, said, _SIZE[1] - 50 + _ROW * at)
    return sheet.drawing.svg()


def said(arc: Arc) -> str:
    """4:30, or 3 to 4:30."""
    return clock(arc.start) if not arc.width else f"{clock(arc.start)} to {clock(arc.start + arc.width)}"


def _stretch(line: Outline, arc: Arc) -> tuple[float, float]:
    """Where an arc begins on the line, and how long it is there (m)."""
    start, end = (line.place(turn / tau * HOURS % HOURS) for turn in (arc.start, arc.start + arc.width))
    return start, (end - start) % line.around


def _wet(sheet: LineSheet, arc: Arc) -> None:
    """A band outside the line, hatched across."""
    start, length = _stretch(sheet.outline, arc.at_least(_SINGLE))
    steps = max(3, round(length * sheet.scale / _HATCH))
    places = [start + length * step / steps for step in range(steps + 1)]
    outer = [sheet.at(place, _OUTSIDE) for place in places]
    sheet.drawing.area([*(sheet.at(place, _INSIDE) for place in places), *reversed(outer)], "#dddddd")
    for place, after in pairwise(places):
        sheet.drawing.line([sheet.at(place, _INSIDE), sheet.at(after, _OUTSIDE)], 1)
    _word(sheet, start + length / 2, _FIRST, "WET")


def _along(sheet: LineSheet, name: str, arc: Arc, at: int) -> None:
    """A weld, or what else lies along the line, on a track of its own outside."""
    start, length = _stretch(sheet.outline, arc.at_least(_SINGLE))
    out = _FIRST + 18 + _BETWEEN * at
    sheet.line(start, length, 7, dash=_LOOKS[at % len(_LOOKS)], out=out)
    _word(sheet, start + length / 2, out + _WORD / 2, name)


def _word(sheet: LineSheet, place: float, out: float, word: str, size: float = 12) -> None:
    """A word beside the line, on the side where there is room for it."""
    x, y = sheet.at(place, out)
    beside = x - sheet.middle[0]
    sheet.drawing.text(x, y + 4, word, size, "middle" if abs(beside) < 40 else "left" if beside > 0 else "right")


def _road(sheet: LineSheet) -> None:
    """Which way is down."""
    x, y = _LEFT + 40, _MIDDLE[1] + _HALF
    sheet.drawing.line([(x, y - 60), (x, y)], 1.5)
    sheet.drawing.line([(x - 6, y - 10), (x, y), (x + 6, y - 10)], 1.5)
    sheet.drawing.line([(x - 40, y + 4), (x + 40, y + 4)], 1.5)
    for step in range(-3, 5):
        sheet.drawing.line([(x + 10 * step, y + 4), (x + 10 * step - 8, y + 12)], 1)
    sheet.drawing.text(x, y + 28, "the road", 12)


def _dot_size(sheet: LineSheet, count: int) -> float:
    """Pixels from a fastener's middle to its edge, so that neighbours do not touch."""
    return min(_LARGEST, _ROOM * sheet.outline.around * sheet.scale / max(1, count))


def _fastener(sheet: LineSheet, dot: Dot, size: float) -> None:
    """Its number in the shape of its state, its letter inside the line."""
    place = sheet.outline.place(dot.turn / tau * HOURS % HOURS)
    look = _STATES[dot.mark]
    _shape(sheet, *sheet.at(place), size, look)
    x, y = sheet.at(place)
    sheet.drawing.text(x, y + 4, dot.name, min(11, size), fill="white" if look.fill == "black" else "black")
    if dot.mark not in (READ, UNREAD):
        x, y = sheet.at(place, _LETTER)
        sheet.drawing.text(x, y + 4, dot.mark, 12)


def _shape(sheet: LineSheet, x: float, y: float, size: float, look: _Look) -> None:
    if look.shape == "circle":
        sheet.drawing.circle(x, y, size, look.fill, look.line)
    elif look.shape == "square":
        sheet.drawing.area(_box(x, y, size, size), look.fill)
    else:
        far = size * 1.4
        sheet.drawing.area([(x, y - far), (x + far, y), (x, y + far), (x - far, y)], look.fill)


def _box(x: float, y: float, wide: float, high: float) -> list[tuple[float, float]]:
    """Corners of a box so far to each side of its middle."""
    return [(x - wide, y - high), (x + wide, y - high), (x + wide, y + high), (x - wide, y + high)]


def _heights(sheet: LineSheet, face: FaceHeights, out: float) -> None:
    """The readings of a face in boxes inside the line, a triangle over a low spot; of very many only those."""
    few = len(face.heights) <= _MOST_READINGS
    for height in face.heights:
        x, y = sheet.at(sheet.outline.place(height.turn / tau * HOURS % HOURS), out)
        if few or height.low:
            wide = 4 + 3 * len(height.said)
            sheet.drawing.area(_box(x, y, wide, 8), "white")
            sheet.drawing.line([*_box(x, y, wide, 8), (x - wide, y - 8)], 0.8)
            sheet.drawing.text(x, y + 4, height.said, 11)
        if height.low:
            sheet.drawing.area([(x - 5, y - 18), (x + 5, y - 18), (x, y - 10)], "black")


def _legend(flange: Flange) -> Iterator[tuple[str, str]]:
    """Each mark that stands on the drawing, with its words."""
    yield "", "Seen from the pinion's side: 12 on top, 6 towards the road."
    if flange.wet is not None:
        yield "wet", f"wet: {said(flange.wet)}{_long(flange)}"
    for mark in _STATES:
        names = [dot.name for dot in flange.dots if dot.mark == mark]
        if names:
            which = "" if mark in (READ, UNREAD) else f" ({mark}): {', '.join(names)}"
            yield mark, f"{_STATES[mark].said}{which}"
    for at, (name, arc) in enumerate(flange.others):
        yield f"other {at}", f"{name}: {said(arc)}"
    rows = (", outer row", ", inner row") if len(flange.faces) > 1 else ("",)
    for face, row in zip(flange.faces, rows, strict=False):
        low = ", ".join(clock(height.turn) for height in face.heights if height.low)
        spot = f"; triangle: low at {low}" if low else ""
        yield "box", f"{face.name} face{row}: {face.what}{spot}"
    yield from (("", row) for row in _not_known(flange))


def _not_known(flange: Flange) -> Iterator[str]:
    if flange.wet is None:
        yield "Where it is wet is not written down by the clock." if flange.is_measured else _NOTHING
    if not flange.dots:
        yield "How many fasteners there are is not known."


def _long(flange: Flange) -> str:
    """How long the wet arc is, where the joint's size is known, and how many fasteners stand in it."""
    wet = flange.wet
    if wet is None or not wet.width:
        return ""
    length = _stretch(flange.line, wet)[1]
    measured = f", {1e3 * length:.0f} mm ({length / _INCH:.1f} in) of the line" if flange.has_size else ""
    inside = [dot.name for dot in flange.dots if wet.away(dot.turn) < 1e-9]
    beside = f"; in it fasteners {', '.join(inside)}" if inside else ""
    return f"{measured or f', {length / flange.line.around:.0%} of the way round'}{beside}"


def _legend_row(sheet: LineSheet, mark: str, words: str, y: float) -> None:
    x, drawing = _LEFT + 20, sheet.drawing
    if mark == "wet":
        drawing.area([(x - 16, y - 8), (x + 16, y - 8), (x + 16, y + 6), (x - 16, y + 6)], "#dddddd")
        for step in range(4):
            drawing.line([(x - 16 + 8 * step, y + 6), (x - 8 + 8 * step, y - 8)], 1)
    elif mark == "box":
        drawing.line([*_box(x, y, 12, 8), (x - 12, y - 8)], 0.8)
    elif mark in _STATES:
        _shape(sheet, x, y - 1, 8, _STATES[mark])
    elif mark:
        drawing.line([(x - 14, y), (x + 14, y)], 7, _LOOKS[int(mark.split()[1]) % len(_LOOKS)])
    drawing.text(_LEFT if not mark else x + 26, y + 4, words, 12, "left")
