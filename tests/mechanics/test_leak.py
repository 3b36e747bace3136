"""How much oil is lost."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics import leak
from leakdx.mechanics.band import Band, exactly
from leakdx.mechanics.leak import Wetness
from tests.mechanics.refused import Refused, is_refused
from tests.shipped import trade

DROP = trade().leak.drop_ml.as_band.times(leak.ML)
LITRE = 1e-3


def test_a_drop_is_a_band_not_a_number() -> None:
    rate = leak.from_drops(20, 60, DROP)
    assert [round(end * 3600 / leak.ML) for end in (rate.low, rate.likely, rate.high)] == [27, 37, 60]


def test_stain_level_and_volume_come_to_rates() -> None:
    assert leak.from_stain(0.02, 3600, exactly(0.5e-3)).likely == pytest.approx(1e-5 / 3600)
    assert leak.from_level(0.010, 86_400, exactly(0.1)).likely == pytest.approx(1e-3 / 86_400)
    assert leak.from_volume(LITRE, 10).likely == pytest.approx(1e-4)


def test_per_distance_and_days() -> None:
    rate = exactly(0.05 * LITRE / 3600)
    assert leak.per_distance(rate, 50_000 / 3600).likely * 1e6 / LITRE == pytest.approx(1)  # a litre in 1000 km
    assert leak.days_to_low(rate, exactly(LITRE), exactly(10)).likely == pytest.approx(2)


@given(st.integers(1, 500), st.floats(10, 1e5), st.floats(0.1, 3))
def test_days_and_rate_are_inverse(count: int, seconds: float, litres: float) -> None:
    rate = leak.from_drops(count, seconds, DROP)
    days = leak.days_to_low(rate, exactly(litres * LITRE), exactly(24))
    assert days.likely * rate.likely * 86_400 == pytest.approx(litres * LITRE)
    assert days.low * rate.high == pytest.approx(days.high * rate.low)


@pytest.mark.parametrize(
    ("drops", "wet"), [(0, Wetness.HANGS), (0.001, Wetness.FALLS), (3.9, Wetness.FALLS), (4, Wetness.RUNS)]
)
def test_how_wet_it_is_goes_by_drops(drops: float, wet: Wetness) -> None:
    assert leak.wetness(drops) is wet
    assert leak.WHAT_THEN[wet].endswith(".")


def test_every_wetness_says_what_then() -> None:
    assert set(leak.WHAT_THEN) == set(Wetness)


def test_two_ways_of_measuring_are_held_against_each_other() -> None:
    standing = leak.from_drops(6, 60, DROP)
    assert "faster on the road" in leak.compared(standing.times(10), standing).words
    assert "less is lost" in leak.compared(standing.times(0.1), standing).words
    assert "agree" in leak.compared(standing.times(1.1), standing).words


REFUSED: list[Refused] = [
    (lambda: leak.from_drops(0, 60, DROP), "where none falls there is no rate"),
    (lambda: leak.from_drops(5, 0, DROP), "the time is 0"),
    (lambda: leak.from_stain(-1, 60, DROP), "the stain's growth is -1"),
    (lambda: leak.from_level(0, 60, DROP), "the fall of the level is 0"),
    (lambda: leak.from_volume(float("nan"), 60), "the volume is no number"),
    (lambda: leak.per_distance(DROP, 0), "the mean speed is 0"),
    (lambda: leak.days_to_low(DROP, DROP, Band(10, 20, 30)), "no more than 24 hours"),
    (lambda: leak.wetness(-1), "the drops a second is -1"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
