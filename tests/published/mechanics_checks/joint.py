"""Flatness, the beam on an elastic bed, cross patterns, and where places stand."""

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from leakdx.mechanics import clamp, colocation
from leakdx.mechanics.clamp import Flange
from leakdx.mechanics.minimum_zone import least_squares, minimum_zone
from leakdx.mechanics.order import crosswise, passes
from leakdx.mechanics.trade import trade
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, checks

Numbers = NDArray[np.float64]
HIGH = 1e-5
"""m; low enough that square to the face and straight up are the same."""


def _ring(count: int, height: Callable[[Numbers], Numbers]) -> Numbers:
    turns = np.arange(count) * math.tau / count
    return np.column_stack([0.2 * np.cos(turns), 0.2 * np.sin(turns), HIGH * height(turns)])


def _square(*heights: float) -> Numbers:
    corners = [(0.1, 0.1), (0.1, -0.1), (-0.1, -0.1), (-0.1, 0.1), (0, 0)]
    return np.array([(x, y, HIGH * z) for (x, y), z in zip(corners, heights, strict=False)])


def _one_up(count: int, *which: int) -> Numbers:
    return _ring(count, lambda turns: np.isin(np.arange(count), which).astype(float) + 0 * turns)


def _flatness() -> tuple[Check, ...]:
    """(points, least squares, minimum zone), in units of the height that is put in."""
    bent: list[tuple[str, Numbers, float, float]] = [
        ("corners up, down, up, down", _square(1, -1, 1, -1), 2, 2),
        ("one corner up", _square(1, 0, 0, 0), 0.5, 0.5),
        ("two neighbouring corners up (a tilt)", _square(1, 1, 0, 0), 0, 0),
        ("any four corners, 3, 1, 4, 2", _square(3, 1, 4, 2), 2, 2),
        ("four corners and the middle up", _square(0, 0, 0, 0, 1), 1, 1),
        ("opposite two of a ring of 12 up", _one_up(12, 0, 6), 1, 1),
        ("saddle on a ring of 16", _ring(16, lambda t: np.cos(2 * t)), 2, 2),
        ("three waves on a ring of 12", _ring(12, lambda t: np.cos(3 * t)), 2, 2),
        ("tilt, shift and two waves", _ring(12, lambda t: 1 + 0.3 * np.cos(t) + 0.05 * np.cos(2 * t)), 0.1, 0.1),
    ]
    for count in (8, 12, 16):
        up = 1 - math.cos(math.tau / count)
        bent.append((f"one of a ring of {count} up", _one_up(count, 0), 1 - 2 * up / count, 1 - up / 2))
    rows = []
    for what, points, squares, zone in bent:
        rows.append((f"{what}, least squares", squares, float(np.ptp(least_squares(points))) / HIGH))
        rows.append((f"{what}, minimum zone", zone, minimum_zone(points).width / HIGH))
    grid = np.array([(x, y) for y in range(3) for x in range(3)], float)
    steep = np.column_stack([grid, [0, 2, 4, 1, 5, 3, 2, 3, 7]])
    trap = [("a steep 3 x 3 grid, least squares", 1.507, float(np.ptp(least_squares(steep))))]
    return (
        *checks("Flatness", "plane geometry", OWN, "of the height", 1e-6, rows),
        *checks("Flatness", "plane geometry", OWN, "", 2e-4, trap),
    )


def _shapes() -> tuple[Check, ...]:
    table = {
        0.0: (1, 0, 1, 1),
        0.5: (0.82307, 0.29079, 0.24149, 0.53228),
        1.0: (0.50833, 0.30956, -0.11079, 0.19877),
        2.0: (0.06674, 0.12306, -0.17938, -0.05632),
        0.75 * math.pi: (0, 0.06702, -0.13404, -0.06702),
        math.pi: (-0.04321, 0, -0.04321, -0.04321),
    }
    rows = []
    for z, values in table.items():
        for name, value, ours in zip("ABCD", values, clamp.shapes(np.array([z])), strict=True):
            rows.append((f"{name} at {z:.4g}", float(value), float(ours[0])))
    return checks("Beam on an elastic bed", "Hetényi 1946, functions of the endless beam", OWN, "", 1e-4, rows)


