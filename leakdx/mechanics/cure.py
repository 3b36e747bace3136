"""How deep sealant has cured: by the square root of time, since moisture has to come through what is cured already.

``z = sqrt(2 V P p t)`` (Comyn 1998; the law as reproduced in a public page), so that depth goes with the root of the
vapour pressure of the air too (own derivation; it leaves out that warmth makes rubber more permeable). Between two
metal faces only the edge sees air: depth counts from the edge across the flange. Depth in m, time in s.
"""

import math

from leakdx.mechanics.band import Band
from leakdx.mechanics.given import as_temperature, between, not_negative, positive, temperature

DAY = 86_400.0
USUAL_C, USUAL_HUMIDITY = 23.0, 50.0
"""Air for which the coefficient is given: degC, per cent."""


def vapour_pressure(celsius: float, humidity: float) -> float:
    """Pa of water vapour in air of so many per cent (Magnus; as reproduced in public pages)."""
    temperature("the temperature of the shop", celsius)
    between("the temperature of the shop", celsius, -40, 80, "look at number and unit", as_temperature)
    between("the humidity in per cent", humidity, 1, 100, "give per cent, such as 50")
    return humidity / 100 * 610.94 * math.exp(17.625 * celsius / (celsius + 243.04))


def air_factor(celsius: float, humidity: float) -> float:
    """Depth in this air by depth in the usual one."""
    return math.sqrt(vapour_pressure(celsius, humidity) / vapour_pressure(USUAL_C, USUAL_HUMIDITY))


def depth(per_root_day: Band, seconds: float, factor: float = 1.0) -> Band:
    """Cured depth (m) after a time; ``per_root_day`` m after one day in the usual air."""
    return per_root_day.times(factor * math.sqrt(positive("the time", seconds, "give a time such as 4 h") / DAY))


def time_for(per_root_day: Band, wanted: float, factor: float = 1.0) -> Band:
    """Seconds until so deep (m): twice the depth takes four times as long."""
    positive("the depth", wanted, "give a depth such as 6 mm")
    return per_root_day.times(factor).power(-2).times(wanted**2 * DAY)


def wait_in_air(label: float, factor: float) -> float:
    """Seconds until it has cured as deep as the label's time gives in usual air; never less than the label says.

    Depth goes with the root of time (above), so that half the depth a day asks for four times as long.
    """
    return positive("the label's time", label, "give a time such as 24 h") * max(1.0, factor**-2)


def open_in_air(label: float, factor: float) -> float:
    """Seconds until a skin forms that the label allows so long for in usual air; never more than the label says.

    A skin is the first of the cure, so warm moist air leaves less (own derivation).
    """
    return positive("the label's time", label, "give a time such as 10 min") * min(1.0, factor**-2)


def share_cured(cured: float, flange: float, edges: int = 1) -> float:
    """Share of a flange's width (m) that is cured, from one edge or both; 1 where it is cured through."""
    between("the edges that see air", edges, 1, 2, "1 for a closed axle, 2 while it stands open")
    not_negative("the cured depth", cured, "give a depth such as 2 mm")
    return min(1.0, edges * cured / positive("the flange's width", flange, "give a width such as 20 mm"))
