"""Places by the clock and by fastener numbers."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics.places import Arc, Place, clock, read_arc, read_clock, read_turn
from tests.mechanics.refused import Refused, is_refused

SIXTEEN = [math.tau * at / 16 for at in range(16)]


@pytest.mark.parametrize(("text", "degrees"), [("12", 0), ("3", 90), ("4:30", 135), ("11:50", 355), ("12:30", 15)])
def test_the_clock_both_ways(text: str, degrees: float) -> None:
    assert math.degrees(read_clock(text)) == pytest.approx(degrees)
    assert clock(math.radians(degrees)) == text


@given(st.floats(-20, 20))
def test_what_is_said_is_within_three_minutes_of_the_place(turn: float) -> None:
    away = (read_clock(clock(turn)) - turn) % math.tau
    assert min(away, math.tau - away) <= math.radians(1.25) + 1e-9


def test_fasteners_stand_where_the_ring_has_them() -> None:
    assert clock(read_turn("n5", SIXTEEN)) == "3"
    assert read_turn("n9", SIXTEEN) == math.pi
    assert Place("3", math.pi / 2, 2).point == pytest.approx((2, 0))


def test_an_arc_runs_clockwise_and_may_pass_twelve() -> None:
    arc = read_arc("11..1", ())
    assert clock(arc.middle) == "12"
    assert arc.width == pytest.approx(math.tau / 6)
    assert arc.away(read_clock("12:30")) == arc.away(read_clock("11")) == 0
    assert arc.away(read_clock("2")) == pytest.approx(math.tau / 12) == pytest.approx(arc.away(read_clock("10")))
    assert read_arc("n1..n5", SIXTEEN).width == pytest.approx(math.pi / 2)
    assert read_arc("6", ()) == Arc(math.pi)
    assert Arc(0).at_least(0.2).middle == pytest.approx(0)
    assert Arc(0).at_least(0.2).width == 0.2
    assert arc.at_least(0.2) is arc


@given(st.floats(0, 7), st.floats(0, 6.2), st.floats(0, 7))
def test_no_place_is_farther_than_half_of_what_is_left(start: float, width: float, turn: float) -> None:
    assert 0 <= Arc(start, width).away(turn) <= (math.tau - width) / 2 + 1e-9


REFUSED: list[Refused] = [
    (lambda: read_clock("13"), "write 1 to 12"),
    (lambda: read_clock("0:30"), "no place on a clock"),
    (lambda: read_clock("4:75"), "no place on a clock"),
    (lambda: read_clock("top"), "no place on a clock"),
    (lambda: read_turn("n17", SIXTEEN), "the joint has 1 to 16"),
    (lambda: read_turn("n0", SIXTEEN), "there is no fastener 0"),
    (lambda: read_turn("nine", SIXTEEN), "write n5 for number 5"),
    (lambda: read_turn("n5", ()), "--count 16"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
