"""The ring of fasteners as it stands on a page: few and large signs, to be read at arm's length and written on."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.places import HOURS, Arc

_SIDE, _MIDDLE = 360.0, 180.0
_RING, _STEP, _WET, _HOUR = 118.0, 152.0, 88.0, 62.0
"""How far from the middle fasteners, their steps, the wet stretch and the hours stand, in pixels."""
_BARE_HOUR = 152.0
"""How far out the hours stand where no fastener is drawn; the wet stretch lies on the ring then."""
_SPOT, _DOWEL = 15.0, 19.0
_NARROWEST = math.radians(8)
"""How wide a wet place without a width is drawn."""


@dataclass(frozen=True)
class Spot:
    """A fastener: its turn (rad clockwise from 12), its number, the step that it is due at, and whether at a dowel."""

    turn: float
    name: str
    step: str = ""
    dowel: bool = False


def ring_svg(spots: Sequence[Spot], wet: Arc | None, title: str) -> str:
    """The ring from the pinion's side, 12 o'clock on top; steps outside, a grey stretch inside where it is wet."""
    drawing = Drawing(_SIDE, _SIDE, title)
    drawing.circle(_MIDDLE, _MIDDLE, _RING, "none", 2)
    if wet is not None:
        drawing.line(_way(wet, _WET if spots else _RING), 18 if spots else 26, stroke="#999999")
        drawing.text(_MIDDLE, _MIDDLE + 6, "grey: wet", 14 if spots else 24)
    for hour in (12, 3, 6, 9):
        x, y = _at(hour * math.tau / HOURS, _HOUR if spots else _BARE_HOUR)
        drawing.text(x, y + 6, str(hour), 17 if spots else 26, fill="#555555")
    for spot in spots:
        x, y = _at(spot.turn, _RING)
        if spot.dowel:
            drawing.circle(x, y, _DOWEL, "white", 1.5)
        drawing.circle(x, y, _SPOT, "white", 1.5)
        drawing.text(x, y + 6, spot.name, 17)
        x, y = _at(spot.turn, _STEP)
        drawing.text(x, y + 8, spot.step, 23)
    return drawing.svg()


def _at(turn: float, radius: float) -> tuple[float, float]:
    return _MIDDLE + radius * math.sin(turn), _MIDDLE - radius * math.cos(turn)


def _way(arc: Arc, radius: float) -> list[tuple[float, float]]:
    """Points along an arc."""
    wide = arc.at_least(_NARROWEST)
    steps = max(2, round(wide.width / math.radians(3)))
    return [_at(wide.start + wide.width * step / steps, radius) for step in range(steps + 1)]
