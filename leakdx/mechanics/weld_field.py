"""The heat round a moving arc (Rosenthal; own derivation): when the joint is hottest.

Places count from the arc: ``ahead`` in the direction of travel, ``aside`` square to it. SI throughout, temperatures in
degC.
"""

import math
from dataclasses import dataclass

from leakdx.mechanics.given import positive
from leakdx.mechanics.weld import Metal

_LONGEST = 3600.0
"""Seconds within which every joint near a bead is hottest."""


@dataclass(frozen=True)
class Arc:
    """An arc that moves: ``power`` W into the work, ``speed`` m/s, ``start`` degC before it."""

    power: float
    speed: float
    start: float
    metal: Metal

    def __post_init__(self) -> None:
        positive("the arc's power", self.power, "give volts and amperes")
        positive("the travel speed", self.speed, "give a speed such as 8 in/min")


def thick_field(arc: Arc, ahead: float, aside: float) -> float:
    """Temperature (degC) in a thick body under a point source."""
    away = _away(ahead, aside)
    rise = arc.power / (2 * math.pi * arc.metal.conductivity * away)
    return arc.start + rise * math.exp(-arc.speed * (away + ahead) / (2 * arc.metal.diffusivity))


def thin_field(arc: Arc, wall: float, ahead: float, aside: float) -> float:
    """Temperature (degC) in a thin plate round a line source through its wall (m)."""
    from scipy.special import k0e

    away, pace = _away(ahead, aside), arc.speed / (2 * arc.metal.diffusivity)
    rise = arc.power / (2 * math.pi * arc.metal.conductivity * positive("the wall", wall, "give it such as 10 mm"))
    return arc.start + rise * float(k0e(pace * away)) * math.exp(-pace * (away + ahead))


def hottest_after(arc: Arc, wall: float, aside: float) -> float:
    """Seconds after the arc has passed at which a place aside (m) is hottest, by the hotter of plate and body."""
    from scipy.optimize import minimize_scalar

    def coldness(log_seconds: float) -> float:
        behind = -arc.speed * math.exp(log_seconds)
        return -max(thin_field(arc, wall, behind, aside), thick_field(arc, behind, aside))

    found = minimize_scalar(coldness, bounds=(math.log(1e-2), math.log(_LONGEST)), method="bounded")
    return math.exp(float(found.x))


def _away(ahead: float, aside: float) -> float:
    return positive("the distance", math.hypot(ahead, aside), "a point that is not the arc itself")
