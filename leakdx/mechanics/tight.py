"""Whether the clamp keeps the oil in: the clamp field with what is not known of bed and preload.

A gasket must be pressed. Sealant has cured in whatever gap the tightened joint left, and sticks: it holds until the
faces open further than it follows.

The bed's band is met at its ends and its middle, weighed as one in twenty, half and nineteen in twenty of a spread
are best stood for by three values: 0.185, 0.63, 0.185 (Pearson and Tukey; Keefer and Bodily 1983, from memory).
Preload and what the seal needs scatter as bands; the field grows in step with the preload.
Lengths in m, forces in N, pressures in Pa.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leakdx.mechanics.band import Band
from leakdx.mechanics.beam import Strip, bending_stiffness, both_bend
from leakdx.mechanics.clamp import Field, Joint
from leakdx.mechanics.given import as_length, between
from leakdx.mechanics.outline import Outline

_WEIGHTS = (0.185, 0.63, 0.185)
_WIDTHS = 0.002, 0.2
_THICKNESSES = 0.0005, 0.2
"""m; no joint of a truck's axle is narrower or wider, thinner or thicker."""
_TRACE = 1e-3
"""Share of the likely pressure that the low end keeps, where the faces may part; a band ends above nothing."""


@dataclass(frozen=True)
class Flange:
    """Faces of ``width``; ``bending``: EI of both flanges as one, N m^2."""

    outline: Outline
    places: tuple[float, ...]
    width: float
    bending: float

    def joint(self, bed: float) -> Joint:
        """The joint with a bed of so many Pa/m."""
        return Joint(Strip(self.bending, bed * self.width), self.outline.around, self.width, self.places)

    def reach(self, bed: float) -> float:
        """How far (m) a fastener's load is felt: the length 1 / beta."""
        return 1 / self.joint(bed).strip.beta


def bending(width: float, carrier: tuple[float, float], housing: tuple[float, float] | None = None) -> float:
    """EI (N m^2) of both flanges as one, each from its thickness (m) and modulus (Pa).

    Without the housing's its ring counts as stiff.
    """
    between("the width of the faces", width, *_WIDTHS, "give a length such as 20 mm", as_length)
    right = "give a length such as 18 mm"
    parts = [("carrier", carrier)] if housing is None else [("carrier", carrier), ("housing", housing)]
    each = [
        bending_stiffness(
            modulus, width, between(f"the {name}'s thickness", thickness, *_THICKNESSES, right, as_length)
        )
        for name, (thickness, modulus) in parts
    ]
    return each[0] if len(each) == 1 else both_bend(*each)


@dataclass(frozen=True)
class Seal:
    """What seals the joint. ``bed``: Pa/m; ``needs``: the pressure (Pa) that keeps it tight, or where it ``sticks``
    the gap (m) that it follows beyond the one it cured in."""

    bed: Band
    needs: Band
    sticks: bool = False

    def chance_open(self, size: float, scatter: Band) -> float:
        """That a pressure is too little, or a gap too much; sizes scatter with the preload."""
        if size == 0:
            return 0.0 if self.sticks else 1.0
        met = scatter.times(size)
        return met.chance_above_band(self.needs) if self.sticks else self.needs.chance_above_band(met)

    def is_open(self, field: Field, sound: Field) -> NDArray[np.bool_]:
        """Where it likely does not hold."""
        if self.sticks:
            return field.gap - sound.gap > self.needs.likely
        return field.load < self.needs.likely * field.width

    def worst(self, field: Field, sound: Field) -> tuple[int, float]:
        """The place that is pressed least, and its pressure; or the one that opened most, and by how much."""
        opened = field.gap - sound.gap
        if self.sticks and opened.max() > 0:
            return int(np.argmax(opened)), float(opened.max())
        return field.least, 0.0 if self.sticks else float(field.pressure[field.least])


@dataclass(frozen=True)
class Tightness:
    """``field``: with the likely bed; ``sound``: the same joint with all its clamp.

    ``worst``: index of the place where it is least tight; ``size``: pressure there, None where the faces part - or for
    what sticks how far they opened, None where they did not. ``chance``: that somewhere it does not hold.
    """

    field: Field
    sound: Field
    worst: int
    size: Band | None
    chance: float

    @property
    def left(self) -> float | None:
        """Share of the sound joint's pressure that is left at the worst place; None where that has none."""
        at = self.worst
        return float(self.field.pressure[at] / self.sound.pressure[at]) if self.sound.load[at] > 0 else None


def tightness(flange: Flange, seal: Seal, preload: Band, kept: Sequence[float]) -> Tightness:
    """What a preload (N) of which each fastener in order has ``kept`` a share comes to."""
    scatter = preload.over(preload.likely)
    beds = (seal.bed.low, seal.bed.likely, seal.bed.high)
    loads = [share * preload.likely for share in kept]
    fields = [flange.joint(bed).field(loads) for bed in beds]
    sounds = [flange.joint(bed).field([preload.likely] * len(loads)) for bed in beds]
    worst = [seal.worst(field, sound) for field, sound in zip(fields, sounds, strict=True)]
    sizes = [size for _, size in worst]
    chance = sum(weight * seal.chance_open(size, scatter) for weight, size in zip(_WEIGHTS, sizes, strict=True))
    likely = sizes[1]
    band = Band(max(min(sizes), _TRACE * likely), likely, max(sizes)).times(scatter) if likely else None
    return Tightness(fields[1], sounds[1], worst[1][0], band, chance)
