"""How deep sealant has cured, and where the oil stands against the joint."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics import cure, level
from leakdx.mechanics.band import exactly
from leakdx.mechanics.level import Joint
from tests.mechanics.refused import Refused, is_refused
from tests.shipped import trade

PER_ROOT_DAY = trade().cure.depth_mm_per_root_day.as_band.times(1e-3)
RING = Joint(0.18, 0.12)


@given(st.floats(60, 1e6), st.floats(0.3, 2))
def test_depth_and_time_are_inverse(seconds: float, factor: float) -> None:
    deep = cure.depth(exactly(3e-3), seconds, factor).likely
    assert cure.time_for(exactly(3e-3), deep, factor).likely == pytest.approx(seconds)
    assert cure.time_for(exactly(3e-3), 2 * deep, factor).likely == pytest.approx(4 * seconds)


def test_slow_sealant_is_the_late_end() -> None:
    time = cure.time_for(PER_ROOT_DAY, 6e-3)
    assert [round(end / 3600) for end in (time.low, time.likely, time.high)] == [54, 96, 216]


@given(st.floats(-10, 45), st.floats(5, 95))
def test_dry_and_cold_air_cures_slower(celsius: float, humidity: float) -> None:
    assert cure.air_factor(celsius, humidity) < cure.air_factor(celsius + 5, humidity)
    assert cure.air_factor(celsius, humidity) < cure.air_factor(celsius, humidity + 5)


def test_the_share_of_a_flange() -> None:
    assert cure.share_cured(0.003, 0.012) == 0.25
    assert cure.share_cured(0.003, 0.012, edges=2) == 0.5
    assert cure.share_cured(0.3, 0.012) == 1


@given(st.floats(-0.1, 0.3), st.floats(0, 0.3))
def test_downhill_puts_oil_to_the_joint_as_uphill_takes_it_away(stands: float, tilt: float) -> None:
    down, up = (level.height_at_joint(RING, stands, side) for side in (tilt, -tilt))
    assert down + up == pytest.approx(2 * stands)
    assert down >= stands


def test_six_per_cent_over_120_mm_are_seven_millimetres() -> None:
    assert level.height_at_joint(RING, 0.05, level.slope(6)) == pytest.approx(0.0572)


@pytest.mark.parametrize(("height", "hours"), [(-0.1, 0), (0, 0), (0.18, 3), (0.36, 6), (1, 6)])
def test_the_arc_in_oil_by_the_clock(height: float, hours: float) -> None:
    start, end = level.wet_clock(level.wet_half_angle(RING, height))
    assert (start, end) == pytest.approx((6 - hours, 6 + hours))


@given(st.floats(0, 0.36))
def test_the_arc_ends_where_the_oil_does(height: float) -> None:
    half = level.wet_half_angle(RING, height)
    assert RING.radius * (1 - math.cos(half)) == pytest.approx(height, abs=1e-9)


def test_depth_over_the_lowest_point() -> None:
    assert level.pressure_head(0.1, 0) == 0.1
    assert level.pressure_head(-0.1, 0.1) == 0
    assert level.pressure_head(0.1, math.radians(30)) == pytest.approx(0.1 * math.cos(math.radians(30)))


def test_a_sloping_floor_misleads_the_check() -> None:
    assert level.check_error(0.15, level.slope(2)) == pytest.approx(0.003)
    assert level.check_error(-0.15, level.slope(2)) == pytest.approx(-0.003)


REFUSED: list[Refused] = [
    (lambda: cure.depth(PER_ROOT_DAY, -1), "the time is -1"),
    (lambda: cure.time_for(PER_ROOT_DAY, 0), "the depth is 0"),
    (lambda: cure.air_factor(23, 0), "give per cent"),
    (lambda: cure.air_factor(23, 120), "the humidity in per cent is 120"),
    (lambda: cure.air_factor(100, 50), "the temperature of the shop is 100 degC (212 degF)"),
    (lambda: cure.air_factor(-274, 50), "not above absolute zero"),
    (lambda: cure.share_cured(0.003, 0), "the flange's width is 0"),
    (lambda: cure.share_cured(0.003, 0.01, 3), "2 while it stands open"),
    (lambda: Joint(0, 0.1), "the joint's radius is 0"),
    (lambda: Joint(0.18, -0.1), "the distance ahead is -100 mm (-3.937 in)"),
    (lambda: level.slope(100), "the grade in per cent is 100"),
    (lambda: level.height_at_joint(RING, math.inf, 0), "the oil's height is no number"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
