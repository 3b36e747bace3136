"""Pressure in an axle whose breather is shut, as it warms.

The air warms at nearly the same volume (``p2 = p1 T2/T1``; as reproduced in a public page), and the oil grows into it
(own derivation). Pressures in Pa, volumes in m^3, temperatures in degC.
"""

from dataclasses import dataclass

from leakdx.mechanics.given import MeasureError, as_pressure, between, positive, usual_temperature
from leakdx.mechanics.oil import grown

ATMOSPHERE = 101_325.0


@dataclass(frozen=True)
class Filling:
    """What is in the axle when it is closed: ``oil`` and ``air`` m^3, ``density_15`` kg/m^3."""

    oil: float
    air: float
    density_15: float

    def __post_init__(self) -> None:
        positive("the volume of oil", self.oil, "give a volume such as 32 pints")
        positive("the volume of air", self.air, "give a volume such as 10 L")


def gauge_pressure(cold: float, hot: float, outside: float = ATMOSPHERE, squeezed: float = 1.0) -> float:
    """Pressure above the outside (Pa) after warming; ``squeezed``: the air's volume hot by that cold."""
    between("the outside pressure", outside, 4e4, 1.2e5, "at sea level it is 101 kPa, on a high pass 70", as_pressure)
    before, after = usual_temperature("the cold temperature", cold), usual_temperature("the hot temperature", hot)
    return outside * (after / before / squeezed - 1)


def squeezed_by(growth: float, filling: Filling) -> float:
    """The air's volume hot by that cold, the oil grown by so much (m^3). MeasureError where it fills the axle."""
    left = filling.air - growth
    if left <= 0:
        raise MeasureError("the warm oil would fill the whole axle; look at the volumes of oil and air")
    return left / filling.air


def closed_pressure(cold: float, hot: float, filling: Filling, outside: float = ATMOSPHERE) -> float:
    """Pressure above the outside (Pa) after warming, the oil's growth counted."""
    growth = grown(filling.oil, filling.density_15, cold, hot) - filling.oil
    return gauge_pressure(cold, hot, outside, squeezed_by(growth, filling))
