"""Places round a ring: directions, and how often chance alone gathers so many."""

import math
from collections.abc import Sequence

import numpy as np

from leakdx.mechanics.colocation import direction, gathered, share_of_ways, wave
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, checks

AREA = "Places"
ASTROPY = (130.0, 90.0, 0.0, 145.0)
PINGOUIN = (0.785, 1.570, 3.141, 0.839, 5.934)
MARDIA = (55.0, 60.0, 65.0, 95.0, 100.0, 110.0, 260.0, 275.0, 285.0, 295.0)
ONE_WAY, OTHER_WAY = (0.785, 1.570, 3.141, 3.839, 5.934), (0.593, 1.291, 2.879, 3.892, 6.108)
"""Two directions of each of five things, rad."""
WIND = (327, 91, 88, 305, 344, 270, 67, 21, 281, 8, 204, 86, 333, 18, 57, 6, 11, 27, 84)
OZONE = (28.0, 85.2, 80.5, 4.7, 45.9, 12.7, 72.5, 56.6, 31.5, 112.0, 20.0, 72.5, 16.0, 45.9, 32.6, 56.6, 52.6, 91.8,
         55.2)  # fmt: skip
MAIZE = (49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48)
"""Differences in height of fifteen pairs, eighths of an inch."""


def turns(degrees: Sequence[float]) -> list[float]:
    return [math.radians(each) for each in degrees]


def middle(places: Sequence[float]) -> float:
    return math.degrees(direction(places)[0] or 0)


def series(places: Sequence[float]) -> float:
    """Rayleigh's chance by the series in Mardia and Jupp, from our resultant length."""
    n = len(places)
    z = n * direction(places)[1] ** 2
    return math.exp(-z) * (1 + (2 * z - z**2) / (4 * n) - (24 * z - 132 * z**2 + 76 * z**3 - 9 * z**4) / (288 * n**2))


def short(places: Sequence[float]) -> float:
    """Rayleigh's chance by the short form of Zar, from our resultant length."""
    n = len(places)
    r = n * direction(places)[1]
    return math.exp(math.sqrt(1 + 4 * n + 4 * (n**2 - r**2)) - (1 + 2 * n))


def correlation(one: Sequence[float], other: Sequence[float]) -> tuple[float, float]:
    """Of directions in pairs, by how far each lies from our middle, and the chance of it (Jammalamadaka, SenGupta)."""
    x, y = (np.sin(np.asarray(turns) - (direction(turns)[0] or 0)) for turns in (one, other))
    found = float((x * y).sum() / np.sqrt((x**2).sum() * (y**2).sum()))
    z = found * math.sqrt(float((x**2).sum() * (y**2).sum() / (x**2 * y**2).sum()))
    return found, math.erfc(abs(z) / math.sqrt(2))


def _directions() -> tuple[Check, ...]:
    four, five, ten = turns(ASTROPY), list(PINGOUIN), turns(MARDIA)
    return (
        *checks(AREA, "documentation of astropy, circular statistics", PAGE, "", 1e-6, [
            ("130 90 0 145 deg: Rayleigh by the series", 0.2563487733797317, series(four)),
            ("130 90 0 145 deg: mean resultant length", 0.596197, direction(four)[1]),
            ("130 90 0 145 deg: mean direction", 101.169, round(middle(four), 3)),
        ]),
        *checks(AREA, "documentation of pingouin, Rayleigh", PAGE, "", 5e-4, [
            ("five directions: n times the squared length", 1.236, 5 * direction(five)[1] ** 2),
            ("five directions: Rayleigh by the short form", 0.304844, short(five)),
        ]),
        *checks(AREA, "documentation of pingouin, circular correlation", PAGE, "", 5e-4, [
            ("five pairs of directions: correlation", 0.942, correlation(ONE_WAY, OTHER_WAY)[0]),
            ("five pairs of directions: chance", 0.0658, correlation(ONE_WAY, OTHER_WAY)[1]),
        ]),
        *checks(AREA, "Mardia and Jupp p. 93", PAGE, "", 1e-6, [
            ("ten directions: mean resultant length", 0.2228717, direction(ten)[1]),
            ("ten directions: n times the squared length", 0.4967179, 10 * direction(ten)[1] ** 2),
            ("ten directions: Rayleigh by the series", 0.6201354, series(ten)),
            ("ten directions: Rayleigh by the short form", 0.6197020, short(ten)),
            ("ten directions: mean direction", 48.1033, middle(ten)),
        ]),
    )  # fmt: skip


def _ring() -> tuple[Check, ...]:
    """Fasteners of twelve; Rayleigh beside the count shows why it is not used."""
    twelve = [math.tau * at / 12 for at in range(12)]
    rows = []
    for name, some, length, chance in (
        ("four side by side", (0, 1, 2, 3), 0.836516, 12 / 495),
        ("three side by side", (0, 1, 2), 0.910684, 12 / 220),
        ("two and the next but one", (0, 1, 3), 0.798057, 36 / 220),
        ("three evenly spread", (0, 4, 8), 0, 1),
    ):
        found = gathered(twelve, some)
        rows += [(f"{name} of twelve: mean resultant length", length, found.length),
                 (f"{name} of twelve: chance", chance, found.chance)]  # fmt: skip
    four = twelve[:4]
    rows += [("four side by side of twelve: middle, deg", 45, middle(four)),
             ("four side by side of twelve: Rayleigh, which is not exact", 0.050687, short(four))]  # fmt: skip
    return checks(AREA, "count of all ways", OWN, "", 1e-5, rows)


def _wave() -> tuple[Check, ...]:
    found = wave(turns(WIND), OZONE)
    return checks(AREA, "Johnson and Wehrly 1977, ozone by wind; R2 of Mardia 1976", MEMORY, "", 1e-3, [
        ("share of the spread in one wave", 0.521995, found.share),
        ("n times that share", 9.918, len(WIND) * found.share),
        ("chance by chi squared", 0.00702, math.exp(-len(WIND) * found.share / 2)),
        ("F with 2 and 16 degrees of freedom", 8.736, found.share / 2 / ((1 - found.share) / 16)),
        ("chance by F", 0.00273, round(found.chance, 5)),
    ])  # fmt: skip


def _ways() -> tuple[Check, ...]:
    """Permutation tests from elsewhere, counted by what counts fasteners here."""
    six = np.arange(1.0, 7.0)
    sizes = np.abs(np.array(MAIZE, float))

    def patterns(beyond: float) -> float:
        """Sign patterns whose sum is at least so much: the plus signs are taken, any number of them."""
        return sum(
            math.comb(15, taken) * share_of_ways(sizes, taken, lambda sums: 2 * sums - sizes.sum() >= beyond)
            for taken in range(16)
        )

    return (
        *checks(AREA, "count of all ways", OWN, "", 1e-9, [
            ("1 2 3 against 4 5 6, both sides", 0.1, 2 * share_of_ways(six, 3, lambda sums: sums <= 6)),
        ]),
        *checks(AREA, "Darwin's maize, Fisher 1935 section 21", MEMORY, "", 1e-6, [
            ("sign patterns of at least the sum", 863, patterns(314)),
            ("sign patterns of more", 835, patterns(315)),
            ("chance, both sides", 0.0526733, 2 * patterns(314) / 2**15),
        ]),
    )  # fmt: skip


CHECKS = (*_directions(), *_ring(), *_wave(), *_ways())
