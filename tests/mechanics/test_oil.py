"""Oil: viscosity, grade, growth; the closed axle; a gap between two faces."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from leakdx.mechanics import breather, oil, seep
from leakdx.mechanics.breather import Filling
from leakdx.mechanics.seep import Slot
from tests.mechanics.refused import Refused, is_refused
from tests.shipped import trade

GRADES = trade().viscosity_grades
HEAVY = oil.viscosity_law(150, 15)
FULL = Filling(15, 10, 890)


@pytest.mark.parametrize(
    ("at_100", "grade"),
    [(13.49, "85"), (13.5, "90"), (18.49, "90"), (18.5, "110"), (3.79, None), (3.8, "65"), (41.0, "250"), (300, "250"),
     (24.0, "140")],
)  # fmt: skip
def test_a_grade_begins_at_its_figure(at_100: float, grade: str | None) -> None:
    assert oil.grade_at(at_100, GRADES) == grade


def test_winter_grades_say_how_cold_and_how_thick() -> None:
    assert GRADES.winter["75W"] == (-40, 3.8)
    assert GRADES.winter["85W"] == (-12, 11.0)


@given(st.floats(10, 1000), st.floats(0.05, 0.6))
def test_the_law_runs_through_both_points_and_falls(at_40: float, share: float) -> None:
    at_100 = max(1.6, at_40 * share)
    if at_100 < at_40:
        law = oil.viscosity_law(at_40, at_100)
        assert law.at(40) == pytest.approx(at_40, rel=1e-9)
        assert law.at(100) == pytest.approx(at_100, rel=1e-9)
        assert law.at(60) > law.at(80)


def test_the_oils_of_the_trade_are_of_the_grade_that_they_are_called() -> None:
    for name, each in trade().oils.items():
        assert oil.grade_at(each.at_100, GRADES) == name.split("-")[1], name


@given(st.floats(800, 950), st.floats(-40, 120), st.floats(-40, 120))
def test_growth_there_and_back(density: float, cold: float, hot: float) -> None:
    assert oil.grown(oil.grown(15, density, cold, hot), density, hot, cold) == pytest.approx(15)
    assert (oil.density(density, max(cold, hot)) <= oil.density(density, min(cold, hot))) is True


@given(st.floats(-30, 40), st.floats(41, 130))
def test_a_warming_axle_gains_pressure_and_oil_adds_to_it(cold: float, hot: float) -> None:
    air = breather.gauge_pressure(cold, hot)
    assert 0 < air < breather.closed_pressure(cold, hot, FULL)
    assert breather.gauge_pressure(hot, cold) < 0
    assert breather.gauge_pressure(cold, cold) == 0


@given(st.floats(1e-6, 1e-3), st.floats(1, 5e4), st.floats(1e-3, 1))
def test_a_gap_and_its_flow_are_inverse(gap: float, pressure: float, viscosity: float) -> None:
    slot = Slot(0.05, 0.02)
    flow = slot.flow(gap, pressure, viscosity)
    assert slot.gap_for(flow, pressure, viscosity) == pytest.approx(gap)
    assert slot.flow(2 * gap, pressure, viscosity) == pytest.approx(8 * flow)


@given(st.floats(0.001, 10), st.floats(800, 950))
def test_a_column_and_its_pressure_are_inverse(height: float, density: float) -> None:
    assert seep.column(seep.head(height, density), density) == pytest.approx(height)


def test_the_gap_is_what_a_root_finder_finds() -> None:
    slot, wanted = Slot(0.05, 0.02), 5e-10
    found = optimize.brentq(lambda gap: slot.flow(gap, 850, 0.02) - wanted, 1e-7, 1e-2, xtol=1e-14)
    assert slot.gap_for(wanted, 850, 0.02) == pytest.approx(found, rel=1e-8)


REFUSED: list[Refused] = [
    (lambda: oil.viscosity_law(15, 150), "thicker at 100 degC than at 40"),
    (lambda: oil.viscosity_law(-1, 15), "the viscosity at 40 degC is -1"),
    (lambda: HEAVY.at(-300), "not above absolute zero"),
    (lambda: HEAVY.at(-150), "the oil's temperature is -150 degC (-238 degF)"),
    (lambda: oil.viscosity_law(1000, 10).at(-70), "no longer flows"),
    (lambda: oil.grade_at(0, GRADES), "the viscosity at 100 degC is 0"),
    (lambda: oil.expansion(0.89), "oil has about 850 to 910 kg/m3"),
    (lambda: Filling(0, 10, 890), "the volume of oil is 0"),
    (lambda: breather.gauge_pressure(-273.15, 20), "the cold temperature is -273.15 degC"),
    (lambda: breather.gauge_pressure(20, 80, outside=101), "at sea level it is 101 kPa"),
    (lambda: breather.closed_pressure(20, 120, Filling(20, 1, 890)), "would fill the whole axle"),
    (lambda: Slot(0, 0.02), "the length of the wet arc is 0"),
    (lambda: Slot(0.05, 0.02).flow(-1e-5, 500, 0.02), "the gap is -1e-05"),
    (lambda: Slot(0.05, 0.02).gap_for(0, 500, 0.02), "the rate is 0"),
    (lambda: seep.head(-1, 870), "the height of oil is -1"),
]


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_is_said(call: Callable[[], object], said: str) -> None:
    is_refused(call, said)
