"""Published single values lie within the bands that calculations fall back on."""

import math

import pytest

from leakdx.mechanics.oil import grown
from leakdx.mechanics.preload import arms, mean_radius
from leakdx.mechanics.threads import INCH, read_thread
from tests.shipped import trade

ARCS = [
    ("smaw", 0.80, "EN 1011-1, as reproduced in a public page"),
    ("smaw", 0.84, "DuPont and Marder 1995, as reproduced in a public page"),
    ("gmaw", 0.80, "EN 1011-1, as reproduced in a public page"),
    ("gmaw", 0.84, "DuPont and Marder 1995, as reproduced in a public page"),
    ("fcaw", 0.84, "DuPont and Marder 1995, as reproduced in a public page"),
    ("saw", 1.00, "EN 1011-1, as reproduced in a public page"),
    ("gtaw", 0.60, "EN 1011-1, as reproduced in a public page"),
    ("gtaw", 0.67, "DuPont and Marder 1995, as reproduced in a public page"),
    ("gtaw", 0.78, "a review of 2012, mean of the literature, as reproduced in a public page"),
]


@pytest.mark.parametrize(("process", "value", "source"), ARCS, ids=[f"{name} {value}" for name, value, _ in ARCS])
def test_the_efficiency_of_an_arc(process: str, value: float, source: str) -> None:
    low, _, high = trade().welding.processes[process].efficiency
    assert low <= value <= high, source


def test_a_drop_of_oil_beside_one_of_water() -> None:
    """Tate's law (own derivation): from one tip the volumes go as surface tension by density."""
    share = (0.030 / 880) / (0.0728 / 998)
    assert share == pytest.approx(0.4674, abs=1e-4)
    low, _, high = trade().leak.drop_ml.band
    assert low <= 0.05 * share <= high
    assert 20 / share == pytest.approx(42.8, abs=0.05)


def test_oil_grows_as_much_as_the_trade_reckons() -> None:
    """0.00065 to 0.0008 for each K (from memory) holds the growth of every oil of the trade by API MPMS 11.1."""
    for each in trade().oils.values():
        growth = (grown(15, each.density_15, 20, 90) / 15 - 1) / 70
        assert 0.00065 <= growth <= 0.0008


def test_a_torque_splits_near_the_rule_of_thumb() -> None:
    """A tenth stretches, four tenths rub in the thread, half under the head (as reproduced in public pages)."""
    shares = arms(read_thread("5/8-11", trade()), 0.15, 0.15, mean_radius(0.9375 * INCH, 0.656 * INCH)).shares
    assert all(math.isclose(ours, rule, abs_tol=0.02) for ours, rule in zip(shares, (0.1, 0.4, 0.5), strict=True))
