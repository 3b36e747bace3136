"""The clamp field of a joint, with weak and missing fasteners."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.mechanics.beam import Strip, bending_stiffness
from leakdx.mechanics.clamp import Joint
from leakdx.mechanics.outline import oblong, ring
from tests.mechanics.refused import Refused, is_refused

WIDTH, PRELOAD, LINE = 0.020, 96e3, ring(0.18)


def joint(count: int = 16, bed: float = 4e9, thickness: float = 0.018) -> Joint:
    strip = Strip(bending_stiffness(169e9, WIDTH, thickness), bed)
    return Joint(strip, LINE.around, WIDTH, LINE.even(count))


JOINTS = st.builds(joint, st.integers(3, 24), st.floats(1e8, 1e11), st.floats(0.008, 0.035))


def loads(data: st.DataObject, count: int) -> list[float]:
    one = st.one_of(st.just(0.0), st.just(PRELOAD), st.floats(1e3, 2 * PRELOAD))
    return data.draw(st.lists(one, min_size=count, max_size=count).filter(any))


@settings(max_examples=60, deadline=None)
@given(JOINTS, st.data())
def test_the_bed_bears_what_the_fasteners_press(made: Joint, data: st.DataObject) -> None:
    preloads = loads(data, len(made.places))
    field = made.field(preloads)
    assert field.total == pytest.approx(sum(preloads), rel=1e-5)
    assert field.pressure.min() >= 0
    assert np.all((field.gap == 0) | (field.pressure == 0))


@settings(max_examples=12, deadline=None)
@given(JOINTS, st.data(), st.floats(0.1, 10))
def test_twice_the_preload_is_twice_the_field(made: Joint, data: st.DataObject, times: float) -> None:
    preloads = loads(data, len(made.places))
    field, more = made.field(preloads), made.field([times * each for each in preloads])
    highest = float(field.pressure.max())
    assert more.pressure / times == pytest.approx(field.pressure, abs=1e-4 * highest)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 15), st.sets(st.integers(0, 15), min_size=1, max_size=6), st.floats(1e9, 3e10))
def test_a_ring_has_no_first_fastener(turn: int, lost: set[int], bed: float) -> None:
    made = joint(16, bed)
    field = made.field([0 if at in lost else PRELOAD for at in range(16)])
    turned = made.field([0 if (at - turn) % 16 in lost else PRELOAD for at in range(16)])
    highest = float(field.pressure.max())
    assert np.roll(field.pressure, turn * 125) == pytest.approx(turned.pressure, abs=1e-4 * highest)


def test_a_sound_ring_is_pressed_least_half_way_between_fasteners() -> None:
    field = joint(16).field([PRELOAD] * 16)
    pitch = LINE.around / 16
    assert (field.places[field.least] / pitch) % 1 == pytest.approx(0.5, abs=0.02)
    assert field.lifted == ()


def test_a_missing_fastener_is_where_it_is_pressed_least() -> None:
    made = joint(16, bed=4e8)
    field = made.field([0 if at == 4 else PRELOAD for at in range(16)])
    assert field.lifted == ()
    assert field.places[field.least] == pytest.approx(made.places[4], abs=0.002)
    assert 0 < field.pressure[field.least] < made.field([PRELOAD] * 16).pressure.min()


def test_missing_neighbours_let_the_faces_part_between_them() -> None:
    made = joint(16)
    field = made.field([0 if at in (4, 5) else PRELOAD for at in range(16)])
    (only,) = field.lifted
    assert made.places[3] < only.start < made.places[4] < only.least < made.places[5] < only.end < made.places[6]
    assert only.least == pytest.approx((made.places[4] + made.places[5]) / 2, abs=0.002)
    assert field.load[field.least] < 0


def test_faces_that_part_at_the_top_are_one_stretch() -> None:
    made = joint(16)
    (only,) = made.field([0 if at in (15, 0) else PRELOAD for at in range(16)]).lifted
    assert only.start > LINE.around * 0.8
    assert only.end < LINE.around * 0.2
    assert only.length == pytest.approx((only.end - only.start) % LINE.around, abs=0.002)


def test_the_more_are_missing_the_wider_it_gapes() -> None:
    made = joint(16)
    gaps = [float(made.field([0 if at < lost else PRELOAD for at in range(16)]).gap.max()) for lost in (2, 3, 4, 5)]
    assert gaps == sorted(gaps)
    assert gaps[0] > 0


def test_lifting_sets_in_without_a_jump() -> None:
    """The two ways of reckoning meet where the faces just begin to part."""
    preloads = [0.0 if at == 4 else PRELOAD for at in range(16)]
    least = [joint(16, bed).field(preloads) for bed in np.geomspace(4e9, 1.2e10, 40)]
    pulled = [bool(field.lifted) for field in least]
    first = pulled.index(True)
    assert pulled == sorted(pulled)
    before, after = least[first - 1], least[first]
    assert np.abs(before.pressure - after.pressure).max() < 0.03 * float(before.pressure.max())


def test_oblong_joints_have_a_field_too() -> None:
    line = oblong(0.4, 0.3, 0.08)
    strip = Strip(bending_stiffness(169e9, WIDTH, 0.018), 4e9)
    field = Joint(strip, line.around, WIDTH, line.even(12)).field([PRELOAD] * 12)
    assert field.total == pytest.approx(12 * PRELOAD, rel=1e-6)


def test_fasteners_need_not_begin_at_the_top() -> None:
    made, turned = joint(16), joint(16)
    turned = Joint(turned.strip, turned.around, WIDTH, (*turned.places[15:], *turned.places[:15]))
    weak = [0.0, *[PRELOAD] * 15]
    assert turned.field(weak).load == pytest.approx(made.field([*weak[1:], 0.0]).load)


def test_stretches_of_everything_and_of_nothing() -> None:
    field = joint(16).field([PRELOAD] * 16)
    assert field.stretches(field.load < 0) == ()
    (whole,) = field.stretches(field.load > 0)
    assert whole.length == pytest.approx(LINE.around)


REFUSED: list[Refused] = [
    (lambda: joint(16).field([PRELOAD] * 15), "15 preloads are given for 16 fasteners"),
    (lambda: joint(16).field([-1.0] * 16), "the preload of fastener 1 is -1"),
    (lambda: joint(16).field([math.nan] * 16), "the preload of fastener 1 is no number"),
    (lambda: joint(16).field([0.0] * 16), "every fastener is lost"),
    (lambda: joint(16, 1e12, 0.001).field([PRELOAD] * 16), "like a sheet"),
    (lambda: Joint(joint().strip, 1.0, 0.0, (0.1,)), "the joint's width is 0"),
    (lambda: Joint(joint().strip, 1.0, 0.02, (0.1, 1.1)), "the place of fastener 2 is 1.1"),
    (lambda: Joint(joint().strip, 1.0, 0.02, (0.0, 1.0)), "two fasteners stand at one place"),
    (lambda: Joint(joint().strip, 1.0, 0.02, ()), "the count of fasteners is 0"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
