"""The clamp field: a beam on an elastic bed; and the passes of tightening."""

import math

import numpy as np

from leakdx.mechanics.beam import Strip, bed_load, bending_stiffness, waves
from leakdx.mechanics.clamp import Joint
from leakdx.mechanics.order import passes, round_order
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, checks
from tests.shipped import trade

AREA = "Clamp field"
HETENYI = "Hetényi, Beams on Elastic Foundation"
BORESI = "Boresi, Advanced Mechanics of Materials, chapter 10, example 1"
RAIL = Strip(200e9 * 36.9e-6, 14e6)
WHEEL, APART, EDGE = 170e3, 1.70, 99.1e-3 / 36.9e-6
BOLTED = Strip(bending_stiffness(207e9, 0.020, 0.018), 2e9)
WIDTH, BOLT = 0.020, 100e3


def _functions() -> tuple[Check, ...]:
    table = (
        (0, (1, 0, 1, 1)), (0.5, (0.82307, 0.29079, 0.24149, 0.53228)), (1, (0.50833, 0.30956, -0.11079, 0.19877)),
        (2, (0.06674, 0.12306, -0.17938, -0.05632)), (3 * math.pi / 4, (0, 0.06702, -0.13404, -0.06702)),
        (math.pi, (-0.04321, 0, -0.04321, -0.04321)),
    )  # fmt: skip
    rows = [
        (f"{name}({z:.4g})", value, float(ours))
        for z, values in table
        for name, value, ours in zip("ABCD", values, waves(np.array(z)), strict=True)
    ]
    return checks(AREA, HETENYI, OWN, "", 2e-4, rows)


def _rail() -> tuple[Check, ...]:
    def summed(away: tuple[float, ...]) -> tuple[float, float]:
        places = np.array(away)
        return float(RAIL.deflection(WHEEL, places).sum()), float(RAIL.moment(WHEEL, places).sum())

    one, middle, end = summed((0,)), summed((-APART, 0, APART)), summed((0, APART, 2 * APART))
    return (
        *checks(AREA, BORESI, PAGE, "1/m", 0.002, [("beta of the rail", 0.82986, RAIL.beta)]),
        *checks(AREA, BORESI, PAGE, "mm", 0.002, [("deflection, one load", 5.04, 1e3 * one[0]),
                                                  ("deflection, middle of three", 7.86, 1e3 * middle[0])]),
        *checks(AREA, BORESI, PAGE, "kN m", 0.002, [("moment, one load", 51.21, one[1] / 1e3),
                                                    ("moment, end of three", 37.02, end[1] / 1e3)]),
        *checks(AREA, BORESI, PAGE, "MPa", 0.002, [("stress, one load", 137.54, one[1] * EDGE / 1e6),
                                                   ("stress, end of three", 99.42, end[1] * EDGE / 1e6)]),
    )  # fmt: skip


def _bolted() -> tuple[Check, ...]:
    rows = [("pressure under one bolt", 55.818, BOLTED.beta * BOLT / (2 * WIDTH) / 1e6)]
    shares = []
    for pitch, middle, bolt, mean, share in ((40, 124.614, 125.441, 125.0, 0.9934), (80, 59.490, 65.951, 62.5, 0.9020),
                                             (100, 44.341, 56.519, 50.0, 0.7845)):  # fmt: skip
        around, zero = pitch / 1e3, np.zeros(1)
        ours = bed_load(BOLTED, around, zero, np.array([BOLT]), np.array([around / 2, 0])) / WIDTH / 1e6
        field = Joint(BOLTED, around, WIDTH, (0.0,)).field([BOLT])
        rows += [(f"between bolts, pitch {pitch} mm", middle, float(ours[0])),
                 (f"at a bolt, pitch {pitch} mm", bolt, float(ours[1])),
                 (f"mean, pitch {pitch} mm", mean, float(field.pressure.mean() / 1e6))]  # fmt: skip
        shares.append((f"between by at a bolt, pitch {pitch} mm", share, float(ours[0] / ours[1])))
    second = bending_stiffness(207e9, 0.020, 0.018) / 207e9 * 1e12
    return (
        *checks(AREA, f"{HETENYI}, endless row of loads", OWN, "MPa", 2e-5, rows),
        *checks(AREA, f"{HETENYI}, endless row of loads", OWN, "", 2e-4, shares),
        *checks(AREA, HETENYI, OWN, "1/mm", 1e-5, [("beta of the bolted strip", 0.0223272, BOLTED.beta / 1e3)]),
        *checks(AREA, HETENYI, OWN, "mm", 1e-4, [("1 by beta of the bolted strip", 44.79, 1e3 / BOLTED.beta)]),
        *checks(AREA, "second moment of a rectangle", OWN, "mm4", 1e-9, [("strip of 20 by 18 mm", 9720, second)]),
    )


def _lifting() -> tuple[Check, ...]:
    """One load on a long strip that may lift: a beam with free ends, so long that its ends just do not touch."""
    around = 400 / BOLTED.beta
    field = Joint(BOLTED, around, WIDTH, (around / 2,)).field([BOLT], points=8_000)
    touches = BOLTED.beta * (around - field.lifted[0].length) / 2
    peak = (math.cosh(math.pi) + 1) / math.sinh(math.pi)
    ours = float(field.pressure.max()) * WIDTH / (BOLTED.beta * BOLT / 2)
    source = f"{HETENYI}, beam with free ends under a load in its middle"
    rows = [("beta times half of the contact under one load", math.pi / 2, touches),
            ("peak under one load by that of a bed that pulls", peak, ours)]  # fmt: skip
    return checks(AREA, source, OWN, "", 0.01, rows)


def _passes() -> tuple[Check, ...]:
    source = "steps of 30, 70 and 100 per cent; ASME PCC-1, legacy"
    ours = passes(225, trade().passes.shares)
    rows = [(f"pass {number} to 225 lbf ft", value, at)
            for number, (value, at) in enumerate(zip((67.5, 157.5, 225), ours, strict=True), 1)]  # fmt: skip
    metric = passes(305.0590, trade().passes.shares)
    more = [(f"pass {number} to 305 N m", value, at)
            for number, (value, at) in enumerate(zip((91.5, 213.5, 305.1), metric, strict=True), 1)]  # fmt: skip
    area = "Tightening"
    return (*checks(area, source, MEMORY, "lbf ft", 1e-9, rows), *checks(area, source, MEMORY, "N m", 5e-4, more))


ORDERS = (
    ("1 3 2 4", MEMORY),
    ("1 5 3 7 2 6 4 8", MEMORY),
    ("1 7 4 10 2 8 5 11 3 9 6 12", PAGE),
    ("1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16", MEMORY),
    ("1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19", MEMORY),
)


def _orders() -> tuple[Check, ...]:
    found: tuple[Check, ...] = ()
    for order, status in ORDERS:
        theirs = [int(each) for each in order.split()]
        ours = [number for group in round_order(len(theirs)) for number in group.numbers]
        agree = sum(one == other for one, other in zip(ours, theirs, strict=True))
        row = (f"{len(theirs)} fasteners ({order}), steps that agree", float(len(theirs)), float(agree))
        found += checks("Tightening", "ASME PCC-1, legacy cross pattern", status, "", 0, [row])
    return found


CHECKS = (*_functions(), *_rail(), *_bolted(), *_lifting(), *_orders(), *_passes())
