"""Oil through a gap between two faces: which rate a gap gives, and which gap a measured rate needs.

``Q = h^3 w dp / (12 mu L)``, plane Poiseuille flow (form as reproduced in a public page). Everything SI: m, Pa, Pa s,
m^3/s.
"""

from dataclasses import dataclass

from leakdx.mechanics.given import not_negative, positive

GRAVITY = 9.80665
"""m/s^2"""


@dataclass(frozen=True)
class Slot:
    """A gap seen along the joint: ``wide`` as long as the wet arc, ``long`` the way from the oil to the outside."""

    wide: float
    long: float

    def __post_init__(self) -> None:
        positive("the length of the wet arc", self.wide, "give a length such as 50 mm")
        positive("the width of the joint", self.long, "give a length such as 20 mm")

    def flow(self, gap: float, pressure: float, viscosity: float) -> float:
        """m^3/s through a gap (m) under a pressure (Pa)."""
        not_negative("the gap", gap, "give a gap such as 0.02 mm")
        positive("the viscosity", viscosity, "give the oil and its temperature")
        return (
            gap**3
            * self.wide
            * not_negative("the pressure", pressure, "give a head of oil")
            / (12 * viscosity * self.long)
        )

    def gap_for(self, flow: float, pressure: float, viscosity: float) -> float:
        """The gap (m) that a flow needs."""
        positive("the pressure", pressure, "give a head of oil or the housing's pressure")
        positive("the viscosity", viscosity, "give the oil and its temperature")
        return float((12 * viscosity * self.long * positive("the rate", flow, "give a leak") / (self.wide * pressure))
                     ** (1 / 3))  # fmt: skip


def head(height: float, density: float) -> float:
    """Pressure (Pa) at the foot of a column of oil."""
    return density * GRAVITY * not_negative("the height of oil", height, "give a height such as 100 mm")


def column(pressure: float, density: float) -> float:
    """Height (m) of the column of oil that presses so much (Pa)."""
    return pressure / (density * GRAVITY)


def dynamic(kinematic: float, density: float) -> float:
    """Dynamic viscosity (Pa s) from the kinematic one in mm^2/s."""
    return kinematic * 1e-6 * density
