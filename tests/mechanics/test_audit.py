"""A torque audit: what first movements say about the clamp that is left."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics.audit import Reading, State, Tightening, audit
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.threads import read_grade, read_thread, strength
from tests.shipped import trade

SIZE = read_thread("5/8-11", trade())
ORDERED = 305.06
DONE = Tightening(SIZE, strength(read_grade("8", trade()), SIZE), trade().threads_state["zinc"], ORDERED)
SOUND = [ORDERED] * 16
MOVING = Reading()


def ring(**changed: float) -> list[float]:
    """Sixteen sound readings but for those named as n1, n2 ..., as shares of what was ordered."""
    return [ORDERED * changed.get(f"n{number}", 1.0) for number in range(1, 17)]


def test_a_sound_ring_holds() -> None:
    found = audit(SOUND, DONE, MOVING, trade())
    assert {each.state for each in found.fasteners} == {State.HOLDS}
    assert not any((found.runs, found.spans, found.weak))


def test_lost_and_free_fasteners_are_found_with_their_neighbourhood() -> None:
    found = audit(ring(n1=0, n2=0.4, n16=0.5, n9=0.5), DONE, MOVING, trade())
    assert found.weak == (1, 2, 9, 16)
    assert found.runs == ((9,), (16, 1, 2))
    assert found.fasteners[0].state is State.TURNS
    assert found.fasteners[0].kept is None
    assert [(span.first, span.second) for span in found.spans] == [(1, 2), (2, 3), (8, 9), (9, 10), (15, 16), (16, 1)]
    assert found.spans[0].likely == pytest.approx(0.2)
    assert found.spans[1].likely == pytest.approx(0.7)


def test_near_the_limit_it_is_too_close_to_say() -> None:
    found = audit(ring(n5=0.82), DONE, MOVING, trade())
    assert found.fasteners[4].state is State.UNSURE
    assert 0.1 < found.fasteners[4].chance_lost < 0.9


def test_all_lost_is_one_run() -> None:
    assert audit([50.0] * 5, DONE, MOVING, trade()).runs == ((1, 2, 3, 4, 5),)


def test_a_peak_says_less_than_a_moving_reading() -> None:
    moving, peak = (audit(SOUND, DONE, Reading(way), trade()).fasteners[0].kept for way in ("moving", "peak"))
    assert moving is not None
    assert peak is not None
    assert peak.likely < moving.likely
    assert peak.up + peak.down > moving.up + moving.down


def test_a_loosening_reading_counts_for_more() -> None:
    share = DONE.loosening_share
    assert share == pytest.approx(1 - 2 * SIZE.pitch / (2 * math.pi * 0.2 * SIZE.diameter))
    loosened = audit([ORDERED * share] * 4, DONE, Reading("loosening"), trade()).fasteners[0].kept
    assert loosened is not None
    assert loosened.likely == pytest.approx(1)


def test_adhesive_may_hold_what_the_clamp_does_not() -> None:
    plain = audit(ring(n3=0.9), DONE, MOVING, trade()).fasteners[2]
    bonded = audit(ring(n3=0.9), DONE, Reading("moving", bond=100), trade()).fasteners[2]
    assert plain.kept is not None
    assert bonded.kept is not None
    assert bonded.kept.low < plain.kept.low
    assert bonded.chance_lost > plain.chance_lost


def test_past_yield_is_said() -> None:
    assert audit(ring(n4=1.6), DONE, MOVING, trade()).fasteners[3].state is State.STRETCHED


def test_tightening_knows_its_loads() -> None:
    assert DONE.preload.likely == pytest.approx(ORDERED / (0.2 * SIZE.diameter))
    assert DONE.proof_load == pytest.approx(120_640, rel=1e-3)
    assert DONE.tensile_load == pytest.approx(150_800, rel=1e-3)
    oiled = Tightening(SIZE, DONE.strength, trade().threads_state["anti_seize"], ORDERED)
    assert DONE.chance_of_yield < 0.5 < oiled.chance_of_yield


@given(st.lists(st.floats(0, 1.2), min_size=3, max_size=24))
def test_runs_are_the_weak_and_spans_touch_them(shares: list[float]) -> None:
    found = audit([share * ORDERED for share in shares], DONE, MOVING, trade())
    assert sorted(number for run in found.runs for number in run) == sorted(found.weak)
    assert all({span.first, span.second} & set(found.weak) for span in found.spans)
    for run in found.runs:
        assert all(b == a % len(shares) + 1 for a, b in pairwise(run))


@given(st.floats(1, 300), st.floats(1, 300))
def test_more_torque_is_more_clamp(one: float, other: float) -> None:
    low, high = audit([min(one, other), max(one, other), 100], DONE, MOVING, trade()).fasteners[:2]
    assert low.chance_lost >= high.chance_lost


@pytest.mark.parametrize(
    ("torques", "reading", "said"),
    [
        ([300, 300], MOVING, "readings of the whole ring"),
        ([300, -1, 300], MOVING, "the torque of fastener 2 is -1"),
        ([300, math.nan, 300], MOVING, "the torque of fastener 2 is no number"),
        ([300, 300, 3050], MOVING, r"fastener 3 reads .* times what would break it"),
        ([300, 300, 300], Reading("listening"), "known are moving, peak, loosening"),
        ([300, 300, 300], Reading("moving", bond=-4), "the torque of the adhesive is -4"),
    ],
)
def test_what_cannot_be_is_said(torques: list[float], reading: Reading, said: str) -> None:
    with pytest.raises(MeasureError, match=said):
        audit(torques, DONE, reading, trade())
