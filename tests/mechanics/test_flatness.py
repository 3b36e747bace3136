"""A face by heights and by gaps, and whether it is flat enough."""

import math
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.mechanics.flat_enough import SURE, Usual, Verdict, gauge_to_settle, judged, times_to_settle
from leakdx.mechanics.flatness import Face, Gap, Height, Seen, face, largest
from leakdx.mechanics.places import Place, clock, read_clock
from leakdx.mechanics.plane import minimum_zone
from leakdx.quantities import convert
from leakdx.reasoning.measurement import measured_likelihood
from tests.mechanics.refused import Refused, is_refused
from tests.shipped import knowledge, trade

THOU = 25.4e-6
MOST = 0.25 * 0.0254
GAUGE = 0.5 * THOU
LIMIT = 5 * THOU
KNOWLEDGE = knowledge()
HOUSING = Usual(3 * THOU, 1.8)


def place(turn: float) -> Place:
    return Place(clock(turn), turn)


def heights(*thou: float) -> list[Height]:
    """Heights evenly round the face."""
    return [Height(place(math.tau * at / len(thou)), value * THOU) for at, value in enumerate(thou)]


def read(*thou: float, gauge: float = GAUGE) -> Face:
    return face(heights(*thou), gauge, MOST)


def gaps(*thou: float | tuple[float, float]) -> list[Gap]:
    ends = [each if isinstance(each, tuple) else (each, each) for each in thou]
    turns = [math.tau * at / len(thou) for at in range(len(thou))]
    return [Gap(place(t), low * THOU, high * THOU) for t, (low, high) in zip(turns, ends, strict=True)]


def chance(seen: Seen) -> float:
    return judged(seen, HOUSING, LIMIT).chance_beyond


def test_a_twist_is_found_with_its_places() -> None:
    found = read(1, 0, -1, 0, 1, 0, -1, 0)
    assert found.zone == pytest.approx(2 * THOU) == pytest.approx(found.least_squares)
    assert [[spot.place.name for spot in side] for side in (found.highest, found.lowest)] == [["12", "6"], ["3", "9"]]
    assert [each.name for each in found.carriers] == ["12", "3", "6", "9"]
    assert found.highest[0].height == pytest.approx(THOU) == pytest.approx(-found.lowest[0].height)


def test_noise_is_taken_off_again() -> None:
    """Twelve readings of a flat face by this gauge read more than one of its errors; that is not the face's."""
    noisy = np.random.default_rng(3).normal(size=12) * 0.5
    found = read(*noisy)
    assert found.seen.low < found.zone - 0.5 * GAUGE
    assert judged(found.seen, HOUSING, LIMIT).verdict is Verdict.WITHIN


def zone_of(thou: Sequence[float]) -> float:
    """In thou, without what the gauge makes of it."""
    return minimum_zone(np.array([(*each.place.point, each.height) for each in heights(*thou)])).thickness / THOU


def usual_shape(rng: np.random.Generator) -> list[float]:
    """A face as they are: twist, three waves and roughness, with a zone out of what is usual, thou."""
    turns = np.arange(12) * math.tau / 12
    waves = (rng.normal() * np.cos(many * turns + rng.uniform(0, 6)) for many in (2, 3))
    shape = [float(each) for each in sum(waves) + 0.4 * rng.normal(size=12)]
    size = 3 * 1.8 ** rng.normal() / zone_of(shape)
    return [size * each for each in shape]


def test_the_true_flatness_lies_in_the_band_and_the_verdict_is_right() -> None:
    """Of sixty faces by a gauge good to half a thousandth; nine in ten lie in the band by design."""
    rng = np.random.default_rng(7)
    inside = wrong = said = 0
    for _ in range(60):
        shape = usual_shape(rng)
        true = zone_of(shape) * THOU
        found = judged(read(*(np.array(shape) + rng.normal(size=12) * 0.5)).seen, HOUSING, LIMIT)
        inside += found.low <= true <= found.high
        said += found.verdict is not Verdict.CLOSE
        wrong += found.verdict is (Verdict.WITHIN if true > LIMIT else Verdict.BEYOND)
    assert inside >= 49
    assert said >= 45
    assert wrong <= 2


