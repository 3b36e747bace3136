"""Whether the clamp keeps the oil in, with what is not known of bed and preload."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.mechanics.band import Band, about, exactly
from leakdx.mechanics.outline import ring
from leakdx.mechanics.tight import Flange, Seal, bending, tightness
from tests.mechanics.refused import Refused, is_refused

LINE = ring(0.18)
FLANGE = Flange(LINE, LINE.even(16), 0.020, bending(0.020, (0.018, 169e9), (0.015, 207e9)))
GASKET = Seal(Band(60e9, 200e9, 600e9), Band(0.7e6, 1.5e6, 3e6))
SEALANT = Seal(Band(800e9, 2500e9, 6000e9), Band(20e-6, 50e-6, 100e-6), sticks=True)
PRELOAD = about(96e3, 0.35)
SOUND = [1.0] * 16


def without(*lost: int) -> list[float]:
    return [0.0 if number in lost else 1.0 for number in range(1, 17)]


def test_a_sound_joint_holds_with_either_seal() -> None:
    gasket, sealant = (tightness(FLANGE, seal, PRELOAD, SOUND) for seal in (GASKET, SEALANT))
    assert gasket.chance < 0.01
    assert gasket.left == pytest.approx(1)
    assert sealant.chance == 0
    assert sealant.size is None


def test_neighbours_that_are_lost_open_either() -> None:
    gasket, sealant = (tightness(FLANGE, seal, PRELOAD, without(5, 6)) for seal in (GASKET, SEALANT))
    assert gasket.chance > 0.9
    assert gasket.size is None
    assert gasket.left == 0
    assert sealant.chance > 0.5
    assert sealant.size is not None
    between = (FLANGE.places[4], FLANGE.places[5])
    assert all(between[0] < found.field.places[found.worst] < between[1] for found in (gasket, sealant))


def test_what_sticks_is_held_against_the_gap_it_cured_in() -> None:
    """A thin flange parts between fasteners when sound; the sealant has filled that and holds."""
    thin = Flange(LINE, LINE.even(8), 0.020, bending(0.020, (0.012, 169e9)))
    found = tightness(thin, SEALANT, PRELOAD, [1.0] * 8)
    assert found.sound.lifted
    assert found.chance == 0
    assert not SEALANT.is_open(found.field, found.sound).any()


@settings(max_examples=15, deadline=None)
@given(st.lists(st.floats(0.05, 1), min_size=16, max_size=16))
def test_the_chance_falls_as_the_preload_rises(kept: list[float]) -> None:
    little, much = (tightness(FLANGE, GASKET, about(each, 0.3), kept) for each in (20e3, 100e3))
    assert much.chance <= little.chance
    if little.size and much.size:
        assert much.size.likely == pytest.approx(5 * little.size.likely, rel=1e-3)


def test_without_doubt_the_chance_is_all_or_nothing() -> None:
    for needs, chance in ((1e3, 0.0), (1e9, 1.0)):
        seal = Seal(exactly(60e9), exactly(needs))
        assert tightness(FLANGE, seal, exactly(96e3), SOUND).chance == pytest.approx(chance)


def test_a_weak_fastener_takes_a_share() -> None:
    found = tightness(FLANGE, GASKET, PRELOAD, [1, 1, 1, 0.5, *[1] * 12])
    assert found.size is not None
    assert found.left is not None
    assert 0.3 < found.left < 0.9
    assert found.size.low < found.size.likely < found.size.high


def test_a_load_is_felt_further_in_a_softer_bed() -> None:
    assert FLANGE.reach(60e9) > FLANGE.reach(600e9)


REFUSED: list[Refused] = [
    (lambda: bending(0, (0.018, 169e9)), "the width of the faces is 0"),
    (lambda: bending(0.02, (0, 169e9)), "the carrier's thickness is 0"),
    (lambda: bending(0.02, (0.018, 169e9), (-1, 207e9)), "the housing's thickness is -1"),
    (lambda: tightness(FLANGE, GASKET, PRELOAD, [1.0] * 5), "5 preloads are given for 16"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
