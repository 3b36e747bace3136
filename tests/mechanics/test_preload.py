"""Torque and preload, there and back."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics import preload
from leakdx.mechanics.band import Band, exactly
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.threads import read_thread
from tests.shipped import trade

SIZE = read_thread("5/8-11", trade())
RADIUS = preload.usual_head_radius(SIZE)

torques = st.floats(0.1, 2000)
factors = st.floats(0.08, 0.5)
frictions = st.floats(0.06, 0.4)


@given(torques, factors, st.floats(0.005, 0.04))
def test_there_and_back(torque: float, factor: float, diameter: float) -> None:
    force = preload.preload_of(torque, factor, diameter)
    assert preload.torque_for(force, factor, diameter) == pytest.approx(torque)


@given(frictions)
def test_the_shares_are_a_whole_and_the_friction_comes_back(friction: float) -> None:
    arms = preload.arms(SIZE, friction, friction, RADIUS)
    assert sum(arms.shares) == pytest.approx(1)
    assert arms.loosening < 1
    assert preload.friction_for(arms.total / SIZE.diameter, SIZE, RADIUS) == pytest.approx(friction)


def test_an_exact_power_screw_needs_little_more() -> None:
    """The textbook's screw with its lead angle beside the long form, which takes small angles."""
    friction, mean, flank = 0.15, SIZE.pitch_diameter, math.cos(math.radians(30))
    lead = math.pi * mean
    screw = mean / 2 * (SIZE.pitch + lead * friction / flank) / (lead - friction * SIZE.pitch / flank)
    arms = preload.arms(SIZE, friction, friction, RADIUS)
    assert arms.pitch + arms.thread == pytest.approx(screw, rel=0.01)


@given(frictions, st.floats(3e8, 1.2e9))
def test_twist_takes_from_what_stretch_may_have(friction: float, yields: float) -> None:
    most = preload.preload_at_yield(SIZE, yields, friction)
    assert most < SIZE.stress_area * yields
    assert preload.preload_at_yield(SIZE, yields, friction + 0.05) < most
    assert preload.preload_at_yield(SIZE, yields, friction, 0.9) == pytest.approx(0.9 * most)


@given(st.floats(100, 550))
def test_the_yielding_preload_is_where_torque_and_stress_meet(torque: float) -> None:
    force = preload.yielding_preload(SIZE, 896e6, torque, RADIUS)
    friction = preload.friction_for(torque / (force * SIZE.diameter), SIZE, RADIUS)
    assert preload.preload_at_yield(SIZE, 896e6, friction) == pytest.approx(force, rel=1e-6)


def test_where_twist_alone_is_enough_no_preload_is_left() -> None:
    assert preload.yielding_preload(SIZE, 896e6, 2000, RADIUS) < 0.01 * SIZE.stress_area * 896e6


def test_a_pull_reaches_a_fastener_by_its_stiffness() -> None:
    assert preload.load_share(1, 4) == 0.2
    load = preload.loaded(Band(90, 100, 110), 50, Band(0.1, 0.2, 0.3))
    assert (load.low, load.likely, load.high) == pytest.approx((110 - 125**0.5, 110, 110 + 125**0.5))
    assert preload.loaded(exactly(100), 0, exactly(0.2)) == exactly(100)


def test_scatter_is_numpys() -> None:
    data = (30.3, 32.5, 33.8, 40.5)
    mean, deviation, quotient = preload.scatter_of(data)
    assert (mean, deviation) == pytest.approx((np.mean(data), np.std(data, ddof=1)))
    assert quotient == pytest.approx(deviation / mean)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: preload.preload_of(-1, 0.2, 0.016), "the torque is -1, and cannot be less than 0"),
        (lambda: preload.preload_of(math.nan, 0.2, 0.016), "the torque is no number"),
        (lambda: preload.preload_of(100, 0, 0.016), "the nut factor is 0"),
        (lambda: preload.torque_for(-5, 0.2, 0.016), "the preload is -5"),
        (lambda: preload.arms(SIZE, -0.1, 0.1, RADIUS), "the friction of the thread is -0.1"),
        (lambda: preload.mean_radius(0.016, 0.02), "smaller than the face"),
        (lambda: preload.load_share(0, 0), "the stiffness of fastener and joint is 0"),
        (lambda: preload.scatter_of([1.0]), "needs two values"),
    ],
)
def test_what_cannot_be_is_said(call: object, said: str) -> None:
    assert callable(call)
    with pytest.raises(MeasureError, match=said):
        call()
