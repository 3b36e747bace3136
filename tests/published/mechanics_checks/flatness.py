"""Flatness: shapes whose minimum zone and least-squares plane are worked out by hand."""

import math
from collections.abc import Sequence

import numpy as np

from leakdx.mechanics.plane import Array, Plan, least_squares, levelled, minimum_zone, peak_to_valley
from tests.published.mechanics_checks.check import OWN, Check, checks

AREA = "Flatness"
H = 1e-4
"""m: small beside the places, so that thickness along z and square to the slice are the same."""
CORNERS = ((0.1, 0.1), (0.1, -0.1), (-0.1, -0.1), (-0.1, 0.1))
SAID = "ISO 1101, minimum zone; by hand"


def square(*heights: float) -> Array:
    """Corners of a square, and its middle where there is a fifth."""
    places = (*CORNERS, (0.0, 0.0))[: len(heights)]
    return np.array([(*place, H * height) for place, height in zip(places, heights, strict=True)])


def ring(heights: Sequence[float], radius: float = 0.2) -> Array:
    turns = [math.tau * at / len(heights) for at in range(len(heights))]
    return np.array([(radius * math.sin(t), radius * math.cos(t), H * z) for t, z in zip(turns, heights, strict=True)])


def wave(count: int, what: str) -> Array:
    turns = [math.tau * at / count for at in range(count)]
    waves = {
        "saddle": [math.cos(2 * t) for t in turns],
        "three": [math.cos(3 * t) for t in turns],
        "tilted": [10 + 3 * math.cos(t) + 0.5 * math.cos(2 * t) for t in turns],
    }
    return ring(waves[what])


def one_high(count: int, *also: int) -> Array:
    return ring([float(at == 0 or at in also) for at in range(count)])


SHAPES: tuple[tuple[str, Array, float, float], ...] = (
    ("square, corners up and down in turn", square(1, -1, 1, -1), 2, 2),
    ("square, one corner up", square(1, 0, 0, 0), 0.5, 0.5),
    ("square, two neighbours up: tilt alone", square(1, 1, 0, 0), 0, 0),
    ("square, its middle up", square(0, 0, 0, 0, 1), 1, 1),
    ("square, corners 3, 1, 4, 2", square(3, 1, 4, 2), 2, 2),
    *((f"ring of {n}, one up", one_high(n), 1 - 2 * (1 - math.cos(math.tau / n)) / n, (1 + math.cos(math.tau / n)) / 2)
      for n in (8, 12, 16)),
    ("ring of 12, two opposite up", one_high(12, 6), 1, 1),
    ("ring of 16, a saddle", wave(16, "saddle"), 2, 2),
    ("ring of 12, three waves", wave(12, "three"), 2, 2),
    ("ring of 12, tilt and a saddle", wave(12, "tilted"), 0.999999, 0.999999),
)  # fmt: skip
"""Each with the range about its plane of least squares and the minimum zone, both by its height."""

FIGURES = ((8, 0.926777, 0.853553), (12, 0.977671, 0.933013), (16, 0.990485, 0.961940))


def _shapes() -> tuple[Check, ...]:
    zones = [(f"{name}: minimum zone", zone, minimum_zone(points).thickness / H) for name, points, _, zone in SHAPES]
    squares = [
        (f"{name}: least squares", about, peak_to_valley(least_squares(points)) / H)
        for name, points, about, _ in SHAPES
    ]
    return checks(AREA, SAID, OWN, "", 1e-6, [*zones, *squares])


def _planes() -> tuple[Check, ...]:
    """How high the plane of least squares stands at the middle: heights less residuals, these shapes being level."""
    shapes = (
        ("square, one corner up", square(1, 0, 0, 0), 1 / 4),
        ("square, its middle up", square(0, 0, 0, 0, 1), 1 / 5),
        ("ring of 12, two opposite up", one_high(12, 6), 1 / 6),
    )
    heights = [
        (f"{name}: plane of least squares at the middle", at, float(np.mean(points[:, 2] - least_squares(points)) / H))
        for name, points, at in shapes
    ]
    datum = Plan(square(1, 0, 0, 0)[1:, :2])
    three = datum.slice(square(1, 0, 0, 0)[1:, 2])
    tilted = square(1, 0, 0, 0) + square(3, -3, -4, 2) * (0, 0, 1)  # the datum has to take the tilt off
    others = tilted[1:].mean(axis=0)
    away, up = tilted[0, :2] - others[:2], tilted[0, 2] - others[2]
    over = (up - float(datum.slice(tilted[1:, 2]).slopes @ away)) / H
    through = [
        ("square, one corner up: the slice of the other three is nothing thick", 0.0, three.thickness / H),
        ("square, one corner up, tilted: over the datum of the other three", 1.0, over),
    ]
    return checks(AREA, SAID, OWN, "", 1e-6, [*heights, *through])


def _figures() -> tuple[Check, ...]:
    rows = []
    for count, about, zone in FIGURES:
        points = one_high(count)
        rows.append((f"ring of {count}, one up, as a figure: least squares", about,
                     peak_to_valley(least_squares(points)) / H))  # fmt: skip
        rows.append((f"ring of {count}, one up, as a figure: minimum zone", zone, minimum_zone(points).thickness / H))
    return checks(AREA, SAID, OWN, "", 1e-6, rows)


def _steep() -> tuple[Check, ...]:
    """A grid so steep that thickness along z is not what counts."""
    grid = [(i, j) for j in range(3) for i in range(3)]
    points = np.array([(*place, z) for place, z in zip(grid, (0, 2, 4, 1, 5, 3, 2, 3, 7), strict=True)], float)
    along = Plan(points[:, :2]).slice(points[:, 2])
    rows = [
        ("steep grid: along z", 3.0, along.thickness),
        ("steep grid: the same, square to it", 1.732, along.thickness / math.hypot(*along.slopes, 1)),
        ("steep grid: about the nearest plane", 1.507, peak_to_valley(levelled(points)[:, 2])),
        ("steep grid: the thinnest, by trying every plane", math.sqrt(1.5), minimum_zone(points).thickness),
    ]
    return checks(AREA, SAID, OWN, "", 5e-4, rows)


CHECKS = (*_shapes(), *_planes(), *_figures(), *_steep())
