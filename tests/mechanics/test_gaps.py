"""Gaps under a straight edge, by feeler."""

import math

import pytest

from leakdx.mechanics.flatness import Limit, Verdict
from leakdx.mechanics.gaps import Gap, go, judge_gaps, no_go, widest
from tests.mechanics.refused import is_refused

LIMIT = Limit(127e-6, 0.95)
FEELER = 127e-6


def read(place: str, micrometres: float) -> Gap:
    return Gap(place, micrometres * 1e-6, micrometres * 1e-6)


@pytest.mark.parametrize(
    ("gaps", "verdict", "chance"),
    [
        ([no_go("12", FEELER), no_go("6", FEELER)], Verdict.WITHIN, 0),
        ([no_go("12", FEELER), go("6", FEELER)], Verdict.BEYOND, 1),
        ([go("12", 100e-6)], Verdict.TOO_CLOSE, 0.5),
        ([Gap("12", 100e-6, 125e-6)], Verdict.WITHIN, 0),
        ([Gap("12", 100e-6, 154e-6)], Verdict.TOO_CLOSE, 0.5),
        ([read("12", 126), read("6", 20)], Verdict.WITHIN, 0),
        ([read("12", 127)], Verdict.WITHIN, 0),
        ([read("12", 128)], Verdict.BEYOND, 1),
    ],
)
def test_by_feeler_and_by_number(gaps: list[Gap], verdict: Verdict, chance: float) -> None:
    found = judge_gaps(gaps, 0.0, LIMIT)
    assert found.verdict is verdict
    assert found.chance == pytest.approx(chance)


def test_many_gaps_near_the_limit_are_likelier_beyond_than_one() -> None:
    one = judge_gaps([read("12", 115)], 20e-6, LIMIT)
    four = judge_gaps([read(place, 115) for place in ("12", "3", "6", "9")], 20e-6, LIMIT)
    assert 1 - four.chance == pytest.approx((1 - one.chance) ** 4)
    assert one.again == math.ceil(one.finer**2)
    assert judge_gaps([read("12", 115)], 0.99 * 20e-6 / one.finer, LIMIT).verdict is Verdict.WITHIN


def test_the_widest_counts() -> None:
    assert widest([read("12", 20), Gap("3", 30e-6, 60e-6), read("6", 25)]).place == "3"


def test_gaps_that_cannot_be() -> None:
    is_refused(lambda: judge_gaps([], 0.0, LIMIT), "no gap is given")
    is_refused(lambda: judge_gaps([read("12", 1), read("12", 2)], 0.0, LIMIT), "12 is read twice")
    is_refused(lambda: read("12", -1), "the gap at 12")
    is_refused(lambda: read("12", 20_000), "the gap at 12")
    is_refused(lambda: Gap("12", 2e-4, 1e-4), "the feeler that goes in first")
    is_refused(lambda: Gap("12", 2e-4, math.nan), "the feeler that goes in first")
    is_refused(lambda: go("12", 0), "the feeler is 0")
    is_refused(lambda: judge_gaps([read("12", 1)], math.nan, LIMIT), "what the gauge is good to")
