"""The flange map: clamp round the joint, its fasteners, and where the faces part."""

from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.diagrams.canvas import Canvas
from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.clamp import Clamp, Numbers
from leakdx.mechanics.outline import Outline, Point

_SIZE, _RING, _BAND = 640.0, 170.0, 34.0
_STEPS = 112
_LOST, _WEAK = 0.05, 0.85
"""Shares of the preload below which a fastener is drawn as lost, and as weak."""


@dataclass(frozen=True)
class FlangeMap:
    """A joint with its clamp; ``start``: share of the way round at which fastener 1 stands; ``kept``: of each."""

    title: str
    joint: Outline
    start: float
    clamp: Clamp
    kept: Sequence[float]
    said: Sequence[str]

    def place(self, share: float) -> Point:
        """The point so great a share of the way on from fastener 1."""
        return self.joint.along(self.start + share)

    @property
    def fasteners(self) -> list[tuple[int, float, Point]]:
        """Number, share kept and point of each."""
        count = len(self.kept)
        return [(n + 1, kept, self.place(n / count)) for n, kept in enumerate(self.kept)]


def flange_text(flange: FlangeMap) -> list[str]:
    """The map in characters: between the fasteners the clamp in tenths of what the sound joint has on average."""
    canvas = Canvas(flange.joint.width / 2, flange.joint.height / 2)
    for step in range(_STEPS):
        at = step * len(flange.clamp.pressure) // _STEPS
        tenths = min(9, int(10 * flange.clamp.pressure[at] / flange.clamp.sound.mean()))
        canvas.put(flange.place(step / _STEPS), "x" if flange.clamp.lifted[at] else str(tenths))
    for number, kept, point in flange.fasteners:
        left, right = "<>" if kept <= _LOST else "[]" if kept < _WEAK else "()"
        canvas.put(point, f"{left}{number}{right}")
    legend = "(n) holds, [n] weak, <n> lost; digits: clamp in tenths of the sound joint's; x: the faces part"
    return [*canvas.lines(), legend]


def flange_svg(flange: FlangeMap) -> str:
    """The map as a picture: the grey band is as wide as the clamp is strong, dashed as the sound joint has it."""
    drawing = Drawing(_SIZE, _SIZE, flange.title)
    drawing.text(20, 26, flange.title, 14, "left")
    scale = _RING / (max(flange.joint.width, flange.joint.height) / 2)
    middle = _SIZE / 2

    def at(point: Point, out: float = 0.0) -> Point:
        far = scale + out / (point[0] ** 2 + point[1] ** 2) ** 0.5
        return middle + point[0] * far, middle - point[1] * far

    count = len(flange.clamp.pressure)
    places = [flange.place(step / count) for step in range(count + 1)]
    unit = float(flange.clamp.sound.mean())

    def band(pressure: Numbers) -> list[Point]:
        return [at(places[i], 16 + _BAND * float(pressure[i % count]) / unit) for i in range(count + 1)]

    drawing.area([*band(flange.clamp.pressure), *(at(place, 16) for place in reversed(places))], "#bbbbbb")
    drawing.line(band(flange.clamp.sound), 1.2, "5,4")
    drawing.line([at(place) for place in places], 2)
    for start, end in flange.clamp.spans:
        steps = range(round(start * count), round(end * count) + 1)
        drawing.line([at(places[step % count], 16) for step in steps], 6)
        drawing.text(*_beside(at(flange.place((start + end) / 2), 64), middle), "faces part", 12)
    for number, kept, point in flange.fasteners:
        fill = "black" if kept <= _LOST else "#888888" if kept < _WEAK else "white"
        drawing.circle(*at(point), 12, fill, 1.5)
        x, y = at(point)
        drawing.text(x, y + 4, str(number), 11, fill="black" if kept >= _WEAK else "white")
        if kept < _WEAK:
            x, y = at(point, -30)
            drawing.text(x, y + 4, f"{100 * kept:.0f}%", 12)
    for row, said in enumerate(flange.said):
        drawing.text(middle, middle + 20 * (row - (len(flange.said) - 1) / 2) + 5, said, 14)
    legend = "grey band: clamp; dashed: of the sound joint; grey or black fastener: weak or lost, with what it keeps"
    drawing.text(20, _SIZE - 14, legend, 12, "left")
    return drawing.svg()


def _beside(point: Point, middle: float) -> Point:
    """Where words go so that they clear the line they stand by."""
    x, y = point
    return x + (28 if x > middle + 40 else -28 if x < middle - 40 else 0), y + 4
