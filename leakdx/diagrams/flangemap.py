"""The flange as a map in plain characters: fasteners and places on its line, and what lies along it.

Seen from the pinion, 12 o'clock on top. Everything has a letter or a shape of its own; colour says nothing.
"""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import cycle, pairwise

import numpy as np

from leakdx.diagrams.canvas import Canvas, Point
from leakdx.mechanics.beam import Numbers
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.places import Arc

UNREAD, READ, WEAK, UNSURE, STRETCHED, FAR = ".", "o", "X", "?", "S", "*"
WET, LOW, WELD = "~", "L", "W"
WORDS: Mapping[str, str] = {
    UNREAD: "not read", READ: "read", WEAK: "lost clamp", UNSURE: "too close to say", STRETCHED: "may be stretched",
    FAR: "carries the figure", WET: "wet", LOW: "low face", WELD: "weld",
}  # fmt: skip
"""What each mark says, for the legend."""
_TRACKS = (0.78, 0.6, 0.42, 0.28)
"""How far from the middle one stretch after the other lies, as a share of the way to the line."""
_STEPS, _LINE_STEPS, _FINE = 160, 120, 1440
_LEAST_WIDE = math.radians(14)
"""How wide a place without a width is drawn, so that it is seen."""


@dataclass(frozen=True)
class Spot:
    """Something at one place of the line. ``turn``: rad clockwise from 12; ``said``: its mark and name."""

    name: str
    turn: float
    said: str


@dataclass(frozen=True)
class Stretch:
    """Something along the line, drawn with its mark."""

    mark: str
    arc: Arc


@dataclass(frozen=True)
class FlangeMap:
    """The rows, and where each spot stands in them: row, column of its first letter, letters."""

    rows: tuple[str, ...]
    spots: Mapping[str, tuple[int, int, int]]


def flange_map(
    line: Outline, spots: Sequence[Spot], stretches: Sequence[Stretch], columns: int, rows: int
) -> FlangeMap:
    """The map in so many columns and rows. Spots never hide one another; where it is tight they move a little."""
    widest = max((len(spot.said) for spot in spots), default=1)
    canvas = Canvas(line.wide / 2, line.high / 2, columns, rows, margin=((widest + 1) // 2, 0))
    canvas.dots(line.spots(np.linspace(0, line.around, _LINE_STEPS)), "-" if _far_apart(spots) else " ")
    for stretch, track in zip(stretches, cycle(_TRACKS), strict=False):
        canvas.dots(_along(line, stretch.arc.at_least(_LEAST_WIDE), track), stretch.mark)
    points = _points(line, np.array([spot.turn for spot in spots]))
    stand = {s.name: (*canvas.put_free(at, s.said), len(s.said)) for s, at in zip(spots, points, strict=True)}
    return FlangeMap(tuple(canvas.whole()), stand)


def legend(marks: Collection[str], words: Mapping[str, str] = WORDS) -> str:
    """What the marks say, each once."""
    return "  ".join(f"{mark} {said}" for mark, said in words.items() if mark in marks)


def _far_apart(spots: Sequence[Spot]) -> bool:
    """Whether the line has to be drawn between them to be seen."""
    turns = sorted(spot.turn for spot in spots)
    ends = [*turns, turns[0] + math.tau] if turns else [0, math.tau]
    return max(after - turn for turn, after in pairwise(ends)) > math.tau / 10


def _along(line: Outline, arc: Arc, track: float) -> list[Point]:
    """Points from one end of an arc to the other."""
    steps = max(2, round(arc.width / math.tau * _STEPS))
    return _points(line, arc.start + arc.width * np.linspace(0, 1, steps + 1), track)


def _points(line: Outline, turns: Numbers, share: float = 1.0) -> list[Point]:
    """Where these turns meet the line, or so great a share of the way to it."""
    known, reaches = _reaches(line)
    reach = share * np.interp(turns % math.tau, known, reaches)
    return list(zip((reach * np.sin(turns)).tolist(), (reach * np.cos(turns)).tolist(), strict=True))


@lru_cache(16)
def _reaches(line: Outline) -> tuple[Numbers, Numbers]:
    """Turns once round the line, and how far it stands from the middle at each; finer than any character."""
    right, up = line.points(np.linspace(0, line.around, _FINE, endpoint=False))
    turns, reaches = np.arctan2(right, up) % math.tau, np.hypot(right, up)
    order = np.argsort(turns)
    return np.append(turns[order], math.tau), np.append(reaches[order], reaches[order[0]])
