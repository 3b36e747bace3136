"""The line of fasteners, round and oblong."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics.outline import Outline, oblong, ring
from tests.mechanics.refused import Refused, is_refused

ROUND, OBLONG = ring(0.18), oblong(0.40, 0.30, 0.08)
OUTLINES = st.sampled_from([ROUND, OBLONG, oblong(0.3, 0.5), oblong(0.4, 0.3, 0.15), Outline(0.3, 0.3, 0.01)])


@given(OUTLINES)
def test_the_line_is_as_long_as_its_parts(line: Outline) -> None:
    right, up = line.points(np.linspace(0, line.around, 5001))
    assert np.hypot(np.diff(right), np.diff(up)).sum() == pytest.approx(line.around, rel=1e-5)


@given(OUTLINES, st.floats(0, 11.999))
def test_a_clock_hour_is_found_and_read_back(line: Outline, hour: float) -> None:
    assert float(line.hours(np.array(line.place(hour)))) == pytest.approx(hour, abs=1e-6)


@given(OUTLINES, st.floats(0, 1))
def test_the_place_across_is_half_a_line_away(line: Outline, share: float) -> None:
    place = share * line.around
    here, across = (line.points(np.array(at)) for at in (place, place + line.around / 2))
    assert [float(part) for part in here] == pytest.approx([-float(part) for part in across], abs=1e-9)


def test_quarters_of_the_clock() -> None:
    for line in (ROUND, OBLONG):
        for hour, (right, up) in {12: (0, 1), 3: (1, 0), 6: (0, -1), 9: (-1, 0)}.items():
            at = [float(part) for part in line.points(np.array(line.place(hour)))]
            assert at == pytest.approx([right * line.wide / 2, up * line.high / 2], abs=1e-9)


def test_a_ring_is_round() -> None:
    assert ROUND.is_round
    assert ROUND.around == pytest.approx(math.tau * 0.18)
    assert not OBLONG.is_round
    right, up = ROUND.points(np.linspace(0, ROUND.around, 100))
    assert np.hypot(right, up) == pytest.approx(0.18)


def test_fasteners_stand_evenly_from_the_first() -> None:
    assert ROUND.even(4, 1) == pytest.approx([ROUND.place(hour) for hour in (1, 4, 7, 10)])
    assert OBLONG.even(4) == pytest.approx([OBLONG.place(hour) for hour in (12, 3, 6, 9)])


def test_fasteners_stand_where_the_clock_says() -> None:
    assert ROUND.at_hours([11, 1, 5, 8.5]) == pytest.approx([ROUND.place(hour) for hour in (11, 1, 5, 8.5)])


REFUSED: list[Refused] = [
    (lambda: ring(0), "the joint's radius is 0 mm (0 in)"),
    (lambda: oblong(0.4, -0.3), "the joint's width is -300 mm"),
    (lambda: oblong(math.inf, 0.3), "the joint's height is no number"),
    (lambda: oblong(0.4, 0.3, 0.2), "a corner of 200 mm (7.874 in) is too round"),
    (lambda: oblong(0.4, 0.3, 0.0), "the corner's radius is 0"),
    (lambda: ROUND.even(2), "the count of fasteners is 2"),
    (lambda: ROUND.even(61), "the count of fasteners is 61"),
    (lambda: ROUND.place(13), "the clock hour is 13"),
    (lambda: ROUND.at_hours([12, 3]), "the count of fasteners is 2"),
    (lambda: ROUND.at_hours([12, 3, 3, 6]), "fastener 2 stands where the next one does"),
    (lambda: ROUND.at_hours([12, 6, 3]), "go round more than once"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
