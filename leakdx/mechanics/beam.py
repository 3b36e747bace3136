"""A strip pressed on an elastic bed by point loads: the beam on elastic foundation.

``EI y'''' + k y = P`` (Hetényi, Beams on Elastic Foundation, 1946; from memory). Under one load ``y = P beta / 2k A``
and ``M = P / 4 beta C`` with ``beta = (k / 4 EI)^(1/4)``; with ``w = exp(-(1 - i) z)`` the four functions are parts of
one complex number: ``A = Re (1 - i) w``, ``B = Im w``, ``C = Re (1 + i) w``, ``D = Re w``. A strip that closes on
itself takes the same waves, each round and round for ever: a geometric series (own derivation). An endless row of
equal loads is a closed strip with one load and the pitch for its length.
Lengths in m, forces in N, ``k`` in N/m for each metre of strip; arrays have one value for each place.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leakdx.mechanics.given import positive

Numbers = NDArray[np.float64]

_TURN = 1 - 1j


@dataclass(frozen=True)
class Strip:
    """``bending``: EI, N m^2; ``bed``: k, N/m^2."""

    bending: float
    bed: float

    def __post_init__(self) -> None:
        positive("the bending stiffness", self.bending, "give the flange's width and thickness")
        positive("the stiffness of the bed", self.bed, "give the joint's width and what seals it")

    @property
    def beta(self) -> float:
        """1/m; a load is hardly felt beyond three times its inverse."""
        return float((self.bed / (4 * self.bending)) ** 0.25)

    def deflection(self, load: float, away: Numbers) -> Numbers:
        """How far (m) an endless strip is pressed in, so far from a load."""
        return load * self.beta / (2 * self.bed) * waves(self.beta * abs(away))[0]

    def moment(self, load: float, away: Numbers) -> Numbers:
        """Bending moment (N m) in an endless strip, so far from a load."""
        return load / (4 * self.beta) * waves(self.beta * abs(away))[2]


def waves(z: Numbers) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """A, B, C and D of ``z`` = beta times the distance, 0 or more."""
    wave = np.exp(-_TURN * z)
    return (_TURN * wave).real, wave.imag, (_TURN.conjugate() * wave).real, wave.real


def bending_stiffness(modulus: float, width: float, thickness: float) -> float:
    """EI (N m^2) of a strip from its modulus (Pa) and section (m)."""
    return modulus * width * thickness**3 / 12


def both_bend(one: float, other: float) -> float:
    """EI of the one strip that stands for two pressed against each other: their bends add (own derivation)."""
    return one * other / (one + other)


def bed_load(strip: Strip, around: float, places: Numbers, loads: Numbers, at: Numbers) -> Numbers:
    """Load on the bed (N/m) of a closed strip at the places ``at``; less than 0 where the bed would have to pull.

    ``around``: the strip's length; ``places``: of the ``loads``, no two at one place, 0 to ``around``, rising. At any
    place only two numbers are needed: the waves of all loads behind it, and of all before it.
    """

    def wave(away: Numbers) -> NDArray[np.complex128]:
        return np.asarray(np.exp(-_TURN * strip.beta * away))

    behind = (places[:, None] - places[None, :]) % around
    rounds = 1 - np.exp(-_TURN * strip.beta * around)
    ahead, back = wave(behind) @ loads / rounds, wave(behind).T @ loads / rounds
    last = np.searchsorted(places, at % around, side="right") - 1
    following = (last + 1) % len(places)
    onward = around - (at - places[following]) % around
    met = ahead[last] * wave((at - places[last]) % around) + back[following] * wave(onward)
    return np.asarray(strip.beta / 2 * (_TURN * met).real)
