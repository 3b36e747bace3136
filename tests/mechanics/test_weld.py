"""Weld heat at the joint."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from leakdx.mechanics import weld
from leakdx.mechanics.band import Band, about, exactly
from leakdx.mechanics.weld import Metal, Weld
from tests.mechanics.refused import Refused, is_refused

STEEL = Metal(4.4e6, 1510, 41, 9.1e-6)
BEARS = Band(220, 270, 320)

heats = st.floats(2e5, 3e6)
walls = st.floats(0.003, 0.05)
distances = st.floats(0.003, 0.3)


def bead(heat: float = 720_000, wall: float = 0.010, start: float = 20) -> Weld:
    return Weld(heat, wall, start, STEEL)


@given(heats, walls, distances)
def test_a_peak_lies_between_start_and_melt_and_falls_with_distance(heat: float, wall: float, distance: float) -> None:
    work = bead(heat, wall)
    assert 20 < weld.thin_peak(work, distance) <= 1510
    assert 20 < weld.thick_peak(work, distance) <= 1510
    assert weld.thin_peak(work, distance * 2) < weld.thin_peak(work, distance)


@given(heats, walls, st.floats(100, 1400))
def test_reach_is_the_distance_of_a_peak(heat: float, wall: float, celsius: float) -> None:
    work = bead(heat, wall)
    assert weld.peak(work, weld.reach(work, celsius)) == pytest.approx(celsius, rel=1e-6)


@given(heats, walls)
def test_at_the_edge_of_the_melt_it_melts(heat: float, wall: float) -> None:
    assert weld.peak(bead(heat, wall), 0) == pytest.approx(1510)


def test_a_thick_wall_takes_the_heat_down_not_along() -> None:
    assert weld.peak(bead(wall=0.010), 0.040) > weld.peak(bead(wall=0.060), 0.040)
    thick = bead(wall=0.100)
    assert weld.peak(thick, 0.020) == weld.thick_peak(thick, 0.020 + weld.melt_radius(thick))


@given(heats, walls, distances)
def test_a_chance_is_one_and_rises_with_heat_and_falls_with_distance(heat: float, wall: float, distance: float) -> None:
    work, arc = bead(heat, wall), about(heat, 0.15)
    near = weld.chance_of_harm(work, arc, about(distance, 0.1), BEARS)
    assert 0 <= near <= 1
    assert weld.chance_of_harm(work, arc, about(2 * distance, 0.1), BEARS) <= near + 1e-9
    assert weld.chance_of_harm(work, arc.times(2), about(distance, 0.1), BEARS) >= near - 1e-9


def test_a_chance_is_that_of_many_drawn_welds() -> None:
    """Beside drawing heat, distance and limit at random and working out each peak."""
    work, heat, distance = bead(), Band(5e5, 7e5, 9e5), about(0.045, 0.15)
    drawn = np.random.default_rng(1).standard_normal((20_000, 3))
    above = sum(weld.peak(bead(heat.at(float(h))), distance.at(float(d))) > BEARS.at(float(b)) for h, d, b in drawn)
    assert weld.chance_of_harm(work, heat, distance, BEARS) == pytest.approx(above / len(drawn), abs=0.012)


@pytest.mark.parametrize("limit", [BEARS, about(270, 0.02)])
def test_a_chance_at_a_known_distance_is_the_integral(limit: Band) -> None:
    """Beside scipy's integral over the spread of the heat, of the share of limits that its peak passes."""
    heat, distance = Band(6.6e5, 7.5e5, 8.25e5), 0.014

    def passed(deviation: float) -> float:
        hot = weld.peak(bead(heat.at(deviation)), distance)
        return math.exp(-(deviation**2) / 2) / math.sqrt(math.tau) * (1 - limit.chance_above(hot))

    integral, _ = quad(passed, -8, 8, points=[0])
    assert weld.chance_of_harm(bead(), heat, exactly(distance), limit) == pytest.approx(integral, abs=1e-3)


def test_hot_work_is_already_too_hot() -> None:
    assert weld.chance_of_harm(bead(start=500), exactly(7e5), exactly(0.1), exactly(270)) == pytest.approx(1)
    assert weld.chance_of_harm(bead(), exactly(7e5), exactly(5.0), exactly(270)) == 0


REFUSED: list[Refused] = [
    (lambda: weld.heat_input(240, 120, 0.003, 0.8), "the voltage in V is 240"),
    (lambda: weld.heat_input(24, -120, 0.003, 0.8), "the current in A is -120"),
    (lambda: weld.heat_input(24, 120, 0, 0.8), "the travel speed is 0"),
    (lambda: weld.heat_input(24, 120, 0.003, 80), "the arc's efficiency is 80"),
    (lambda: bead(wall=-1), "the wall is -1"),
    (lambda: bead(start=-300), "not above absolute zero"),
    (lambda: bead(start=1600), "already molten"),
    (lambda: weld.reach(bead(), 10), "10 degC is not above the 20 degC"),
    (lambda: weld.thin_peak(bead(), -0.01), "the distance is -0.01"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
