"""Bands: what follows from numbers of which only a band is known."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from leakdx.mechanics.band import Band, about, exactly
from leakdx.mechanics.given import MeasureError

EVEN = Band(10 / 1.5, 10, 15)
SKEW = Band(8, 10, 15)

values = st.floats(0.01, 1e6)
widths = st.floats(1, 5)


@st.composite
def bands(draw: st.DrawFn) -> Band:
    likely = draw(values)
    return Band(likely / draw(widths), likely, likely * draw(widths))


def close(one: Band, other: Band) -> bool:
    pairs = zip((one.low, one.likely, one.high), (other.low, other.likely, other.high), strict=True)
    return all(math.isclose(a, b, rel_tol=1e-9) for a, b in pairs)


def test_an_even_band_is_the_log_normal_of_a_library() -> None:
    law = stats.lognorm(s=math.log(1.5) / stats.norm.ppf(0.95), scale=10)
    for limit in (3, 7, 10, 12, 15, 40):
        assert EVEN.chance_above(limit) == pytest.approx(law.sf(limit), abs=1e-12)


def test_the_ends_are_the_twentieths() -> None:
    assert [SKEW.chance_above(end) for end in (8, 10, 15)] == pytest.approx([0.95, 0.5, 0.05])
    assert exactly(3).chance_above(2.9) == 1
    assert exactly(3).chance_above(3) == 0
    assert SKEW.chance_above(0) == 1


def test_a_product_is_the_log_normal_of_the_product() -> None:
    both = EVEN.times(Band(2 / 1.2, 2, 2.4))
    sigma = math.hypot(math.log(1.5), math.log(1.2))
    assert both.likely == 20
    assert (both.low, both.high) == pytest.approx((20 * math.exp(-sigma), 20 * math.exp(sigma)))


@given(bands(), bands())
def test_products_commute_and_quotients_turn_round(one: Band, other: Band) -> None:
    assert close(one.times(other), other.times(one))
    assert close(one.over(other), other.over(one).power(-1))


@given(bands(), st.floats(0.1, 10), values, values)
def test_chances_fall_with_the_limit_and_scale_with_the_unit(
    band: Band, factor: float, one: float, other: float
) -> None:
    assert band.chance_above(min(one, other)) >= band.chance_above(max(one, other))
    assert band.times(factor).chance_above(one * factor) == pytest.approx(band.chance_above(one), abs=1e-6)


@given(bands(), bands())
def test_above_another_band_is_not_below_it(one: Band, other: Band) -> None:
    if min(one.over(other).up, one.over(other).down) > 1e-6:
        assert one.chance_above_band(other) + other.chance_above_band(one) == pytest.approx(1, abs=1e-9)


@given(bands(), st.floats(-3, 3))
def test_at_turns_a_chance_round(band: Band, deviations: float) -> None:
    if min(band.up, band.down) > 1e-6:
        assert band.chance_above(band.at(deviations)) == pytest.approx(1 - stats.norm.cdf(deviations), abs=1e-6)


@pytest.mark.parametrize("ends", [(0, 1, 2), (-1, 1, 2), (2, 1, 3), (1, 3, 2), (1, 2, math.inf), (math.nan, 1, 2)])
def test_what_is_no_band_is_refused(ends: tuple[float, float, float]) -> None:
    with pytest.raises(MeasureError, match="band"):
        Band(*ends)


def test_a_spread_is_a_share() -> None:
    assert close(about(100, 0.25), Band(75, 100, 125))
    with pytest.raises(MeasureError, match=r"such as 0\.25"):
        about(100, 1)