def test_one_that_stands_alone_is_named_and_counts() -> None:
    found = read(0, 0.5, 0, -0.5, 0.2, 20, 0, 0.3, -0.2, 0, 0.4, 0)
    assert found.alone is not None
    assert found.alone.place.name == "5"
    assert found.alone.away == pytest.approx(20 * THOU, rel=0.1)
    assert found.alone.zone_without < 1.1 * THOU
    assert found.zone > 15 * THOU
    assert read(3, 1, -2, 1, 2, -1, 0, 2, -2, 1, 0, -3).alone is None


def test_a_place_read_again_counts_as_better_read() -> None:
    once, thrice = (face(heights(6, *[0] * 7) * times, GAUGE, MOST) for times in (1, 3))
    assert once.zone == pytest.approx(thrice.zone)
    assert len(once.spots) == len(thrice.spots) == 8
    assert thrice.seen.spread == pytest.approx(once.seen.spread / math.sqrt(3), rel=0.1)


def test_a_place_that_reads_otherwise_again_is_named() -> None:
    again = [*heights(1, 0, 0, 0, 0, 0, 0, 0), Height(place(0), 6 * THOU)]
    assert [each.name for each in face(again, GAUGE, MOST).unsteady] == ["12"]


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.floats(-3, 3).map(lambda thou: round(thou, 2)), min_size=5, max_size=12, unique=True),
    st.floats(-20, 20),
    st.floats(-20, 20),
    st.floats(-50, 50),
)
def test_tilt_and_shift_change_no_verdict(thou: list[float], east: float, north: float, shift: float) -> None:
    turns = [math.tau * at / len(thou) for at in range(len(thou))]
    tilted = [z + east * math.sin(t) + north * math.cos(t) + shift for z, t in zip(thou, turns, strict=True)]
    one, other = read(*thou), read(*tilted)
    assert other.zone == pytest.approx(one.zone, rel=1e-5, abs=1e-10)
    assert chance(other.seen) == pytest.approx(chance(one.seen), rel=1e-3, abs=1e-5)


def test_the_largest_gap_is_what_counts() -> None:
    assert largest(gaps(0, 2, (4, 5), 1), GAUGE, MOST) == Seen(4 * THOU, 5 * THOU, GAUGE)
    assert largest(gaps(0, 0, 0, 0), GAUGE, MOST).high == 0
    assert math.isinf(largest(gaps(0, (5, math.inf), (0, 5), 1), GAUGE, MOST).high)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.5, 12), st.floats(0.2, 2))
def test_the_chance_is_that_of_the_belief(value: float, gauge: float) -> None:
    """The diagnosis weighs a reading as "within" against "beyond"; times the usual share, that is our chance."""
    measure = KNOWLEDGE.signs["housing_face_flatness"].measure
    assert measure is not None
    within, beyond = measured_likelihood(replace(measure, gauge=gauge / 1000), [value / 1000])
    prior = 0.5 * math.erfc(math.log(0.005 / measure.median) / math.log(measure.factor) / math.sqrt(2))
    ours = chance(Seen(value * THOU, value * THOU, gauge * THOU))
    assert ours == pytest.approx(prior * beyond / (prior * beyond + (1 - prior) * within), abs=2e-4)


@pytest.mark.parametrize("sign", ["housing_face_flatness", "carrier_face_flatness"])
def test_a_feeler_is_as_good_as_the_diagnosis_takes_it_for(sign: str) -> None:
    measure = KNOWLEDGE.signs[sign].measure
    assert measure is not None
    numbers = trade().flatness
    assert (numbers.feeler.value, numbers.highest.value) == (measure.gauge, measure.highest)
    assert (numbers.feeler.unit, numbers.highest.unit) == (measure.unit, measure.unit)


@pytest.mark.parametrize(
    ("thou", "verdict"),
    [(2, Verdict.WITHIN), (4.8, Verdict.CLOSE), (5, Verdict.CLOSE), (5.2, Verdict.CLOSE), (8, Verdict.BEYOND)],
)
def test_the_verdict_in_three_words(thou: float, verdict: Verdict) -> None:
    assert judged(Seen(thou * THOU, thou * THOU, 0.75 * THOU), HOUSING, LIMIT).verdict is verdict