def _beams() -> tuple[Check, ...]:
    """An endless beam: deflection in mm, moment in kN m, stress in MPa; one load, then three at 1.70 m."""
    area, arm, stiffness, load = 36.9e-6, 0.0991, 14.0e6, 170e3
    beta = clamp.beta(stiffness, 200e9 * area)
    one, three = np.array([0.0]), np.array([-1.7, 0.0, 1.7])

    def deflection(away: Numbers) -> float:
        return 1e3 * load * float(clamp.line_load(away, beta).sum()) / stiffness

    def moment(away: Numbers) -> float:
        return load * float(clamp.bending_moment(away, beta).sum()) / 1e3

    rows = [
        ("beta, 1/m", 0.82986, beta),
        ("one load, deflection, mm", 5.04, deflection(one)),
        ("one load, moment, kN m", 51.21, moment(one)),
        ("one load, stress, MPa", 137.54, moment(one) * arm / area / 1e3),
        ("three loads, deflection, mm", 7.86, deflection(three)),
        ("three loads, moment at the end, kN m", 37.02, moment(three - 1.7)),
        ("three loads, stress, MPa", 99.42, moment(three - 1.7) * arm / area / 1e3),
    ]
    return checks("Beam on an elastic bed", "Boresi, Advanced Mechanics of Materials, chapter 10, example 1", PAGE, "",
                  2e-3, rows)  # fmt: skip


def _strips() -> tuple[Check, ...]:
    """A steel strip 20 mm wide and 18 mm thick under a row of fasteners of 100 kN, on a ring of twenty."""
    flange = Flange(0.020, 0.018, 2000e6 / 0.020)
    alone = 100e3 * float(clamp.line_load(np.array([0.0]), flange.beta)[0]) / flange.width / 1e6
    rows = [("beta, 1/mm", 0.0223272, flange.beta / 1e3), ("one fastener, MPa", 55.818, alone)]
    for apart, middle, at, mean in ((40, 124.614, 125.441, 125), (80, 59.490, 65.951, 62.5), (100, 44.341, 56.519, 50)):
        field = clamp.clamp(flange, 20 * apart / 1e3, [100e3] * 20, 100e3, 2000)
        for what, value, ours in (
            ("midway", middle, field.pressure[50]), ("at one", at, field.pressure[0]), ("mean", mean, field.mean)
        ):  # fmt: skip
            rows.append((f"fasteners {apart} mm apart, {what}, MPa", float(value), float(ours) / 1e6))
    return checks("Beam on an elastic bed", "Hetényi 1946, summed over a row", OWN, "", 2e-5, rows)


ORDERS = {
    4: "1 3 2 4",
    8: "1 5 3 7 2 6 4 8",
    12: "1 7 4 10 2 8 5 11 3 9 6 12",
    16: "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16",
    20: "1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19",
}


def _orders() -> tuple[Check, ...]:
    found: tuple[Check, ...] = ()
    for count, order in ORDERS.items():
        agree = sum(str(ours) == theirs for ours, theirs in zip(crosswise(count), order.split(), strict=True))
        row = (f"{count} fasteners ({order}), steps that agree", float(count), float(agree))
        status = PAGE if count == 12 else MEMORY
        found += checks("Cross patterns", "ASME PCC-1, legacy cross pattern", status, "", 0, [row])
    steps = passes(225, trade().passes.shares)
    rows = [
        (f"pass {number} to 225 lbf ft", value, step.torque)
        for number, (value, step) in enumerate(zip((67.5, 157.5, 225.0), steps, strict=False), 1)
    ]
    return (*found, *checks("Cross patterns", "ASME PCC-1, passes", MEMORY, "lbf ft", 1e-9, rows))


def _mean_direction(places: Sequence[int], count: int) -> tuple[float, float]:
    direction, turn, _ = colocation.gathered(places, count)
    return direction, 360 * turn


def _places() -> tuple[Check, ...]:
    rows = []
    for places, value in (((1, 2, 3, 4), 12 / 495), ((1, 2, 3), 12 / 220), ((1, 2, 4), 36 / 220), ((1, 5, 9), 1.0)):
        name = f"places {', '.join(map(str, places))} of 12, chance to stand as close"
        rows.append((name, value, colocation.gathered(places, 12)[2]))
    four, turn = _mean_direction((1, 2, 3, 4), 12)
    rows += [
        ("places 1 to 4 of 12, length of the mean direction", 0.8365163, four),
        ("places 1 to 4 of 12, mean direction in degrees from place 1", 45.0, turn),
        ("places 1 to 3 of 12, length of the mean direction", 0.9106836, _mean_direction((1, 2, 3), 12)[0]),
        (
            "4, 5, 6 against 1, 2, 3, one-sided",
            1 / 20,
            colocation.greater_by_chance(np.array([4.0, 5, 6]), np.array([1.0, 2, 3])),
        ),
    ]
    return checks("Where places stand", "counting every way", OWN, "", 1e-6, rows)


CHECKS = (*_flatness(), *_shapes(), *_beams(), *_strips(), *_orders(), *_places())
