"""Drawings of the joint's mechanics: the audited ring, the oil against the joint, the heat of a weld."""

import math
from collections.abc import Sequence

from leakdx.diagrams.svg import Drawing
from leakdx.explain.numbers import number
from leakdx.mechanics.audit import Audit, State
from leakdx.mechanics.band import Band
from leakdx.mechanics.level import Joint, wet_half_angle

_MIDDLE, _RING = 230.0, 150.0
_LEFT, _RIGHT, _FOOT, _TOP = 60.0, 610.0, 360.0, 50.0
"""Edges of the diagram of a weld's heat."""
_HOTTEST = 1000.0
"""degC at its top."""
_FILLS = {State.HOLDS: "white", State.UNSURE: "#dddddd", State.LOST: "#777777", State.TURNS: "black",
          State.STRETCHED: "white"}  # fmt: skip


def ring_svg(found: Audit, title: str) -> str:
    """The ring from outside, the first fastener at 12 o'clock: darker is less clamp, thick the stretches beside it."""
    drawing = Drawing(640, 470, title)
    drawing.text(20, 26, title, 13, "left")
    count = len(found.fasteners)
    for span in found.spans:
        start, end = ((number - 1) * math.tau / count for number in (span.first, span.second))
        drawing.line(_arc(start, end if end > start else end + math.tau, _RING), 9, stroke="#bbbbbb")
    drawing.circle(_MIDDLE, _MIDDLE + 20, _RING, "none")
    for each in found.fasteners:
        x, y = _at((each.number - 1) * math.tau / count, _RING)
        drawing.circle(x, y, 13, _FILLS[each.state], 4 if each.state is State.STRETCHED else 1.5)
        dark = each.state in (State.LOST, State.TURNS)
        drawing.text(x, y + 4, str(each.number), 11, fill="white" if dark else "black")
        x, y = _at((each.number - 1) * math.tau / count, _RING + 30)
        drawing.text(x, y + 4, f"{100 * each.kept.likely:.0f}%" if each.kept else "0%", 11)
    for row, (state, fill) in enumerate(_FILLS.items()):
        drawing.circle(480, 160 + 28 * row, 9, fill, 4 if state is State.STRETCHED else 1.5)
        drawing.text(500, 164 + 28 * row, str(state), 12, "left")
    foot = 160 + 28 * len(_FILLS)
    if found.spans:
        drawing.line([(468, foot), (492, foot)], 9, stroke="#bbbbbb")
        drawing.text(500, foot + 4, "less clamp between", 12, "left")
        foot += 28
    drawing.text(470, foot + 4, "%: of the ordered clamp", 12, "left")
    return drawing.svg()


def level_svg(joint: Joint, still: float, at: float, title: str) -> str:
    """The joint seen from the pinion, with the oil against it; dashed where it stands on the level."""
    drawing = Drawing(460, 470, title)
    drawing.text(20, 26, title, 13, "left")
    half = wet_half_angle(joint, at)
    if half > 0:
        drawing.area(_arc(math.pi - half, math.pi + half, _RING), "#cccccc")
        drawing.line(_arc(math.pi - half, math.pi + half, _RING), 9)
    drawing.circle(_MIDDLE, _MIDDLE + 20, _RING, "none", 2)
    for hour in (12, 3, 6, 9):
        x, y = _at(hour * math.tau / 12, _RING + 24)
        drawing.text(x, y + 4, str(hour), 13)
    for height, dash in ((still, "6,5"), (at, "")):
        y = _MIDDLE + 20 + _RING - min(2.2, max(-0.2, height / joint.radius)) * _RING
        drawing.line([(_MIDDLE - _RING - 50, y), (_MIDDLE + _RING + 50, y)], 1.5, dash)
    drawing.text(20, 452, "line: oil at this slope; dashed: on the level; thick: of the joint, in oil", 11, "left")
    return drawing.svg()


def heat_svg(
    curve: Sequence[tuple[float, Band]], bears: Band, joint: Band, seal: str, title: str, *, metric: bool
) -> str:
    """Peak temperature (degC) by distance (m) with its band, what the seal bears, and where the joint is.

    ``metric``: whether the axes are.
    """
    drawing = Drawing(640, 420, title)
    widest = max(distance for distance, _ in curve)

    def place(distance: float, celsius: float) -> tuple[float, float]:
        x = _LEFT + (_RIGHT - _LEFT) * min(1.0, distance / widest)
        return x, _FOOT - (_FOOT - _TOP) * min(1.0, max(0.0, celsius / _HOTTEST))

    drawing.text(20, 26, title, 13, "left")
    drawing.area(
        [place(0, bears.low), place(widest, bears.low), place(widest, bears.high), place(0, bears.high)], "#dddddd"
    )
    drawing.text(_RIGHT - 6, place(0, bears.likely)[1] + 4, f"{seal} bears", 12, "right")
    ends = [place(distance, band.high) for distance, band in curve]
    drawing.area([*ends, *(place(distance, band.low) for distance, band in reversed(curve))], "#aaaaaa")
    drawing.line([place(distance, band.likely) for distance, band in curve], 2)
    ends_of_joint = ((joint.low, "3,4"), (joint.high, "3,4")) if joint.low < joint.high else ()
    for end, dash in ((joint.likely, ""), *ends_of_joint):
        drawing.line([place(end, 0), place(end, _HOTTEST)], 1.5, dash)
    drawing.text(max(place(joint.likely, 0)[0], _LEFT + 30), _TOP - 6, "the joint", 12)
    drawing.line([(_LEFT, _TOP), (_LEFT, _FOOT), (_RIGHT, _FOOT)])
    for said, celsius in _degrees(metric=metric):
        drawing.text(_LEFT - 8, place(0, celsius)[1] + 4, said, 11, "right")
    steps = 5 if metric else 4  # widest is so many round millimetres, or inches
    for step in range(steps + 1):
        away = widest * step / steps
        said = f"{away * 1000:.0f}" if metric else number(away / 0.0254, ".3g")
        drawing.text(place(away, 0)[0], _FOOT + 18, said, 11)
    drawing.text(_LEFT - 8, _TOP - 10, "°C" if metric else "°F", 11, "right")
    unit = "mm from the bead's edge (25.4 to the inch)" if metric else "inches from the bead's edge"
    drawing.text(_RIGHT, _FOOT + 38, unit, 11, "right")
    return drawing.svg()


def _degrees(*, metric: bool) -> list[tuple[str, float]]:
    """Round temperatures along the axis: as written, and in degC."""
    if metric:
        return [(str(celsius), celsius) for celsius in range(0, 1001, 200)]
    return [(str(fahrenheit), (fahrenheit - 32) / 1.8) for fahrenheit in range(200, 1801, 400)]


def _at(turn: float, radius: float) -> tuple[float, float]:
    """A place round the joint, clockwise from 12 o'clock."""
    return _MIDDLE + radius * math.sin(turn), _MIDDLE + 20 - radius * math.cos(turn)


def _arc(start: float, end: float, radius: float) -> list[tuple[float, float]]:
    steps = max(2, round(abs(end - start) / math.tau * 72))
    return [_at(start + (end - start) * step / steps, radius) for step in range(steps + 1)]
