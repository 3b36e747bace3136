"""Clamp along the joint: a flange as a beam on an elastic bed, pressed by its fasteners.

The flange's edge is a straight beam bent round: its ends meet, so that each fastener presses on itself once round
(Hetényi 1946, whose four shapes A, B, C, D these are, summed here over all rounds in closed form; own derivation). The
bed is what lies between the faces. It cannot pull: where the sum of all fasteners would lift the flange off, those
places are let go, one set after another, until what is left only presses (Newton's method on the lifted set).

Lengths along the joint in m, forces in N, line loads in N/m; pressures are line loads over the flange's width.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from leakdx.mechanics.given import MeasureError, between, not_negative, positive

Numbers: TypeAlias = NDArray[np.float64]

STEEL = 207e9
"""Young's modulus, Pa."""
POINTS = 720
REACH = 3 * np.pi / 4
"""Beta times distance at which one fastener's pressure first comes to nothing."""
_ROUNDS = 60


def shapes(z: Numbers) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Hetényi's A, B, C, D at ``z`` = beta times distance."""
    fade, cos, sin = np.exp(-z), np.cos(z), np.sin(z)
    return fade * (cos + sin), fade * sin, fade * (cos - sin), fade * cos


@dataclass(frozen=True)
class Flange:
    """The edge that is pressed: its width and thickness (m), and the bed's stiffness (Pa for each m pressed in)."""

    width: float
    thickness: float
    bed: float
    modulus: float = STEEL

    def __post_init__(self) -> None:
        between("the flange's width in m", self.width, 0.002, 0.3, "give a length such as 20 mm")
        between("the flange's thickness in m", self.thickness, 0.002, 0.3, "give a length such as 18 mm")
        positive("the bed's stiffness", self.bed, "give pressure for each length it is pressed in, such as 100 N/mm^3")

    @property
    def bending(self) -> float:
        """E I, N m2."""
        return self.modulus * self.width * self.thickness**3 / 12

    @property
    def stiffness(self) -> float:
        """Of the bed for each metre of joint, N/m2."""
        return self.bed * self.width

    @property
    def beta(self) -> float:
        """1/m; a fastener is felt for about 3 pi / 4 over it on either side."""
        return beta(self.stiffness, self.bending)


def beta(stiffness: float, bending: float) -> float:
    """The fourth root of k / 4 E I, 1/m."""
    return float((stiffness / (4 * bending)) ** 0.25)


def bed_of(modulus: float, thickness: float) -> float:
    """Stiffness of a bed (N/m3) from what lies between the faces: its modulus (Pa) and thickness (m)."""
    positive("the modulus of what lies between", modulus, "give a pressure such as 300 MPa")
    return modulus / positive("the thickness of what lies between", thickness, "give a length such as 0.5 mm")


def line_load(away: Numbers, beta: float, length: float = np.inf) -> Numbers:
    """Load of the bed (1/m) at distances from a force of 1 on a beam that closes after ``length``, or never does."""
    return beta / 2 * _summed(1 - 1j, away, beta, length)


def bending_moment(away: Numbers, beta: float, length: float = np.inf) -> Numbers:
    """Bending moment (m) at distances from a force of 1."""
    return _summed(1 + 1j, away, beta, length) / (4 * beta)


def _summed(factor: complex, away: Numbers, beta: float, length: float) -> Numbers:
    """Real part of factor times exp(-(1 - i) beta distance), over every way round."""
    rate = (1 - 1j) * beta
    if not np.isfinite(length):
        return np.real(factor * np.exp(-rate * np.abs(away)))
    near = np.abs(away) % length
    turns = np.exp(-rate * near) + np.exp(-rate * (length - near))
    return np.real(factor * turns / (1 - np.exp(-rate * length)))


