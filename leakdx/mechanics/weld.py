"""Weld heat at the joint: how hot it gets at a distance, and whether what seals the joint bears it.

Peak temperature: thin plate ``1/(Tp-T0) = sqrt(2 pi e) rho c h Y / H + 1/(Tm-T0)`` (Adams; a handbook example as
reproduced in a public page), thick plate ``Tp = T0 + 2 H / (pi e rho c r^2)`` (Rosenthal; own derivation). A wall is
never cooler than a body without end, nor than a sheet through which the heat has spread, so the hotter of both is
taken: they change over where the distance is about the wall (own derivation). For cooling the relative thickness of
the plate ``tau = h sqrt(rho c (Tc-T0)/H)`` decides at 0.75 (welding handbook; as reproduced in a public page). ``Y``
counts from the edge of the melt, ``r`` from the middle of the bead. SI throughout, temperatures in degC.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from leakdx.mechanics.band import Band
from leakdx.mechanics.given import MeasureError, between, not_negative, positive, temperature

Array = NDArray[np.float64]

SWITCH = 0.75
_ADAMS = math.sqrt(2 * math.pi * math.e)
_VALUES = 100
"""That stand for a band."""
_NOTHING = 1e-12


@dataclass(frozen=True)
class Metal:
    """``volume_heat`` J/(m^3 K), ``melts`` degC, ``conductivity`` W/(m K), ``diffusivity`` m^2/s."""

    volume_heat: float
    melts: float
    conductivity: float
    diffusivity: float


@dataclass(frozen=True)
class Weld:
    """A bead on a wall: ``heat`` J/m that goes into the work, ``wall`` m, ``start`` degC before it."""

    heat: float
    wall: float
    start: float
    metal: Metal

    def __post_init__(self) -> None:
        positive("the heat of the weld", self.heat, "give volts, amperes and travel speed")
        positive("the wall", self.wall, "give a thickness such as 10 mm")
        temperature("the temperature before the weld", self.start)
        if self.start >= self.metal.melts:
            raise MeasureError(
                f"the work is {self.start:g} degC before the weld and so already molten; look at the unit"
            )


def heat_input(volts: float, amperes: float, speed: float, efficiency: float) -> float:
    """Heat (J/m) into the work, travel speed in m/s."""
    between("the voltage in V", volts, 5, 100, "an arc has 10 to 45 V")
    between("the current in A", amperes, 5, 3000, "an arc has 50 to 600 A")
    positive("the travel speed", speed, "give a speed such as 8 in/min")
    between("the arc's efficiency", efficiency, 0.05, 1, "it is the share of the heat that goes into the work")
    return efficiency * volts * amperes / speed


def relative_thickness(weld: Weld, celsius: float) -> float:
    """``tau`` for cooling through a temperature; from 0.75 the plate counts as thick."""
    return weld.wall * math.sqrt(weld.metal.volume_heat * _above(weld, celsius) / weld.heat)


def thin_peak(weld: Weld, distance: float) -> float:
    """Peak temperature (degC) at a distance (m) from the edge of the melt, heat going through the whole wall."""
    not_negative("the distance", distance, "give the distance from the bead to the joint, such as 40 mm")
    spread = _ADAMS * weld.metal.volume_heat * weld.wall * distance / weld.heat
    return weld.start + 1 / (spread + 1 / (weld.metal.melts - weld.start))


def thick_peak(weld: Weld, radius: float) -> float:
    """Peak temperature (degC) at a radius (m) from the middle of the bead in a thick body; melting at most."""
    positive("the distance", radius, "give the distance from the bead to the joint, such as 40 mm")
    return min(weld.start + _spread(weld) / radius**2, weld.metal.melts)


def peak(weld: Weld, distance: float) -> float:
    """Peak temperature (degC) at a distance (m) from the edge of the melt."""
    return max(thin_peak(weld, distance), thick_peak(weld, melt_radius(weld) + distance))


def melt_radius(weld: Weld) -> float:
    """How far (m) from the middle of the bead a thick body melts."""
    return math.sqrt(_spread(weld) / (weld.metal.melts - weld.start))


def reach(weld: Weld, celsius: float) -> float:
    """Distance (m) from the edge of the melt within which a temperature is passed."""
    thick = math.sqrt(_spread(weld) / _above(weld, celsius)) - melt_radius(weld)
    return max(0.0, thick, thin_reach(weld, celsius))


def thin_reach(weld: Weld, celsius: float) -> float:
    """Distance (m) from the edge of the melt within which a temperature is passed, thin plate."""
    left = 1 / _above(weld, celsius) - 1 / (weld.metal.melts - weld.start)
    return max(0.0, left * weld.heat / (_ADAMS * weld.metal.volume_heat * weld.wall))


def cooling_time(weld: Weld) -> float:
    """Seconds from 800 to 500 degC by the law that holds for this wall (Rosenthal)."""
    low, high = 1 / _above(weld, 500), 1 / _above(weld, 800)
    metal = weld.metal
    if relative_thickness(weld, 550) >= SWITCH:
        return weld.heat / (2 * math.pi * metal.conductivity) * (low - high)
    share = (weld.heat / weld.wall) ** 2 / (4 * math.pi * metal.conductivity * metal.volume_heat)
    return share * (low**2 - high**2)


def cooling_rate(weld: Weld, celsius: float) -> float:
    """K/s at a temperature on the bead's line (welding handbook)."""
    rise, metal = _above(weld, celsius), weld.metal
    if relative_thickness(weld, celsius) >= SWITCH:
        return 2 * math.pi * metal.conductivity * rise**2 / weld.heat
    return 2 * math.pi * metal.conductivity * metal.volume_heat * (weld.wall / weld.heat) ** 2 * rise**3


