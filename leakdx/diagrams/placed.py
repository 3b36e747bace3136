"""The wet part of the joint beside what could have made it wet: weak fasteners, a low face, a weld."""

from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.diagrams.canvas import Canvas
from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.colocation import Arc
from leakdx.mechanics.outline import Point, ring

_JOINT = ring(1.0)
_SIZE, _RING = 560.0, 170.0
_STEPS = 180
_LEAST = 0.01
"""Share of the way round that even a spot weld is drawn to on either side."""


@dataclass(frozen=True)
class PlaceMap:
    """Turns are clock hands'; ``marks``: places on the joint, each with its words and whether it is under suspicion."""

    title: str
    wet: Arc
    weld: Arc | None
    marks: Sequence[tuple[float, str, bool]]

    @property
    def hours(self) -> list[tuple[float, str]]:
        """The clock, where nothing else says where the places are."""
        return [] if self.marks else [(hour / 12, str(hour or 12)) for hour in range(0, 12, 3)]


def place_text(shown: PlaceMap) -> list[str]:
    """The joint in characters, seen from the pinion's side."""
    canvas = Canvas(_JOINT.width / 2, _JOINT.height / 2)
    canvas.dots(_places(Arc(0, 1 - 1e-9)))
    canvas.dots(_places(shown.wet), "#")
    if shown.weld is not None:
        canvas.dots([(0.78 * x, 0.78 * y) for x, y in _places(shown.weld)], "w")
    for turn, words, suspect in shown.marks:
        canvas.put(_JOINT.towards(turn), f"[{words}]" if suspect else f"({words})")
    for turn, hour in shown.hours:
        x, y = _JOINT.towards(turn)
        canvas.put((1.12 * x, 1.12 * y), f" {hour} ")
    legend = ["# wet", *(["w the weld"] if shown.weld else []), *(["[] weak or low"] if shown.marks else [])]
    return [*canvas.lines(), "; ".join(legend)]


def place_svg(shown: PlaceMap) -> str:
    """The same as a picture: the wet part as a thick grey band, suspects dark, the weld as teeth inside."""
    drawing = Drawing(_SIZE, _SIZE, shown.title)
    drawing.text(20, 26, shown.title, 14, "left")
    middle = _SIZE / 2

    def at(point: Point, out: float = 0.0) -> Point:
        return middle + point[0] * (_RING + out), middle - point[1] * (_RING + out)

    drawing.line([at(place, 30) for place in _places(shown.wet)], 22, stroke="#999999")
    drawing.line([at(place) for place in _places(Arc(0, 1 - 1e-9))], 2)
    if shown.weld is not None:
        seen = Arc(shown.weld.start - _LEAST, shown.weld.end + _LEAST)
        drawing.line([at(place, -30 + (8 if n % 2 else 0)) for n, place in enumerate(_places(seen))], 2.5)
        x, y = at(_JOINT.towards((shown.weld.start + shown.weld.span / 2) % 1), -56)
        drawing.text(x, y + 4, "weld", 13)
    for turn, words, suspect in shown.marks:
        x, y = at(_JOINT.towards(turn))
        drawing.circle(x, y, 14, "black" if suspect else "white", 1.5)
        drawing.text(x, y + 4, words, 11, fill="white" if suspect else "black")
    for turn, hour in shown.hours:
        x, y = at(_JOINT.towards(turn), 58)
        drawing.text(x, y + 4, hour, 14)
    said = "grey band: wet; black: weak or low; teeth: the weld; seen from the pinion's side"
    drawing.text(20, _SIZE - 14, said, 11, "left")
    return drawing.svg()


def _places(arc: Arc) -> list[Point]:
    """Points along an arc, two at least."""
    steps = max(1, round(arc.span * _STEPS))
    return [_JOINT.towards((arc.start + arc.span * step / steps) % 1) for step in range(steps + 1)]
