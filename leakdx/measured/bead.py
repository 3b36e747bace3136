"""A weld bead near the joint, as its welder tells it, and the heat that came to the joint."""

from dataclasses import dataclass

from leakdx.measured.fields import needed_as, text, typed_as
from leakdx.measured.typed import band_in, number_in, plain
from leakdx.mechanics import weld
from leakdx.mechanics.band import Band
from leakdx.mechanics.given import MeasureError, as_length, between
from leakdx.mechanics.trade import Process, Seal, Trade
from leakdx.mechanics.weld import Metal, Weld

_WALLS = 0.0005, 0.1
"""m; no housing is thinner or thicker."""


@dataclass(frozen=True, kw_only=True)
class BeadRead:
    """SI units, temperatures in degC; ``distance``: from the bead's edge to the joint; ``start``: before the bead."""

    process: str = needed_as(text, "gmaw")
    volts: float = needed_as(plain("25", "V"), "25")
    amperes: float = needed_as(plain("220", "A"), "220")
    speed: Band = needed_as(band_in("m/s", "8in/min"), "8 in/min")
    wall: float = needed_as(number_in("m", "10mm"), "10 mm")
    distance: Band = needed_as(band_in("m", "40mm"), "40 mm")
    seal: str = typed_as(text, "sealant")
    start: float = typed_as(number_in("degC", "20degC", signed=True), 20.0)


@dataclass(frozen=True)
class Bead:
    """What the bead did: heat into the work (J/m), and what the seal bears (degC)."""

    read: BeadRead
    process: Process
    heat: Band
    metal: Metal
    seal: Seal

    @property
    def bears(self) -> Band:
        """Heat above which the seal is harmed, degC."""
        return Band(*self.seal.bears_c)

    def with_heat(self, heat: float) -> Weld:
        """The weld, were this the heat into the work."""
        return Weld(heat, self.read.wall, self.read.start, self.metal)

    @property
    def chance_of_harm(self) -> float:
        """That the joint got hotter than its seal bears."""
        return weld.chance_of_harm(self.with_heat(self.heat.likely), self.heat, self.read.distance, self.bears)

    @property
    def peak(self) -> Band:
        """At the joint, degC: hottest with much heat and little distance; the two spreads are added as squares."""
        heat, distance = self.heat, self.read.distance
        middle = weld.peak(self.with_heat(heat.likely), distance.likely)

        def away(heat_: float, distance_: float) -> float:
            return weld.peak(self.with_heat(heat_), distance_) - middle

        up = (away(heat.high, distance.likely) ** 2 + away(heat.likely, distance.low) ** 2) ** 0.5
        down = (away(heat.low, distance.likely) ** 2 + away(heat.likely, distance.high) ** 2) ** 0.5
        return Band(max(self.read.start, middle - down), middle, middle + up)


def bead(read: BeadRead, numbers: Trade) -> Bead:
    """The bead with the numbers of the trade. MeasureError where something of it is unknown or cannot be."""
    process, seal = numbers.welding.process(read.process), numbers.seals.get(read.seal)
    if process is None:
        known = ", ".join(numbers.welding.processes)
        raise MeasureError(f"there is no process '{read.process[:40]}'; known are {known}")
    if seal is None:
        raise MeasureError(f"there is no seal '{read.seal[:40]}'; known are {', '.join(numbers.seals)}")
    between("the wall", read.wall, *_WALLS, "give its thickness where it was welded, such as 10 mm", as_length)
    joules = weld.heat_input(read.volts, read.amperes, 1.0, 1.0)
    steel = numbers.welding.steel
    metal = Metal(steel.volume_heat_j_per_mm3_k * 1e9, steel.melts_c, steel.conductivity_w_per_m_k,
                  steel.diffusivity_mm2_per_s * 1e-6)  # fmt: skip
    made = Bead(read, process, Band(*process.efficiency).times(joules).over(read.speed), metal, seal)
    made.with_heat(made.heat.likely)  # refuses work that is molten before
    return made
