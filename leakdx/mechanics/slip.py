"""Whether the joint slips or opens under the driveline's torque.

Two loads act on the joint of a carrier that is bolted to the housing round its pinion:
- the pinion's torque twists the carrier in the plane of the joint; friction of the clamped ring holds it
  (``T = sum of mu F r``, Coulomb), and dowels what is beyond. A faster axle ratio asks more of the pinion for the same
  pull at the wheels, and so more of the joint;
- the wheels' torque, the pinion's times the axle ratio, tries to tip the carrier about the axle's line; that is borne
  by the clamp of one side against the other, which opens where it is more than the preload there
  (``2 M / sum of r`` for a ring; own derivation).
Lengths in m, forces in N, torques in N m.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.mechanics.band import Band
from leakdx.mechanics.given import MeasureError, as_length, as_share, between, positive


@dataclass(frozen=True)
class Ring:
    """Fasteners: the share of its preload that each still has, and its distance from the middle of the joint."""

    kept: tuple[float, ...]
    radii: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.kept) != len(self.radii) or len(self.kept) < 3:
            raise MeasureError("a joint has three fasteners at least, each with a radius; look at the count")
        for number, (kept, radius) in enumerate(zip(self.kept, self.radii, strict=True), 1):
            right = "all of it is 100 %, and 0 is for a lost one"
            between(f"the share that fastener {number} keeps", kept, 0, 2, right, as_share)
            positive(f"the radius of fastener {number}", radius, "give a length such as 180 mm")

    @property
    def arm(self) -> float:
        """Sum of kept shares times radii, m."""
        return math.fsum(kept * radius for kept, radius in zip(self.kept, self.radii, strict=True))

    @property
    def scatter_share(self) -> float:
        """By how much the scatter of single fasteners evens out over the ring."""
        squares = math.fsum((kept * radius) ** 2 for kept, radius in zip(self.kept, self.radii, strict=True))
        return math.sqrt(squares) / self.arm if self.arm else 1.0


def flange(radii: Sequence[float], kept: Sequence[float] = (), lost: Sequence[int] = ()) -> Ring:
    """A joint of any outline, fasteners in order; ``kept`` shares of preload, all of it where none are given."""
    for number in lost:
        between("the number of a lost fastener", number, 1, len(radii), f"the joint has 1 to {len(radii)}")
    shares = tuple(kept) or (1.0,) * len(radii)
    if len(shares) != len(radii):
        raise MeasureError(f"{len(shares)} shares are given for {len(radii)} fasteners; give one for each, in order")
    return Ring(tuple(0.0 if n in lost else share for n, share in enumerate(shares, 1)), tuple(radii))


def capacity(ring: Ring, preload: Band, friction: Band) -> Band:
    """Torque (N m) that friction holds.

    ``preload`` is that of one fastener with its scatter. Half of that scatter is taken as each fastener's own, which
    evens out over the ring, and half as common to all: one wrench, one batch, one hand (own estimate).
    """
    if not ring.arm:
        raise MeasureError("every fastener is lost; there is nothing left that holds the joint")
    share = math.hypot(ring.scatter_share, 1) / math.sqrt(2)
    low, high = preload.likely * math.exp(-preload.down * share), preload.likely * math.exp(preload.up * share)
    return Band(low, preload.likely, high).times(friction).times(ring.arm)


def pinion_torque(engine: float, gear: float, efficiency: Band, share: float = 1.0) -> Band:
    """Torque (N m) at the pinion from the engine's, the gearbox's ratio, and the share of a divided drive."""
    positive("the engine's torque", engine, "give a torque such as 1850 lb-ft")
    between("the gear's ratio", gear, 0.3, 40, "give the lowest gear's ratio, such as 14.4")
    between("the share of the drive", share, 0.1, 1.0, "1 for a single axle, 0.5 for one of a tandem")
    return efficiency.times(engine * gear * share)


def gripped_torque(load: float, tyre_radius: float, grip: Band, ratio: float) -> Band:
    """Torque (N m) at the pinion beyond which the tyres spin; ``load``: what the axle carries, N."""
    positive("the axle's load", load, "give a weight such as 20000 lb")
    between("the tyre's radius", tyre_radius, 0.2, 1.2, "give the loaded radius, such as 500 mm", as_length)
    return grip.times(load * tyre_radius / _ratio(ratio))


def smaller(one: Band, other: Band) -> Band:
    """The band of whichever is smaller in the middle: the torque that is really met."""
    return min(one, other, key=lambda band: band.likely)


@dataclass(frozen=True)
class Slip:
    """What the joint bears and meets; ``margin`` is their quotient, ``chance`` that it is below 1."""

    holds: Band
    meets: Band

    @property
    def margin(self) -> Band:
        """How many times over it holds."""
        return self.holds.over(self.meets)

    @property
    def chance(self) -> float:
        """The probability that it does not hold."""
        return self.meets.chance_above_band(self.holds)


def opening_torque(ring: Ring, preload: Band) -> Band:
    """Wheel torque (N m) that tips a round carrier until the joint opens on one side, by the clamp that is left."""
    if not ring.arm:
        raise MeasureError("every fastener is lost; there is nothing left that holds the joint")
    return preload.times(ring.arm / 2)


def outermost_pull(ring: Ring, tipping: float) -> float:
    """Pull (N) of a tipping torque at the outermost fastener of a ring of n: ``2 M / (n r)``."""
    return 2 * tipping / math.fsum(ring.radii)


def wheel_torque(pinion: Band, ratio: float) -> Band:
    """Torque (N m) at the wheels of the axle."""
    return pinion.times(_ratio(ratio))


@dataclass(frozen=True)
class Dowels:
    """Dowels of a joint: how many, their distance from its middle, their diameter (m)."""

    count: int
    radius: float
    diameter: float

    def __post_init__(self) -> None:
        between("the count of dowels", self.count, 1, 12, "count those that are fitted")
        positive("the radius of the dowels", self.radius, "give a length such as 180 mm")
        positive("the diameter of the dowels", self.diameter, "give a length such as 16 mm")

    def force(self, torque: float) -> float:
        """Force (N) on each, for the torque that friction leaves to them."""
        return max(0.0, torque) / (self.count * self.radius)

    def stress(self, torque: float) -> float:
        """Shear stress (Pa) in each."""
        return self.force(torque) / (math.pi / 4 * self.diameter**2)

    def bears(self, shear: Band) -> Band:
        """Torque (N m) at which they shear, by the shear strength (Pa)."""
        return shear.times(math.pi / 4 * self.diameter**2 * self.count * self.radius)


def dowels_at(numbers: Sequence[int], ring: Ring, diameter: float) -> Dowels:
    """Dowels at those fasteners, by their mean distance from the middle. MeasureError: no such fastener, or twice."""
    for number in numbers:
        last = len(ring.radii)
        between("the number of a fastener with a dowel", number, 1, last, f"the joint has 1 to {last}")
    if len({*numbers}) < len(numbers):
        raise MeasureError("a dowel is named twice; name each once")
    return Dowels(len(numbers), math.fsum(ring.radii[number - 1] for number in numbers) / len(numbers), diameter)


def _ratio(ratio: float) -> float:
    return between("the axle's ratio", ratio, 1.5, 15, "give the ratio on the axle's tag, such as 3.70")
