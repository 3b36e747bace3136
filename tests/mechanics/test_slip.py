"""Whether the joint slips or opens, and what dowels take."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics import slip
from leakdx.mechanics.band import Band, about, exactly
from leakdx.mechanics.slip import Dowels, Ring, Slip, flange
from tests.mechanics.refused import Refused, is_refused

SIXTEEN = flange([0.180] * 16)
PRELOAD = about(96_080, 0.35)
GRIPS = Band(0.10, 0.15, 0.20)


def test_a_lost_fastener_takes_its_share() -> None:
    whole = slip.capacity(SIXTEEN, exactly(96_080), exactly(0.15)).likely
    less = slip.capacity(flange([0.180] * 16, lost=[3, 4]), exactly(96_080), exactly(0.15)).likely
    assert whole == pytest.approx(41_507, rel=1e-4)
    assert less == pytest.approx(whole * 14 / 16)


def test_scatter_evens_out_over_the_ring_but_not_wholly() -> None:
    one = slip.capacity(SIXTEEN, PRELOAD, exactly(0.15))
    assert PRELOAD.up / math.sqrt(2) < one.up < PRELOAD.up
    few = slip.capacity(flange([0.180] * 4), PRELOAD, exactly(0.15))
    assert few.up > one.up


def test_an_oblong_flange_counts_each_fastener_at_its_own_arm() -> None:
    ring = Ring((1, 1, 0.5, 1), (0.1, 0.2, 0.2, 0.3))
    assert ring.arm == pytest.approx(0.7)
    assert slip.capacity(ring, exactly(10_000), exactly(0.2)).likely == pytest.approx(1400)


def test_what_each_has_left_counts_for_it() -> None:
    assert flange([0.1, 0.2, 0.3], [1, 0.5, 1], lost=[1]) == Ring((0, 0.5, 1), (0.1, 0.2, 0.3))
    assert flange([0.1, 0.2, 0.3]) == Ring((1, 1, 1), (0.1, 0.2, 0.3))


def test_a_faster_axle_asks_more_of_the_joint_for_the_same_pull() -> None:
    """At the tyres' grip the pinion's torque is the wheels' by the ratio."""
    slow, fast = (slip.gripped_torque(98_000, 0.5, exactly(0.75), ratio) for ratio in (3.70, 2.50))
    assert fast.likely / slow.likely == pytest.approx(3.70 / 2.50)
    assert slip.wheel_torque(fast, 2.50).likely == pytest.approx(slip.wheel_torque(slow, 3.70).likely)


def test_the_smaller_torque_is_met() -> None:
    engine = slip.pinion_torque(2500, 14.4, exactly(0.96))
    tyres = slip.gripped_torque(98_000, 0.5, exactly(0.75), 3.70)
    assert slip.smaller(engine, tyres) is tyres
    assert engine.likely == pytest.approx(34_560)
    assert slip.pinion_torque(2500, 14.4, exactly(0.96), share=0.5).likely == pytest.approx(engine.likely / 2)


@given(st.floats(100, 1e6), st.floats(100, 1e6))
def test_margin_and_chance_tell_the_same(holds: float, meets: float) -> None:
    found = Slip(about(holds, 0.3), about(meets, 0.1))
    assert (found.chance > 0.5) == (found.margin.likely < 1) or found.margin.likely == pytest.approx(1)


def test_opening_is_half_the_ring_times_its_radius() -> None:
    """16 fasteners of 10 kN at 0.2 m: the outermost is unloaded by 2 M / (16 x 0.2)."""
    assert slip.opening_torque(flange([0.2] * 16), exactly(10_000)).likely == pytest.approx(16_000)


def test_the_outermost_fastener_is_unloaded_by_twice_the_moment_over_the_arms() -> None:
    """By summing the ring itself: forces in line with the distance from the axis bear the moment."""
    count, radius, moment = 16, 0.2, 5000.0
    heights = [radius * math.cos(2 * math.pi * place / count) for place in range(count)]
    outermost = moment * radius / math.fsum(height**2 for height in heights)
    assert slip.outermost_pull(flange([radius] * count), moment) == pytest.approx(outermost)


def test_dowels_take_what_is_beyond_friction() -> None:
    pins = Dowels(4, 0.18, 0.016)
    assert pins.force(7200) == pytest.approx(10_000)
    assert pins.stress(7200) == pytest.approx(10_000 / (math.pi / 4 * 0.016**2))
    assert pins.force(-5) == 0
    assert pins.stress(pins.bears(exactly(450e6)).likely) == pytest.approx(450e6)


REFUSED: list[Refused] = [
    (lambda: flange([0.18] * 2), "a joint has three fasteners at least"),
    (lambda: flange([0.18] * 16, lost=[17]), "the joint has 1 to 16"),
    (lambda: flange([0.1] * 4, [1, 1]), "2 shares are given for 4 fasteners"),
    (lambda: flange([0.1] * 4, lost=[5]), "the joint has 1 to 4"),
    (lambda: flange([0.0] * 16), "the radius of fastener 1 is 0"),
    (lambda: Ring((1, 1, 1), (0.1, 0.1)), "each with a radius"),
    (lambda: Ring((1, -1, 1), (0.1, 0.1, 0.1)), "the share that fastener 2 keeps is -1"),
    (lambda: slip.capacity(flange([0.1] * 3, lost=[1, 2, 3]), PRELOAD, GRIPS), "every fastener is lost"),
    (lambda: slip.pinion_torque(-1, 14, exactly(1)), "the engine's torque is -1"),
    (lambda: slip.pinion_torque(2500, 140, exactly(1)), "the gear's ratio is 140"),
    (lambda: slip.pinion_torque(2500, 14, exactly(1), 2), "0.5 for one of a tandem"),
    (lambda: slip.gripped_torque(98_000, 5, exactly(0.7), 3.7), "the tyre's radius is 5000 mm"),
    (lambda: slip.wheel_torque(exactly(1), 370), "the axle's ratio is 370"),
    (lambda: slip.dowels_at([17], SIXTEEN, 0.016), "the joint has 1 to 16"),
    (lambda: slip.dowels_at([4, 4], SIXTEEN, 0.016), "a dowel is named twice"),
    (lambda: Dowels(0, 0.18, 0.016), "the count of dowels is 0"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
