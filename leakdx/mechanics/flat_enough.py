"""Whether a face is flat enough: the three uses of the limit, which are kept apart.

The rule compares what was read with the limit, at the fineness it was read in, and is not said here: exactly at the
limit passes. The belief takes what was read for what it is, a value with an error, and says here with what chance the
true value is beyond the limit. And where neither is sure, the face is measured again, which holds a gasket until then
and never lifts what the rule has stopped. Most faces are flat, and so a gauge that sees nothing would leave any face
likely within: it is said only where the readings by themselves say so too.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.special import ndtr, ndtri

from leakdx.mechanics.flatness import Seen
from leakdx.mechanics.given import positive
from leakdx.mechanics.plane import Array

SURE = 0.9
"""From which chance on a face is said to be beyond, or within."""
_STEPS = 4000
_FOR_EVER = 100
_REACH = 9.0
"""Standard deviations about what was read that are looked at."""


class Verdict(StrEnum):
    """What is said of a face."""

    WITHIN = "within"
    BEYOND = "beyond"
    CLOSE = "too close to say"


@dataclass(frozen=True)
class Usual:
    """How far faces lie out of flat before one is measured: log-normal by its median (m) and a factor for one sigma."""

    median: float
    factor: float


@dataclass(frozen=True)
class Judged:
    """The true flatness (m): one in twenty below ``low``, half below ``likely``, one in twenty above ``high``.

    ``by_readings``: the chance that it is beyond, were every flatness as usual as any other.
    """

    chance_beyond: float
    by_readings: float
    low: float
    likely: float
    high: float

    @property
    def verdict(self) -> Verdict:
        """In three words."""
        if self.chance_beyond >= SURE:
            return Verdict.BEYOND
        return Verdict.WITHIN if max(self.chance_beyond, self.by_readings) <= 1 - SURE else Verdict.CLOSE


def judged(seen: Seen, usual: Usual, limit: float) -> Judged:
    """What a reading says of the true flatness, with what is usual before it."""
    positive("the limit", limit, "give a length such as 0.005 in")
    edges = _edges(seen, usual)
    middles = (edges[1:] + edges[:-1]) / 2
    deviations = np.log(middles / usual.median) / math.log(usual.factor)
    explained = _log_likelihood(seen, middles)
    share = _shares(explained - 0.5 * deviations**2 - np.log(middles), edges)
    low, likely, high = np.interp([0.05, 0.5, 0.95], share, edges)
    beyond, by_readings = (
        min(1.0, max(0.0, 1 - float(np.interp(limit, edges, each)))) for each in (share, _shares(explained, edges))
    )
    return Judged(beyond, by_readings, float(low), float(likely), float(high))


def times_to_settle(value: float, limit: float, spread: float) -> int:
    """How often to read in all, each place as often, until the mean says surely on which side it is; 1 at least."""
    wanted = gauge_to_settle(value, limit, 1)
    return max(1, math.ceil((spread / wanted) ** 2)) if wanted > spread / _FOR_EVER else _FOR_EVER**2


def gauge_to_settle(value: float, limit: float, times: int) -> float:
    """What one reading must be good to (m), for so many of them to say surely on which side of the limit it is."""
    return abs(value - limit) / float(ndtri(SURE)) * math.sqrt(times)


def _edges(seen: Seen, usual: Usual) -> Array:
    """Steps over all that the true value can be; fine where it likely is."""
    blur = _REACH * seen.spread
    top = seen.high + blur if math.isfinite(seen.high) else max(seen.low + blur, usual.median * usual.factor**_REACH)
    least = usual.median * usual.factor**-_REACH
    return np.asarray(np.linspace(max(seen.low - blur, least), max(top, 2 * least), _STEPS + 1), float)


def _shares(log_weights: Array, edges: Array) -> Array:
    """What lies below each edge, of all, by how likely the steps between them are."""
    mass = np.exp(log_weights - log_weights.max()) * np.diff(edges)
    return np.asarray(np.concatenate([[0.0], np.cumsum(mass)]) / mass.sum())


def _log_likelihood(seen: Seen, true: Array) -> Array:
    """Log of how well each true value explains what was read."""
    if seen.low == seen.high:
        return np.asarray(-0.5 * ((true - seen.low) / seen.spread) ** 2)
    inside = ndtr((seen.high - true) / seen.spread) - ndtr((seen.low - true) / seen.spread)
    return np.asarray(np.log(np.maximum(inside, 1e-300)))
