"""The few shapes that a drawing of the joint needs, as SVG text.

As in every picture here, what a thing is shows in shape, fill and words, never in colour alone.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape

from leakdx.clean import clean_line

FONT = "Helvetica,Arial,sans-serif"
_ANCHORS = {"left": "start", "middle": "middle", "right": "end"}


@dataclass
class Drawing:
    """A white sheet, in pixels from its upper left corner; shapes lie over each other in the order they are drawn."""

    width: float
    height: float
    title: str
    _parts: list[str] = field(default_factory=list)

    def line(
        self, points: Iterable[tuple[float, float]], width: float = 1, dash: str = "", stroke: str = "black"
    ) -> None:
        """A line through points."""
        way = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(f'<polyline points="{way}" fill="none" stroke="{stroke}" stroke-width="{width:g}"{dashed}/>')

    def area(self, points: Iterable[tuple[float, float]], fill: str) -> None:
        """A filled shape without a line round it."""
        way = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        self._parts.append(f'<polygon points="{way}" fill="{fill}"/>')

    def circle(self, x: float, y: float, radius: float, fill: str = "white", width: float = 1, dash: str = "") -> None:
        """A circle; ``fill`` none leaves what is under it."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{fill}" stroke="black" '
            f'stroke-width="{width:g}"{dashed}/>'
        )

    def text(self, x: float, y: float, words: str, size: float = 12, at: str = "middle", fill: str = "black") -> None:
        """One line of text; ``at`` says which end of it stands at x: left, middle or right."""
        said = escape(clean_line(words), quote=True)
        self._parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-family="{FONT}" font-size="{size:g}" fill="{fill}" '
            f'text-anchor="{_ANCHORS[at]}">{said}</text>'
        )

    def svg(self) -> str:
        """The whole file."""
        said = escape(clean_line(self.title), quote=True)
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width:g}" height="{self.height:g}" '
            f'viewBox="0 0 {self.width:g} {self.height:g}" role="img" aria-label="{said}">'
        )
        ground = f'<rect width="{self.width:g}" height="{self.height:g}" fill="white"/>'
        return "\n".join([head, f"<title>{said}</title>", ground, *self._parts, "</svg>"]) + "\n"