def chance_of_harm(weld: Weld, heat: Band, distance: Band, bears: Band) -> float:
    """The probability that the joint gets hotter than the seal bears.

    Heat (J/m), distance (m) and what the seal bears (degC) are known as bands. For each distance and limit the heat
    that just reaches the limit follows exactly, and so the probability; that is averaged over the spread of both.
    """
    limits = np.minimum(_values(bears), weld.metal.melts - 1)
    least = _least_heat(weld, _values(distance)[:, np.newaxis], limits[np.newaxis, :])
    return float(_chance_above(heat, least).mean())


def _values(band: Band) -> Array:
    """Values of a band, each as likely as any other; one where it is exact."""
    if band.low == band.high:
        return np.array([band.likely])
    return np.array([band.at(float(deviations)) for deviations in ndtri((np.arange(_VALUES) + 0.5) / _VALUES)])


def _chance_above(band: Band, limits: Array) -> Array:
    """``Band.chance_above`` of many limits."""
    away = np.log(np.maximum(limits, _NOTHING) / band.likely)
    if band.low == band.high:
        return np.asarray(away < 0, float)
    return np.asarray(1 - ndtr(away / np.where(away >= 0, band.up, band.down) * ndtri(0.95)))


def _least_heat(weld: Weld, distance: Array, celsius: Array) -> Array:
    """Heat (J/m) from which on the peak at a distance passes a temperature; 0 where the work is that hot before."""
    rise, most, metal = np.maximum(celsius - weld.start, _NOTHING), weld.metal.melts - weld.start, weld.metal
    thin = _ADAMS * metal.volume_heat * weld.wall * distance / (1 / rise - 1 / most)
    root = np.sqrt(rise) * distance / (1 - np.sqrt(rise / most))
    return np.asarray(np.minimum(thin, root**2 * math.pi * math.e * metal.volume_heat / 2))


def _spread(weld: Weld) -> float:
    """Rise (K) times the square of the radius (m^2) in a thick body."""
    return 2 * weld.heat / (math.pi * math.e * weld.metal.volume_heat)


def _above(weld: Weld, celsius: float) -> float:
    """Rise (K) from the start. MeasureError where it is none."""
    if celsius <= weld.start:
        raise MeasureError(f"{celsius:g} degC is not above the {weld.start:g} degC before the weld; look at both")
    return celsius - weld.start
