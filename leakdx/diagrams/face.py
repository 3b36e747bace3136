"""A face by its readings, as a map: where it stands high and low."""

from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.diagrams.canvas import Canvas
from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.outline import Outline

_SIZE, _RING = 600.0, 190.0
_FEW = 24
"""Readings that each get a number in a text map."""


@dataclass(frozen=True)
class Spot:
    """A reading: its place, its value in the unit of the map, the value as it is written, and high, low or nothing."""

    place: str
    x: float
    y: float
    value: float
    written: str
    mark: str


@dataclass(frozen=True)
class FaceMap:
    """A face: its outline, its readings and what is said of it."""

    title: str
    joint: Outline
    spots: Sequence[Spot]
    unit: str
    said: Sequence[str]
    heights: bool = True
    """Whether the values are heights, not gaps."""


def face_text(face: FaceMap) -> list[str]:
    """The map in characters, seen from the pinion's side."""
    half_width, half_height = _halves(face)
    canvas = Canvas(half_width, half_height)
    canvas.dots(face.joint.along(step / 120) for step in range(120))
    many = len(face.spots) > _FEW
    for spot in sorted(face.spots, key=lambda spot: bool(spot.mark)):
        name = f"{spot.written} {spot.mark[:1].upper()}".strip()
        canvas.put((spot.x, spot.y), "o" if many and not spot.mark else f" {name} ")
    canvas.put((0, 0), f"{face.unit}; H high, L low" if face.heights else f"{face.unit}; W widest")
    return canvas.lines()


def face_svg(face: FaceMap) -> str:
    """The map as a picture: light stands high, dark low; the value beside each place."""
    drawing = Drawing(_SIZE, _SIZE + 20, face.title)
    drawing.text(20, 26, face.title, 14, "left")
    half_width, half_height = _halves(face)
    scale, middle = _RING / max(half_width, half_height), (_SIZE / 2, _SIZE / 2 + 10)

    def at(x: float, y: float, beyond: float = 0.0) -> tuple[float, float]:
        far = 1 + beyond / (scale * max(1e-9, (x * x + y * y) ** 0.5))
        return middle[0] + x * scale * far, middle[1] - y * scale * far

    drawing.line([at(*face.joint.along(step / 180)) for step in range(181)], 12, stroke="#cccccc")
    lowest, highest = min(spot.value for spot in face.spots), max(spot.value for spot in face.spots)
    for spot in face.spots:
        share = (spot.value - lowest) / (highest - lowest) if highest > lowest else 1.0
        level = round(40 + 215 * (share if face.heights else 1 - share))
        drawing.circle(*at(spot.x, spot.y), 12, f"rgb({level},{level},{level})", 4 if spot.mark else 1.5)
        x, y = at(spot.x, spot.y, 42)
        drawing.text(x, y - 3, spot.place, 11, fill="#444444")
        drawing.text(x, y + 11, f"{spot.written} {spot.mark}".strip(), 13)
    for row, said in enumerate(face.said):
        drawing.text(middle[0], middle[1] + 20 * (row - (len(face.said) - 1) / 2), said, 14)
    end = "light stands high, dark low" if face.heights else "dark is wide"
    drawing.text(20, _SIZE + 6, f"seen from the pinion's side; values in {face.unit}; {end}", 12, "left")
    return drawing.svg()


def _halves(face: FaceMap) -> tuple[float, float]:
    """Half of the width and of the height that everything fits in."""
    return (
        max(face.joint.width / 2, *(abs(spot.x) for spot in face.spots)),
        max(face.joint.height / 2, *(abs(spot.y) for spot in face.spots)),
    )
