"""What readings say of "the true value is beyond the limit".

The true value is lognormal by the knowledge's stated spread, cut at the limit on each side; a reading
misses it by the gauge's normal error. Several readings are of one true value, so they multiply inside
the integral over it.
"""

from collections.abc import Callable, Sequence
from functools import cache
from math import erfc, exp, log, pi, sqrt

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from leakdx.knowledge.model import Measure

Array = NDArray[np.float64]

SPREADS = 10.0
"""Standard deviations of the true value's logarithm that are looked at beyond the median and the limit."""
NEGLIGIBLE = 45.0
"""Natural units below its peak at which the integrand no longer counts."""
GRID = 200
PANELS = 32
NODES = 12


class Read(Struct, frozen=True):
    """A reading in the measure's unit, with the error of its gauge. ``low`` and ``high`` differ where it is a span.

    A span: the gauge went in at ``low`` and no more at ``high``, which is infinite where none was tried.
    """

    low: float
    high: float
    error: float


def exactly(measure: Measure, value: float) -> Read:
    """One value, by the gauge that the measure knows."""
    return Read(value, value, measure.gauge)


def measured_likelihood(measure: Measure, readings: Sequence[float | Read]) -> tuple[float, float]:
    """Likelihood of the readings given "within the limit" and "beyond it", scaled so that the greater is 1."""
    within, beyond = measured_log_likelihood(measure, readings)
    top = max(within, beyond)
    return exp(within - top), exp(beyond - top)


def chance_beyond(measure: Measure, readings: Sequence[float | Read]) -> float:
    """The chance that the true value is beyond the limit, by these readings and what is usual of such trucks."""
    within, beyond = measured_likelihood(measure, readings)
    above = erfc((log(measure.limit) - log(measure.median)) / (log(measure.factor) * sqrt(2))) / 2
    usual = above if measure.beyond == "above" else 1 - above
    return usual * beyond / (usual * beyond + (1 - usual) * within)


def measured_log_likelihood(measure: Measure, readings: Sequence[float | Read]) -> tuple[float, float]:
    """Its natural logarithm, less one and the same constant for each reading.

    Args:
        measure: Limit and spread, in the unit of ``readings``. At the limit is within.
        readings: At least one, all of the same true value; a plain number is one by the gauge of the measure.
    """
    middle, sigma, limit = log(measure.median), log(measure.factor), log(measure.limit)
    reads = [read if isinstance(read, Read) else exactly(measure, read) for read in readings]
    values = [read for read in reads if read.low == read.high]
    spans = [read for read in reads if read.low != read.high]
    taken, errors = np.array([(read.low, read.error) for read in values]).reshape(-1, 2).T

    def integrand(z: Array) -> Array:
        """Log of spread times gauge error, at logarithms of the true value."""
        misses = (np.exp(z)[..., None] - taken) / errors
        logs = -0.5 * ((z - middle) / sigma) ** 2 - 0.5 * (misses**2).sum(axis=-1)
        for span in spans:
            logs = logs + _log_inside(span, np.exp(z))
        return np.asarray(logs)

    low, high = min(limit, middle) - SPREADS * sigma, max(limit, middle) + SPREADS * sigma
    offset = (limit - middle) / (sigma * sqrt(2))
    below = _log_integral(integrand, low, limit) - _log_tail(-offset) - log(sigma * sqrt(2 * pi))
    above = _log_integral(integrand, limit, high) - _log_tail(offset) - log(sigma * sqrt(2 * pi))
    return (below, above) if measure.beyond == "above" else (above, below)


def _log_inside(span: Read, true: Array) -> Array:
    """Log of the chance that a gauge with this error goes in at the low end of a span and no more at its high one."""
    from scipy.special import ndtr  # only spans need it

    inside = ndtr((span.high - true) / span.error) - ndtr((span.low - true) / span.error)
    return np.asarray(np.log(np.maximum(inside, 1e-300)))


def _log_tail(offset: float) -> float:
    """Log of the normal distribution's mass beyond ``offset`` square roots of 2."""
    return log(max(erfc(offset) / 2, 1e-300))


def _log_integral(integrand: Callable[[Array], Array], low: float, high: float) -> float:
    """Log of the integral of exp(``integrand``), which has one peak: close in on it, then Gauss-Legendre."""
    while True:
        grid = np.linspace(low, high, GRID)
        heights = integrand(grid)
        counts = np.flatnonzero(heights > heights.max() - NEGLIGIBLE)
        closer = grid[max(counts[0] - 1, 0)], grid[min(counts[-1] + 1, GRID - 1)]
        narrowed = closer[1] - closer[0] < (high - low) / 4
        low, high = closer
        if not narrowed:
            break
    edges = np.linspace(low, high, PANELS + 1)
    half = (edges[1] - edges[0]) / 2
    nodes, weights = _gauss()
    heights = integrand((edges[:-1, None] + half) + half * nodes)
    peak = float(heights.max())
    return peak + log(float((np.exp(heights - peak) * weights).sum()) * half)


@cache
def _gauss() -> tuple[Array, Array]:
    """Nodes and weights on -1..1; made when a reading first asks, since most cases have none."""
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    return nodes, weights
