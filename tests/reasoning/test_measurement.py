"""Readings of a measured sign, against scipy's adaptive integration."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import lognorm, norm

from leakdx.knowledge.model import Measure
from leakdx.marks import FROM_MEMORY
from leakdx.reasoning.measurement import measured_likelihood


def flatness(gauge: float = 0.0006, *, beyond: str = "above", median: float = 0.004, factor: float = 1.8) -> Measure:
    return Measure(
        unit="in",
        limit=0.005,
        beyond=beyond,  # type: ignore[arg-type]
        median=median,
        factor=factor,
        gauge=gauge,
        highest=0.1,
        mark=FROM_MEMORY,
        reason="for a test",
    )


def by_scipy(measure: Measure, readings: list[float]) -> tuple[float, float]:
    spread = lognorm(s=np.log(measure.factor), scale=measure.median)
    middle, reach, limit = float(np.mean(readings)), 12 * measure.gauge, measure.limit

    def density(x: float) -> float:
        return float(spread.pdf(x) * np.prod(norm.pdf(readings, loc=x, scale=measure.gauge)))

    def mass(low: float, high: float) -> float:
        edges = sorted({low, high, *np.clip([middle - reach, middle, middle + reach], low, high)})
        return float(sum(quad(density, a, b, epsabs=0, epsrel=1e-12, limit=200)[0] for a, b in pairwise(edges)))

    below = mass(0.0, limit) / spread.cdf(limit)
    above = mass(limit, max(limit, middle) + 2 * reach) / spread.sf(limit)
    return (below, above) if measure.beyond == "above" else (above, below)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(0.0035, 0.0068), min_size=1, max_size=4),
    st.floats(0.0004, 0.002),
    st.sampled_from(["above", "below"]),
    st.floats(0.002, 0.008),
    st.floats(1.2, 3.0),
)
def test_readings_fold_the_gauge_with_the_cut_spread(
    readings: list[float], gauge: float, beyond: str, median: float, factor: float
) -> None:
    measure = flatness(gauge, beyond=beyond, median=median, factor=factor)
    within, past = measured_likelihood(measure, readings)
    expected = by_scipy(measure, readings)
    assert max(within, past) == 1
    assert within / past == pytest.approx(expected[0] / expected[1], rel=1e-9)


def test_a_reading_far_within_and_far_beyond() -> None:
    assert measured_likelihood(flatness(), [0.002])[1] < 1e-4
    assert measured_likelihood(flatness(), [0.009])[0] < 1e-4


def test_beyond_below_is_the_mirror() -> None:
    within, beyond = measured_likelihood(flatness(), [0.0056])
    assert measured_likelihood(flatness(beyond="below"), [0.0056]) == (beyond, within)


def test_repeating_a_reading_says_more() -> None:
    once = measured_likelihood(flatness(), [0.0056])[0]
    assert measured_likelihood(flatness(), [0.0056, 0.0056])[0] < once


def test_a_much_finer_gauge_leaves_no_doubt() -> None:
    assert measured_likelihood(flatness(1e-7), [0.0051])[0] == 0.0
    assert measured_likelihood(flatness(1e-7), [0.0049])[1] == 0.0


@given(st.floats(-0.01, 0.1), st.floats(1e-6, 0.01))
def test_any_reading_gives_a_likelihood(reading: float, gauge: float) -> None:
    within, beyond = measured_likelihood(flatness(gauge), [reading])
    assert max(within, beyond) == 1
    assert min(within, beyond) >= 0
