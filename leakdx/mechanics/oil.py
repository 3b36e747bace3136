"""Gear oil: how thin it is at a temperature, what grade that is, and how it grows with heat.

Viscosity: ``log10 log10(nu + 0.7) = A - B log10 T`` (ASTM D341; as reproduced in a public page). Growth: ``CTL =
exp(-a dt (1 + 0.8 a dt))`` with ``a = 0.6278 / density`` per K (API MPMS 11.1, lubricating oils; the form as reproduced
in a public page). Kinematic viscosity in mm^2/s, temperatures in degC, density in kg/m^3.
"""

import math
from dataclasses import dataclass

from leakdx.mechanics.given import MeasureError, between, positive, usual_temperature
from leakdx.mechanics.trade import ViscosityGrades

_BASE = 15.0
"""degC at which density is given."""


@dataclass(frozen=True)
class ViscosityLaw:
    """The straight line of ASTM D341 through two measured points; ``zero`` is 0 degC in kelvin."""

    a: float
    b: float
    zero: float = 273.15

    def at(self, celsius: float) -> float:
        """Kinematic viscosity, mm^2/s."""
        usual_temperature("the oil's temperature", celsius)
        power = self.a - self.b * math.log10(celsius + self.zero)
        if power > 1.2:
            raise MeasureError(f"at {celsius:g} degC this oil no longer flows; give a temperature that it flows at")
        return float(10.0 ** (10.0**power)) - 0.7


def viscosity_law(at_40: float, at_100: float, zero: float = 273.15) -> ViscosityLaw:
    """The law through the two figures of a data sheet. MeasureError where the oil would thicken with heat."""
    for name, value in (("40", at_40), ("100", at_100)):
        between(f"the viscosity at {name} degC", value, 1.5, 1e5, "give the sheet's figure in mm2/s")
    if at_100 >= at_40:
        raise MeasureError("the oil is thicker at 100 degC than at 40; give first the figure at 40 degC")
    high, low = (math.log10(math.log10(value + 0.7)) for value in (at_40, at_100))
    cool, hot = math.log10(40 + zero), math.log10(100 + zero)
    slope = (high - low) / (hot - cool)
    return ViscosityLaw(high + slope * cool, slope, zero)


def grade_at(at_100: float, grades: ViscosityGrades) -> str | None:
    """The grade of SAE J306 for a viscosity at 100 degC; None where it is thinner than every grade."""
    positive("the viscosity at 100 degC", at_100, "give the sheet's figure in mm2/s")
    below = [name for name, start in grades.from_mm2_s.items() if at_100 >= start]
    return below[-1] if below else None


def expansion(density_15: float) -> float:
    """Growth of volume for each K near 15 degC."""
    return 0.6278 / between("the density at 15 degC in kg/m3", density_15, 700, 1200, "oil has about 850 to 910 kg/m3")


def volume_factor(density_15: float, celsius: float) -> float:
    """CTL: volume at 15 degC for each litre at this temperature."""
    usual_temperature("the oil's temperature", celsius)
    growth = expansion(density_15) * (celsius - _BASE)
    return math.exp(-growth * (1 + 0.8 * growth))


def grown(volume: float, density_15: float, cold: float, hot: float) -> float:
    """A volume that was measured cold, as it is hot; in the unit it is given in."""
    return volume * volume_factor(density_15, cold) / volume_factor(density_15, hot)


def density(density_15: float, celsius: float) -> float:
    """kg/m^3 at a temperature."""
    return density_15 * volume_factor(density_15, celsius)
