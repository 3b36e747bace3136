"""The clamp round the joint: against a dense solve, balance, and where the faces part."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.mechanics.clamp import Clamp, Flange, Numbers, bed_of, bending_moment, clamp, line_load, shapes
from leakdx.mechanics.trade import trade
from tests.mechanics.refused import is_refused

FLANGE = Flange(0.02, 0.018, 1e11)
LENGTH = 1.13
EACH = 100e3

forces = st.lists(st.sampled_from([0.0, 20e3, 60e3, EACH, 1.1 * EACH]), min_size=6, max_size=20).filter(any)


def found(given_forces: list[float], points: int = 240) -> Clamp:
    return clamp(FLANGE, LENGTH, given_forces, EACH, points)


def dense(flange: Flange, length: float, loads: list[float], points: int) -> Numbers:
    """Pressures by finite differences: all places at once, the bed let go wherever it pulls."""
    step = length / points
    eye = np.eye(points)
    bend = 6 * eye - 4 * (np.roll(eye, 1, 0) + np.roll(eye, -1, 0)) + np.roll(eye, 2, 0) + np.roll(eye, -2, 0)
    load = np.zeros(points)
    for number, force in enumerate(loads):
        load[round(number * points / len(loads)) % points] += force / step
    holds = np.ones(points, bool)
    for _ in range(60):
        down = np.linalg.solve(flange.bending / step**4 * bend + flange.stiffness * np.diag(holds * 1.0), load)
        if np.array_equal(down > 0, holds):
            break
        holds = down > 0
    return np.asarray(np.maximum(down, 0) * flange.bed, np.float64)


@settings(deadline=None, max_examples=30)
@given(forces)
def test_the_field_bears_the_sum_of_all_preloads(loads: list[float]) -> None:
    field = found(loads)
    assert field.pressure.min() >= 0
    assert field.mean * FLANGE.width * LENGTH == pytest.approx(sum(loads), rel=1e-6)


@settings(deadline=None, max_examples=30)
@given(forces, st.floats(0.1, 10))
def test_twice_the_preload_is_twice_the_clamp(loads: list[float], factor: float) -> None:
    one, other = found(loads), found([factor * load for load in loads])
    assert other.pressure == pytest.approx(factor * one.pressure, rel=1e-6, abs=1e-3)
    assert other.spans == one.spans


@settings(deadline=None, max_examples=30)
@given(forces, st.integers(1, 19))
def test_the_joint_may_be_counted_from_any_fastener(loads: list[float], by: int) -> None:
    count = len(loads)
    one, other = found(loads, 12 * count), found(loads[by % count :] + loads[: by % count], 12 * count)
    assert np.roll(other.pressure, 12 * (by % count)) == pytest.approx(one.pressure, rel=1e-6, abs=1e3)


@pytest.mark.parametrize(
    "loads", [[EACH] * 16, [EACH] * 7 + [0.0] * 3 + [EACH] * 6, [EACH] * 10 + [0.4 * EACH] * 2 + [EACH] * 4]
)
def test_a_dense_solve_says_the_same(loads: list[float]) -> None:
    points = 800
    ours, theirs = found(loads, points).pressure, dense(FLANGE, LENGTH, loads, points)
    assert ours == pytest.approx(theirs, abs=0.004 * ours.max())


def test_lost_fasteners_part_the_faces_and_one_weak_one_does_not() -> None:
    lost = found([EACH] * 7 + [0.0] * 3 + [EACH] * 6)
    assert lost.least == 0
    assert lost.share_of_sound == 0
    assert lost.least_at == pytest.approx(8 / 16)
    ((start, end),) = lost.own_spans
    assert 6 / 16 < start < 8 / 16 < end < 10 / 16
    weak = found([EACH] * 8 + [0.6 * EACH] + [EACH] * 7)
    assert weak.spans == ()
    assert 0.5 < weak.share_of_sound < 0.95
    assert abs(weak.least_at - 8 / 16) < 1 / 16


def test_a_stretch_may_pass_the_start() -> None:
    ((start, end),) = found([0.0, 0.0, *[EACH] * 13, 0.0]).spans
    assert start < 1 < end
    assert found([0.0, 0.0, *[EACH] * 13, 0.0]).least_at == pytest.approx(0, abs=1e-9)


def test_a_sound_joint_is_the_same_everywhere() -> None:
    field = found([EACH] * 16, 16 * 40)
    assert field.share_of_sound == pytest.approx(1)
    assert field.pressure[:40] == pytest.approx(field.pressure[40:80])
    assert field.pressure[20] == pytest.approx(field.pressure.min())


def test_a_soft_flange_parts_by_itself_and_that_is_told_apart() -> None:
    thin = clamp(Flange(0.02, 0.008, 3e11), LENGTH, [EACH] * 5 + [0.0] + [EACH] * 4, EACH)
    assert len(thin.spans) > len(thin.own_spans) == 1


@given(st.floats(0.01, 6), st.floats(5, 60))
def test_a_long_ring_is_an_endless_beam(z: float, beta: float) -> None:
    away = np.array([z / beta])
    a, _, c, _ = shapes(np.array([z]))
    assert line_load(away, beta) == pytest.approx(beta / 2 * a)
    assert bending_moment(away, beta) == pytest.approx(c / (4 * beta))
    assert line_load(away, beta, 60 / beta) == pytest.approx(beta / 2 * a, abs=1e-9 * beta)


@settings(deadline=None, max_examples=30)
@given(st.floats(5, 60), st.floats(0.2, 2))
def test_on_a_ring_a_force_is_borne_and_nothing_turns(beta: float, length: float) -> None:
    away = (np.arange(4000) + 0.5) * length / 4000
    assert line_load(away, beta, length).mean() * length == pytest.approx(1, rel=1e-4)
    assert bending_moment(away, beta, length).mean() == pytest.approx(0, abs=1e-5)


def test_beds_of_the_trade() -> None:
    gasket, sealant = (trade().beds[name] for name in ("gasket", "sealant"))
    beds = [bed_of(each.modulus_mpa * 1e6, each.thickness_mm * 1e-3) for each in (gasket, sealant)]
    assert beds[0] == pytest.approx(3.75e11)
    assert beds[0] < beds[1], "a gasket gives more than metal on metal"


def test_joints_that_cannot_be() -> None:
    is_refused(lambda: Flange(0, 0.018, 1e11), "the flange's width")
    is_refused(lambda: Flange(0.02, 5, 1e11), "the flange's thickness")
    is_refused(lambda: Flange(0.02, 0.018, -1), "the bed's stiffness")
    is_refused(lambda: bed_of(3e8, 0), "the thickness of what lies between")
    is_refused(lambda: found([EACH, EACH]), "the count of fasteners is 2")
    is_refused(lambda: found([EACH, -1, EACH]), "the preload of fastener 2 is -1")
    is_refused(lambda: found([EACH, float("nan"), EACH]), "the preload of fastener 2 is no number")
    is_refused(lambda: found([0.0] * 8), "every fastener is lost")
    is_refused(lambda: clamp(FLANGE, 0, [EACH] * 8, EACH), "the length of the joint")
    is_refused(lambda: clamp(FLANGE, 1, [EACH] * 8, 0), "the sound preload")
