"""A strip on an elastic bed."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from leakdx.mechanics.beam import Numbers, Strip, bed_load, bending_stiffness, both_bend, waves
from tests.mechanics.refused import Refused, is_refused

STRIP = Strip(bending_stiffness(207e9, 0.020, 0.018), 2e9)
LOAD = 100e3


@given(st.floats(0, 20))
def test_each_function_is_the_slope_of_another(z: float) -> None:
    """A' = -2 B, B' = C, C' = -2 D, D' = -A."""
    step = 1e-5
    before, after = waves(np.array(z)), waves(np.array(z + step))
    slopes = [float(b - a) / step for a, b in zip(before, after, strict=True)]
    a, b, c, d = (float(each) for each in waves(np.array(z + step / 2)))
    assert slopes == pytest.approx([-2 * b, c, -2 * d, -a], abs=1e-6)


def test_the_bed_bears_the_whole_load() -> None:
    away = np.linspace(-1, 1, 20_001)
    borne = STRIP.bed * np.trapezoid(STRIP.deflection(LOAD, away), away)
    assert borne == pytest.approx(LOAD, rel=1e-6)


@pytest.mark.parametrize("pitch", [0.04, 0.1, 0.25])
def test_a_row_is_the_sum_of_its_loads(pitch: float) -> None:
    at = np.linspace(0, pitch, 50)
    row = bed_load(STRIP, pitch, np.zeros(1), np.array([LOAD]), at)
    summed = sum(STRIP.bed * STRIP.deflection(LOAD, at - pitch * bolt) for bolt in range(-40, 41))
    assert row == pytest.approx(summed, rel=1e-9)


def test_half_a_pitch_is_what_a_solver_of_differential_equations_finds() -> None:
    """Half a row between two planes of symmetry, in beta x; the shear at the bolt is half of its load."""
    pitch = 0.1
    end = STRIP.beta * pitch / 2
    shear = LOAD / (2 * STRIP.bending * STRIP.beta**3)

    def slope(_: Numbers, y: Numbers) -> Numbers:
        return np.vstack((y[1], y[2], y[3], -4 * y[0]))

    def ends(at: Numbers, to: Numbers) -> Numbers:
        return np.array([at[1], at[3] - shear, to[1], to[3]])

    mesh = np.linspace(0, end, 100)
    found = solve_bvp(slope, ends, mesh, np.zeros((4, 100)), tol=1e-9)
    ours = bed_load(STRIP, pitch, np.zeros(1), np.array([LOAD]), mesh / STRIP.beta)
    assert ours == pytest.approx(STRIP.bed * found.sol(mesh)[0], rel=1e-6)


@given(st.lists(st.tuples(st.integers(0, 999), st.floats(0, 1e5)), min_size=1, max_size=30, unique_by=lambda at: at[0]))
def test_loads_add_up(loads: list[tuple[int, float]]) -> None:
    around, at = 1.1, np.linspace(0, 1.1, 77)
    loads.sort()
    places = np.array([place for place, _ in loads]) / 1000 * around
    whole = bed_load(STRIP, around, places, np.array([load for _, load in loads]), at)
    one_by_one = sum(
        bed_load(STRIP, around, places[n : n + 1], np.array([load]), at) for n, (_, load) in enumerate(loads)
    )
    assert whole == pytest.approx(one_by_one, abs=1e-3)


def test_a_stiffer_flange_evens_out() -> None:
    shares = []
    for thickness in (0.010, 0.018, 0.030):
        strip = Strip(bending_stiffness(207e9, 0.020, thickness), 2e9)
        middle, bolt = bed_load(strip, 0.1, np.zeros(1), np.array([LOAD]), np.array([0.05, 0]))
        shares.append(middle / bolt)
    assert shares == sorted(shares)


def test_two_flanges_bend_more_than_the_softer_one() -> None:
    assert both_bend(2000.0, 2000.0) == pytest.approx(1000)
    assert both_bend(2000.0, 1e12) == pytest.approx(2000)


REFUSED: list[Refused] = [
    (lambda: Strip(0, 1e9), "the bending stiffness is 0"),
    (lambda: Strip(2000, -1), "the stiffness of the bed is -1"),
    (lambda: Strip(math.nan, 1e9), "the bending stiffness is no number"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