@dataclass(frozen=True)
class Clamp:
    """The field: places along the joint (m), the bed's pressure there (Pa), and that of the sound joint."""

    length: float
    along: Numbers
    pressure: Numbers
    sound: Numbers
    forces: Numbers

    @property
    def lifted(self) -> NDArray[np.bool_]:
        """Where the faces part."""
        return np.asarray(self.pressure <= 0)

    @cached_property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """(start, end) of each stretch where the faces part, as shares of the way round; an end may pass 1."""
        return _stretches(self.lifted)

    @property
    def own_spans(self) -> tuple[tuple[float, float], ...]:
        """Those in which the sound joint is clamped well at some place, half as much as where it is clamped most."""
        count = len(self.sound)

        def pressed(span: tuple[float, float]) -> float:
            places = np.arange(round(span[0] * count), round(span[1] * count) + 1) % count
            return float(self.sound[places].max())

        return tuple(span for span in self.spans if pressed(span) > self.sound.max() / 2)

    @property
    def least(self) -> float:
        """The least pressure, Pa; 0 where the faces part."""
        return float(self.pressure.min())

    @property
    def least_at(self) -> float:
        """Where it is, as a share of the way round: the middle of the first place or stretch that has it."""
        if self.spans:
            start, end = max(self.spans, key=lambda span: span[1] - span[0])
            return (start + end) / 2 % 1
        return float(self.along[int(self.pressure.argmin())] / self.length)

    @property
    def mean(self) -> float:
        """All forces over the whole face, Pa."""
        return float(self.pressure.mean())

    @property
    def share_of_sound(self) -> float:
        """The least pressure as a share of what the sound joint has at its own least place."""
        return self.least / float(self.sound.min()) if self.sound.min() > 0 else float(self.least > 0)


def _stretches(off: NDArray[np.bool_]) -> tuple[tuple[float, float], ...]:
    """(first, last) of each run round a closed row of places, as shares of it."""
    count = len(off)
    if off.all() or not off.any():
        return ()
    found = []
    for start in np.flatnonzero(off & ~np.roll(off, 1)):
        run = next(step for step in range(1, count) if not off[(start + step) % count])
        found.append((float(start) / count, float(start + run - 1) / count))
    return tuple(found)


def clamp(flange: Flange, length: float, forces: Sequence[float], sound: float, points: int = POINTS) -> Clamp:
    """The clamp round a joint with fasteners at even distances, the first at its start.

    ``forces``: preload of each (N), 0 for one that is missing; ``sound``: what each should have. MeasureError for
    fewer than three fasteners, forces less than 0 or no numbers, or none at all.
    """
    between("the count of fasteners", len(forces), 3, 60, "count those of the joint")
    for number, force in enumerate(forces, 1):
        not_negative(f"the preload of fastener {number}", force, "give a force such as 96 kN, or 0 where it is lost")
    positive("the sound preload", sound, "give a force such as 96 kN")
    if not any(forces):
        raise MeasureError("every fastener is lost; there is no clamp left to reckon")
    positive("the length of the joint", length, "give the size of its bolt line")
    along = np.arange(points) * length / points
    places = np.arange(len(forces)) * length / len(forces)
    kernel = line_load(np.subtract.outer(along, places), flange.beta, length)
    given = np.asarray(forces, float)
    pressed = pressing(kernel @ given, flange.beta, length)
    level = pressing(kernel @ np.full(len(forces), sound), flange.beta, length)
    return Clamp(length, along, pressed / flange.width, level / flange.width, given)


def pressing(load: Numbers, beta: float, length: float) -> Numbers:
    """The load of a bed that only presses (n,), from that of one that pulls too at n even places round the joint.

    Where it would pull it is let go: what it pulled there is taken off as a load of its own, ``r = load + G r`` on the
    lifted places. MeasureError where no set of places comes to rest, which no real joint does.
    """
    step = length / len(load)
    one = line_load(np.arange(len(load), dtype=np.float64) * step, beta, length) * step
    one /= one.sum()  # the bed bears all that is put on it, however coarse the places are
    lifted = load < 0
    found = load
    for _ in range(_ROUNDS):
        if not lifted.any():
            return np.maximum(load, 0)
        where = np.flatnonzero(lifted)
        among = one[np.abs(where[:, None] - where[None, :])]
        try:
            pulled = np.linalg.solve(np.eye(len(where)) - among, load[where])
        except np.linalg.LinAlgError:  # nothing is left that holds the flange up
            break
        spread = np.zeros(len(load))
        spread[where] = pulled
        found = load + np.real(np.fft.ifft(np.fft.fft(one) * np.fft.fft(spread)))
        if np.array_equal(found < 0, lifted):
            return np.where(lifted, 0.0, found)
        lifted = found < 0
    raise MeasureError("the faces never come to rest; look at the preloads and at the flange's width and thickness")
