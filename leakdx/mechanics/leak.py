"""How much oil is lost, from what is seen: drops, a stain, a level, what was topped off.

A drop is no measure: 20 of water make a millilitre, oil falls in smaller ones (Tate's law), so that every rate is a
band. Rates in m^3/s, volumes in m^3, times in s, distances in m.
"""

from dataclasses import dataclass
from enum import StrEnum

from leakdx.mechanics.band import Band
from leakdx.mechanics.given import MeasureError, not_negative, positive

ML = 1e-6
HOUR = 3600.0
_STREAM = 4.0
"""Drops a second from which they join (own estimate)."""
_TIME = "give how long it was watched, such as 10 min"


class Wetness(StrEnum):
    """How wet a place is, by what can be seen."""

    DRY = "dry"
    DAMP = "damp, but no drop forms"
    HANGS = "a drop forms and hangs"
    FALLS = "drops fall"
    RUNS = "it runs in a stream"


WHAT_THEN = {
    Wetness.DRY: "Nothing to do for now.",
    Wetness.DAMP: "It may work on; look at the level more often.",
    Wetness.HANGS: "It may work on; look at the level more often.",
    Wetness.FALLS: "Report it at once, and look at the level: it goes down.",
    Wetness.RUNS: "Stop: the axle can run dry within the day.",
}


def from_drops(count: float, seconds: float, drop: Band) -> Band:
    """Rate from drops counted in a time; ``drop`` m^3 each."""
    right = "where none falls there is no rate: say how wet it is, such as damp or hangs"
    return drop.times(positive("the count of drops", count, right) / _watched(seconds))


def from_stain(area: float, seconds: float, depth: Band) -> Band:
    """Rate from the area (m^2) by which a stain grew; ``depth`` m of oil on or in what it fell on."""
    return depth.times(positive("the stain's growth", area, "give an area such as 200 cm^2") / _watched(seconds))


def from_level(drop: float, seconds: float, surface: Band) -> Band:
    """Rate from how far (m) the level fell; ``surface`` m^2 of free oil."""
    return surface.times(positive("the fall of the level", drop, "give a height such as 10 mm") / _watched(seconds))


def from_volume(volume: float, seconds: float) -> Band:
    """Rate from what was topped off or caught; good to a tenth (own estimate)."""
    rate = positive("the volume", volume, "give a volume such as 0.5 L") / _watched(seconds)
    return Band(rate * 0.9, rate, rate * 1.1)


def per_distance(rate: Band, speed: float) -> Band:
    """Loss for each metre driven (m^3/m) at a mean speed (m/s)."""
    return rate.over(positive("the mean speed", speed, "give a speed such as 40 mph"))


def days_to_low(rate: Band, to_low: Band, hours_a_day: Band) -> Band:
    """Days until the level stands at the low mark; it leaks so many hours of each."""
    if hours_a_day.high > 24:
        raise MeasureError("a day has no more than 24 hours; look at the hours a day")
    return to_low.over(rate).over(hours_a_day.times(HOUR))


def wetness(drops_a_second: float) -> Wetness:
    """How wet a place is that loses so many drops; 0 says only that none falls."""
    not_negative("the drops a second", drops_a_second, _TIME)
    if drops_a_second == 0:
        return Wetness.HANGS
    return Wetness.RUNS if drops_a_second >= _STREAM else Wetness.FALLS


@dataclass(frozen=True)
class Compared:
    """Two rates of one leak; ``ratio`` is the road's by the standing one's."""

    ratio: Band

    @property
    def words(self) -> str:
        """What the two together say."""
        if self.ratio.low > 1.5:
            return "it leaks faster on the road than standing: heat, pressure or movement drives it"
        if self.ratio.high < 1 / 1.5:
            return "less is lost on the road than its drops say: look for a second count, or oil that collects"
        return "both agree within their bands"


def compared(road: Band, standing: Band) -> Compared:
    """A rate worked out over days of work beside one that was counted at a standstill."""
    return Compared(road.over(standing))


def _watched(seconds: float) -> float:
    return positive("the time", seconds, _TIME)
