"""The order of tightening, drawn at the places of the fasteners."""

from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.diagrams.canvas import Canvas
from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.outline import Outline, Point

_SIZE, _RING = 560.0, 170.0
_FEW = 24
"""Fasteners that fit round a map in characters."""


@dataclass(frozen=True)
class OrderMap:
    """A joint, its fasteners' points in order of their numbers, and the numbers in order of tightening."""

    title: str
    joint: Outline
    points: Sequence[Point]
    order: Sequence[int]
    dowels: Sequence[int]
    said: Sequence[str]


def order_text(shown: OrderMap) -> list[str]:
    """Each place with its number and, after the stroke, when its turn comes; nothing where they do not fit."""
    if len(shown.order) > _FEW:
        return []
    canvas = Canvas(shown.joint.width / 2, shown.joint.height / 2)
    canvas.dots(shown.joint.along(step / 120) for step in range(120))
    for turn, number in enumerate(shown.order, 1):
        canvas.put(shown.points[number - 1], f" {number}{'D' if number in shown.dowels else ''}/{turn} ")
    legend = "number of the fastener / when its turn comes" + ("; D a dowel's place" if shown.dowels else "")
    return [*canvas.lines(), legend]


def order_svg(shown: OrderMap) -> str:
    """The same as a picture; the turn stands large beside each fastener, a dowel's place is a double ring."""
    drawing = Drawing(_SIZE, _SIZE, shown.title)
    drawing.text(20, 26, shown.title, 14, "left")
    scale, middle = _RING / (max(shown.joint.width, shown.joint.height) / 2), _SIZE / 2

    def at(point: Point, out: float = 0.0) -> Point:
        far = scale + out / (point[0] ** 2 + point[1] ** 2) ** 0.5
        return middle + point[0] * far, middle - point[1] * far

    drawing.line([at(shown.joint.along(step / 180)) for step in range(181)], 2, stroke="#888888")
    for turn, number in enumerate(shown.order, 1):
        point = shown.points[number - 1]
        if number in shown.dowels:
            drawing.circle(*at(point), 18, "white", 1.5)
        drawing.circle(*at(point), 13, "#dddddd" if number in shown.dowels else "white", 1.5)
        x, y = at(point)
        drawing.text(x, y + 4, str(number), 11)
        x, y = at(point, 36)
        drawing.text(x, y + 6, str(turn), 17)
    for row, said in enumerate(shown.said):
        drawing.text(middle, middle + 20 * (row - (len(shown.said) - 1) / 2) + 5, said, 13)
    legend = "in the circle: the fastener's number; large: when its turn comes; double ring: a dowel's place"
    drawing.text(20, _SIZE - 14, legend, 11, "left")
    return drawing.svg()
