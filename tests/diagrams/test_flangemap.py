"""The flange as a map in characters: every fastener once and where it belongs, whatever the joint and the room."""

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.diagrams.flangemap import LOW, READ, WEAK, WELD, WET, FlangeMap, Spot, Stretch, flange_map, legend
from leakdx.mechanics.outline import Outline, oblong, ring
from leakdx.mechanics.places import Arc

SIZES = [(30, 10), (42, 13), (42, 16), (86, 30)]
LINES = {"ring": ring(0.18), "tall": oblong(0.45, 0.32, 0.1), "wide": oblong(0.3, 0.42)}
HOUR = math.tau / 12


def turns_of(line: Outline, count: int) -> list[float]:
    return [float(hour) * HOUR for hour in line.hours(np.array(line.even(count)))]


def drawn(line: Outline, count: int, size: tuple[int, int], weak: int = 0, beside: str = "") -> FlangeMap:
    spots = [
        Spot(f"n{n}", turn, f"{WEAK if n == weak else READ}{n}{beside}")
        for n, turn in enumerate(turns_of(line, count), 1)
    ]
    return flange_map(line, spots, [Stretch(WET, Arc(5 * HOUR, 2 * HOUR)), Stretch(LOW, Arc(3 * HOUR))], *size)


@settings(max_examples=40)
@given(st.sampled_from(list(LINES)), st.integers(6, 24), st.sampled_from(SIZES), st.data())
def test_each_fastener_stands_there_once_and_where_it_is_said(
    shape: str, count: int, size: tuple[int, int], data: st.DataObject
) -> None:
    weak = data.draw(st.integers(1, count))
    made = drawn(LINES[shape], count, size, weak)
    assert len(made.rows) == size[1]
    assert all(len(row) <= size[0] for row in made.rows)
    shown = [word for row in made.rows for word in re.findall(rf"[{READ}{WEAK}]\d+", row)]
    assert sorted(shown) == sorted(f"{WEAK if n == weak else READ}{n}" for n in range(1, count + 1))
    for n in range(1, count + 1):
        row, column, letters = made.spots[f"n{n}"]
        assert made.rows[row][column : column + letters] == f"{WEAK if n == weak else READ}{n}"


@settings(max_examples=20)
@given(st.sampled_from(list(LINES)), st.integers(6, 24), st.sampled_from(SIZES[1:]))
def test_they_go_round_clockwise_from_the_top(shape: str, count: int, size: tuple[int, int]) -> None:
    line = LINES[shape]
    made = drawn(line, count, size)
    middle = (size[0] / 2, (size[1] - 1) / 2)
    for n, turn in enumerate(turns_of(line, count), 1):
        row, column, letters = made.spots[f"n{n}"]
        right, up = column + letters / 2 - middle[0], 2 * (middle[1] - row)
        off = (math.atan2(right, up) - turn + math.pi) % math.tau - math.pi
        assert abs(off) < math.radians(26), (n, made.rows)


def test_what_was_read_stands_beside_each_where_there_is_room() -> None:
    made = drawn(LINES["ring"], 16, (86, 30), beside=" 225")
    assert sum(row.count(" 225") for row in made.rows) == 16


@pytest.mark.parametrize(("hour", "side"), [(3, "right"), (9, "left")])
def test_a_weld_and_a_wet_arc_lie_where_they_are_inside_the_ring(hour: int, side: str) -> None:
    made = flange_map(ring(0.18), [], [Stretch(WET, Arc(hour * HOUR)), Stretch(WELD, Arc(hour * HOUR))], 42, 16)
    at = [(mark, column) for row in made.rows for column, mark in enumerate(row) if mark in (WET, WELD)]
    assert {mark for mark, _ in at} == {WET, WELD}
    assert all((column > 21) == (side == "right") for _, column in at)
    outer = {mark: max(abs(column - 21) for own, column in at if own == mark) for mark in (WET, WELD)}
    assert outer[WET] > outer[WELD]


def test_fasteners_as_close_as_can_be_still_stand_apart() -> None:
    line = ring(0.18)
    spots = [Spot(str(n), n * math.radians(1), f"{READ}{n}") for n in range(1, 9)]
    made = flange_map(line, spots, [], 42, 16)
    cells = [(row, c) for row, column, letters in made.spots.values() for c in range(column, column + letters)]
    assert len(cells) == len(set(cells))


def test_without_room_it_says_so_and_draws_nothing_wrong() -> None:
    with pytest.raises(ValueError, match="no room"):
        flange_map(ring(0.18), [Spot(str(n), 0.1 * n, "o" * 5) for n in range(9)], [], 12, 3)


def test_the_legend_names_each_mark_that_is_there_once() -> None:
    said = legend({WET, WEAK})
    assert said == "X lost clamp  ~ wet"
