"""A face against its limit: the verdict, its chance, and readings that cannot be."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics.flatness import Judged, Limit, Reading, Verdict, flatness, judge, standard
from leakdx.mechanics.trade import trade
from tests.mechanics.refused import is_refused

INCH = 0.0254
LIMIT = Limit(0.005 * INCH, 0.95)
GAUGE = 0.001 * INCH


def ring(*thou: float) -> list[Reading]:
    """Readings (thou) evenly round a ring."""
    turns = [math.tau * number / len(thou) for number in range(len(thou))]
    return [
        Reading(f"p{number}", 0.18 * math.sin(turn), 0.18 * math.cos(turn), height * INCH / 1000)
        for number, (turn, height) in enumerate(zip(turns, thou, strict=True))
    ]


def test_the_limit_is_that_of_the_trade() -> None:
    assert trade().flatness.limit_m == pytest.approx(LIMIT.value)
    assert trade().flatness.sure.share == LIMIT.sure


def test_a_reading_near_the_limit_with_a_coarse_gauge_is_too_close_to_say() -> None:
    found = flatness(ring(4.8, 0, 4.8, 0), GAUGE, LIMIT)
    assert found.zone.width == pytest.approx(0.0048 * INCH)
    assert found.judged.verdict is Verdict.TOO_CLOSE
    assert found.judged.chance == pytest.approx(0.3645, abs=1e-3)
    assert found.judged.again == math.ceil(found.judged.finer**2)
    finer = flatness(ring(4.8, 0, 4.8, 0), GAUGE / found.judged.finer * 0.99, LIMIT)
    assert finer.judged.verdict is Verdict.WITHIN


@pytest.mark.parametrize(("thou", "verdict"), [(2.0, Verdict.WITHIN), (9.0, Verdict.BEYOND)])
def test_far_from_the_limit_the_gauge_does_not_matter(thou: float, verdict: Verdict) -> None:
    found = flatness(ring(thou, 0, thou, 0, thou, 0, thou, 0), GAUGE, LIMIT).judged
    assert (found.verdict, found.finer, found.again) == (verdict, 1, 1)


def test_high_and_low_places_are_named() -> None:
    found = flatness(ring(3, 0, -3, 0, 3, 0, -3, 0), GAUGE, LIMIT)
    assert set(found.high) <= {"p0", "p4"}
    assert set(found.low) <= {"p2", "p6"}
    assert found.least_squares == pytest.approx(0.006 * INCH)


def test_exactly_the_limit_is_within_where_the_gauge_is_exact() -> None:
    assert judge(LIMIT.value, 0, LIMIT) == Judged(LIMIT.value, 0, 0, Verdict.WITHIN, 1)
    assert judge(LIMIT.value * 1.001, 0, LIMIT).verdict is Verdict.BEYOND
    at_limit = judge(LIMIT.value, 1e-6, LIMIT)
    assert (at_limit.chance, at_limit.again) == (0.5, None)


@given(st.floats(0, 1e-3), st.floats(1e-7, 1e-4), st.floats(1e-7, 1e-4))
def test_a_finer_gauge_never_turns_a_verdict_round(figure: float, one: float, other: float) -> None:
    coarse, fine = (judge(figure, deviation, LIMIT) for deviation in (max(one, other), min(one, other)))
    assert {coarse.verdict, fine.verdict} != {Verdict.WITHIN, Verdict.BEYOND}
    if coarse.verdict is not Verdict.TOO_CLOSE:
        assert fine.verdict is coarse.verdict


def test_chances_come_true() -> None:
    """Faces with a form of their own, read with a gauge: of those called so likely to be beyond, so many are."""
    rng = np.random.default_rng(7)
    said, so = [], []
    for _ in range(600):
        amplitude = rng.uniform(1.5, 3.5)
        true = amplitude * np.cos(2 * np.arange(8) * math.tau / 8 + 0.3)
        noise = rng.uniform(-0.5, 0.5, 8)
        read = flatness(ring(*(true + noise)), 0.0005 * INCH, LIMIT)
        said.append(read.judged.chance)
        so.append(flatness(ring(*true), 0.0, LIMIT).zone.width > LIMIT.value)
    assert np.mean(said) == pytest.approx(np.mean(so), abs=0.04)
    middle = [(chance, beyond) for chance, beyond in zip(said, so, strict=True) if 0.2 < chance < 0.8]
    assert np.mean([beyond for _, beyond in middle]) == pytest.approx(np.mean([c for c, _ in middle]), abs=0.15)


def test_one_absurd_reading_is_named_and_still_counted() -> None:
    thou = [0, 0.4, -0.3, 0.2, 40, -0.4, 0.1, 0.3, -0.2, 0.3, 0, -0.1]
    found = flatness(ring(*thou), 0.0005 * INCH, LIMIT)
    assert found.odd is not None
    assert found.odd.place == "p4"
    assert found.odd.off == pytest.approx(0.040 * INCH, rel=0.1)
    assert found.odd.without < 0.001 * INCH
    assert found.zone.width > 0.02 * INCH


@pytest.mark.parametrize("thou", [[2, 0, -2, 0] * 3, [0, 1, 0, 1, 0], [0] * 8, [0.4, -0.3, 0.2, 0.5, -0.4, 0.1]])
def test_a_bent_face_has_no_absurd_reading(thou: list[float]) -> None:
    assert flatness(ring(*thou), 0.0005 * INCH, LIMIT).odd is None


def test_all_the_same_is_flat() -> None:
    found = flatness(ring(*[3] * 6), GAUGE, LIMIT)
    assert found.zone.width == 0
    assert found.judged.verdict is Verdict.WITHIN
    assert found.judged.deviation == standard(GAUGE)


TWICE = [*ring(0, 1, 2, 3), Reading("p1", 0.1, 0.1, 0.0)]


@pytest.mark.parametrize(
    ("readings", "gauge", "said"),
    [
        (ring(0, 1, 2), GAUGE, "3 readings are too few"),
        (TWICE, GAUGE, "p1 is read twice"),
        ([*ring(0, 1, 2), Reading("far", 3.0, 0, 0)], GAUGE, "the distance of far from the middle"),
        ([*ring(0, 1, 2), Reading("tall", 0.1, 0.1, 0.06)], GAUGE, "the reading at tall"),
        ([*ring(0, 1, 2), Reading("none", 0.1, 0.1, math.nan)], GAUGE, "the reading at none in m is no number"),
        (ring(0, 1, 2, 3), -1.0, "what the gauge is good to"),
        (ring(0, 1, 2, 3), math.nan, "what the gauge is good to"),
    ],
)
def test_readings_that_cannot_be(readings: list[Reading], gauge: float, said: str) -> None:
    is_refused(lambda: flatness(readings, gauge, LIMIT), said)


def test_limits_that_cannot_be() -> None:
    is_refused(lambda: judge(1, 0.1, Limit(0, 0.95)), "the limit is 0")
    is_refused(lambda: judge(1, 0.1, Limit(1, 0.2)), "how sure a verdict must be")
