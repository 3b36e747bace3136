"""Places on the joint: round, wide and tall."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics.outline import Outline, clock, read_clock, ring, turn_of
from tests.mechanics.refused import is_refused

sizes = st.floats(0.2, 0.6)
outlines = st.builds(Outline, sizes, sizes)
turns = st.floats(0, 0.999)


@given(outlines, turns)
def test_a_clock_hand_finds_the_outline_and_back(joint: Outline, turn: float) -> None:
    point = joint.towards(turn)
    assert abs((turn_of(point) - turn + 0.5) % 1 - 0.5) < 1e-9
    assert math.dist(point, joint.along(joint.way_to(turn))) < 1e-9


@given(outlines, turns, st.integers(3, 40))
def test_steps_are_even_and_opposites_opposite(joint: Outline, turn: float, count: int) -> None:
    points = [joint.along(turn + step / (20 * count)) for step in range(20 * count)]
    way = sum(math.dist(one, other) for one, other in zip(points, [*points[1:], points[0]], strict=True))
    assert way == pytest.approx(joint.length, rel=1e-2)
    x, y = joint.along(turn)
    assert joint.along(turn + 0.5) == pytest.approx((-x, -y), abs=1e-9)
    assert len(joint.fasteners(count, turn)) == count


def test_corners_of_the_clock() -> None:
    for joint in (ring(0.2), Outline(0.5, 0.3), Outline(0.3, 0.5)):
        for hour, (x, y) in {"12": (0, 1), "3": (1, 0), "6": (0, -1), "9": (-1, 0)}.items():
            expected = (x * joint.width / 2, y * joint.height / 2)
            assert joint.towards(read_clock(hour)) == pytest.approx(expected, abs=1e-12)
            assert joint.fasteners(4, read_clock(hour))[0] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("text", "turn"), [("12", 0), ("3", 0.25), ("1:30", 0.125), ("11:45", 705 / 720)])
def test_clock_positions_read_and_written(text: str, turn: float) -> None:
    assert read_clock(text) == turn
    assert clock(turn).removesuffix(" o'clock") == text
    assert clock(turn + 1) == clock(turn)


@pytest.mark.parametrize("text", ["0", "13", "3:60", "three", "", "3:5", "-3", "٣"])
def test_what_is_no_clock_position(text: str) -> None:
    is_refused(lambda: read_clock(text), "is no clock position")


def test_joints_that_cannot_be() -> None:
    is_refused(lambda: Outline(-1, 1), "the joint's width in m is -1")
    is_refused(lambda: Outline(1, math.nan), "the joint's height")
    is_refused(lambda: Outline(0.1, 1), "width over height")
    is_refused(lambda: ring(0), "the joint's radius")
    is_refused(lambda: ring(0.2).fasteners(2), "the count of fasteners is 2")
    is_refused(lambda: ring(0.2).fasteners(61), "the count of fasteners is 61")