def test_a_better_gauge_settles_what_a_worse_one_leaves_open() -> None:
    seen = [Seen(4.8 * THOU, 4.8 * THOU, error * THOU) for error in (1, 0.1)]
    assert [judged(each, HOUSING, LIMIT).verdict for each in seen] == [Verdict.CLOSE, Verdict.WITHIN]


@pytest.mark.parametrize("gauge", [2, 4, 50])
def test_a_gauge_that_sees_nothing_leaves_no_face_within(gauge: float) -> None:
    """What is usual of carriers alone puts nineteen in twenty within the limit."""
    found = face(heights(0, 2.4, 4.8, 2.4, 0, 2.4, 4.8, 2.4), gauge * THOU, MOST)
    judging = judged(found.seen, Usual(2 * THOU, 1.8), LIMIT)
    assert judging.chance_beyond < 0.1 < judging.by_readings
    assert judging.verdict is Verdict.CLOSE


@given(st.floats(0.1, 15), st.floats(0.1, 15), st.floats(0.1, 2))
def test_more_gap_is_more_chance(one: float, other: float, error: float) -> None:
    low, high = sorted((one, other))
    chances = [chance(Seen(each * THOU, each * THOU, error * THOU)) for each in (low, high)]
    assert 0 <= chances[0] <= chances[1] + 1e-6 <= 1 + 1e-6


def test_a_blade_that_enters_and_one_that_does_not() -> None:
    enters, out = Seen(LIMIT, math.inf, 0.75 * THOU), Seen(0, LIMIT, 0.75 * THOU)
    assert chance(enters) > 0.8
    assert chance(out) < 0.1
    assert chance(Seen(3 * THOU, math.inf, 0.75 * THOU)) == pytest.approx(0.4, abs=0.15)


@given(st.floats(0.1, 10), st.floats(0.2, 2))
def test_as_many_readings_as_settle_it(thou: float, error: float) -> None:
    times = times_to_settle(thou * THOU, LIMIT, error * THOU)
    assert times >= 1
    if times < 1000:
        assert gauge_to_settle(thou * THOU, LIMIT, times) >= error * THOU * (1 - 1e-9)
    assert times_to_settle(LIMIT, LIMIT, error * THOU) > 1000


def same(count: int, thou: float = 2) -> Sequence[Height]:
    return heights(*[thou] * count)


NOT_A_PLACE = [*heights(0, 1, 2), Height(Place("3", read_clock("3")), math.nan)]
REFUSED: list[Refused] = [
    (lambda: read(0, 1, 2), "there are 3: three always lie in one plane"),
    (lambda: face([*heights(0, 1, 2), *heights(0, 1, 2)], GAUGE, MOST), "there are 3"),
    (lambda: face(same(8), GAUGE, MOST), "all 8 heights are the same"),
    (lambda: face(NOT_A_PLACE, GAUGE, MOST), "the height at 3 is no number"),
    (lambda: read(0, 1, 2, 3, gauge=0), "the gauge's error is 0"),
    (lambda: read(0, 1, 0, 1000, 0, 1), "the height at 6 stands 2"),
    (lambda: largest(gaps(0, 1, 2), GAUGE, MOST), "at four places at least"),
    (lambda: largest(gaps(0, -1, 2, 0), GAUGE, MOST), "the gap at 3 is -2"),
    (lambda: largest(gaps(0, 300, 2, 0), GAUGE, MOST), "the gap at 3 is 7.62 mm"),
    (lambda: largest(gaps(0, (5, 4), 2, 0), GAUGE, MOST), "the gap at 3 goes from the blade that enters"),
    (lambda: judged(Seen(0, 0, GAUGE), HOUSING, 0), "the limit is 0"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)


def test_sure_is_what_the_verdict_asks_for() -> None:
    assert SURE == 0.9
    assert convert("5", "thou", "m") == pytest.approx(LIMIT)
