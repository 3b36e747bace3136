"""The heat round a moving arc."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, special

from leakdx.mechanics import weld, weld_field
from leakdx.mechanics.weld import Metal, Weld
from leakdx.mechanics.weld_field import Arc
from tests.mechanics.refused import is_refused

STEEL = Metal(41 / 9.1e-6, 1510, 41, 9.1e-6)
ARC = Arc(4000, 0.02, 20, STEEL)


def test_the_thick_peak_is_the_top_of_the_field() -> None:
    """Far from the arc, where its way is long beside that of the heat, both are the same."""
    aside = 0.02
    top = max(weld_field.thick_field(ARC, -step / 1e4, aside) for step in range(1, 5000))
    assert weld.thick_peak(Weld(ARC.power / ARC.speed, 1.0, 20, STEEL), aside) == pytest.approx(top, rel=0.02)


def test_the_thin_peak_is_the_top_of_the_field_but_for_the_melt() -> None:
    """Far away the melt's own width no longer counts."""
    aside, wall = 0.08, 0.005
    top = max(weld_field.thin_field(ARC, wall, -step / 1e3, aside) for step in range(1, 40_000, 20))
    assert weld.thin_peak(Weld(ARC.power / ARC.speed, wall, 20, STEEL), aside) == pytest.approx(top, rel=0.1)


def test_the_thin_field_has_a_librarys_bessel_function() -> None:
    pace = ARC.speed / (2 * STEEL.diffusivity)
    for ahead, aside in ((0, 0.002), (-0.003, 0.001), (0.001, 0.001)):
        away = math.hypot(ahead, aside)
        by_sum, _ = integrate.quad(lambda t, away=away: math.exp(-pace * away * math.cosh(t)), 0, 12)
        assert by_sum == pytest.approx(special.k0(pace * away), rel=1e-8)
        rise = 4000 / (2 * math.pi * 41 * 0.006) * math.exp(-pace * ahead) * by_sum
        assert weld_field.thin_field(ARC, 0.006, ahead, aside) - 20 == pytest.approx(rise, rel=1e-7)


@given(st.floats(0.02, 0.1))
def test_a_thin_plate_is_hottest_when_heat_has_had_the_time(aside: float) -> None:
    """A fast arc heats a line at once: then the time is y^2 / 2a (own derivation)."""
    seconds = weld_field.hottest_after(Arc(4000, 0.05, 20, STEEL), 0.003, aside)
    assert seconds == pytest.approx(aside**2 / (2 * STEEL.diffusivity), rel=0.05)


def test_what_cannot_be_is_said() -> None:
    is_refused(lambda: weld_field.thick_field(ARC, 0, 0), "a point that is not the arc itself")
    is_refused(lambda: weld_field.thin_field(ARC, 0, 0, 0.01), "the wall is 0")
    is_refused(lambda: Arc(0, 0.005, 20, STEEL), "the arc's power is 0")
