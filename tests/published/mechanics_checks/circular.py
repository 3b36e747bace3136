"""Rayleigh's test, which leakdx does not use: on the places of fasteners it is not exact, and counting is.

The two forms of it stand here alone, held against published figures, so that the difference to the exact count is shown
between numbers that are both right.
"""

import math
from collections.abc import Sequence

import numpy as np

from leakdx.mechanics import colocation
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, checks

CASE = (130.0, 90.0, 0.0, 145.0)
PINGOUIN = tuple(math.degrees(a) for a in (0.785, 1.570, 3.141, 0.839, 5.934))
JUPP = (55.0, 60.0, 65.0, 95.0, 100.0, 110.0, 260.0, 275.0, 285.0, 295.0)
FOUR_OF_TWELVE = (0.0, 30.0, 60.0, 90.0)


def mean_length(degrees: Sequence[float]) -> float:
    """Length of the mean direction."""
    return float(abs(np.exp(1j * np.radians(degrees)).mean()))


def series(degrees: Sequence[float]) -> float:
    """Rayleigh's chance by Wilkie's series."""
    n, z = len(degrees), len(degrees) * mean_length(degrees) ** 2
    terms = 1 + (2 * z - z**2) / (4 * n) - (24 * z - 132 * z**2 + 76 * z**3 - 9 * z**4) / (288 * n**2)
    return math.exp(-z) * terms


def closed(degrees: Sequence[float]) -> float:
    """Rayleigh's chance by Zar's closed form."""
    n, length = len(degrees), len(degrees) * mean_length(degrees)
    return math.exp(math.sqrt(1 + 4 * n + 4 * (n**2 - length**2)) - (1 + 2 * n))


def _checks() -> tuple[Check, ...]:
    four, three = (colocation.gathered(range(1, n + 1), 12) for n in (4, 3))
    astropy = [("four directions, Rayleigh's chance (series)", 0.2563487733797317, series(CASE)),
               ("four directions, length of the mean", 0.596197, mean_length(CASE))]  # fmt: skip
    pingouin = [("five directions, Rayleigh's chance (closed form)", 0.304844, closed(PINGOUIN)),
                ("five directions, n times the squared length", 1.236, 5 * mean_length(PINGOUIN) ** 2)]  # fmt: skip
    jupp = [("ten directions, Rayleigh's chance (series)", 0.6201354, series(JUPP)),
            ("ten directions, length of the mean", 0.2228717, mean_length(JUPP))]  # fmt: skip
    zar = [("ten directions, Rayleigh's chance (closed form)", 0.6197020, closed(JUPP)),
           ("places 1 to 4 of 12, Rayleigh's chance", 0.050687, closed(FOUR_OF_TWELVE))]  # fmt: skip
    exact = [("places 1 to 4 of 12, exact count", 0.0242424242, four[2]),
             ("places 1 to 3 of 12, exact count", 0.0545454545, three[2])]  # fmt: skip
    area = "Rayleigh's test, for comparison"
    return (
        *checks(area, "astropy's documentation", PAGE, "", 1e-6, astropy),
        *checks(area, "pingouin's documentation", PAGE, "", 5e-4, pingouin),
        *checks(area, "Mardia and Jupp, Directional Statistics, p. 93", PAGE, "", 1e-6, jupp),
        *checks(area, "Zar, Biostatistical Analysis", MEMORY, "", 1e-5, zar),
        *checks(area, "counting every way", OWN, "", 1e-8, exact),
    )


CHECKS = _checks()
