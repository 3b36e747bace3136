"""Directions and chances of docs/mechanics_checks.md, each by a statistics library on the same data."""

import math

import numpy as np
import pingouin
import pytest
from astropy import units
from astropy.stats import circcorrcoef, circmean, circvar, rayleightest
from scipy import stats

from leakdx.mechanics.colocation import direction, gathered, wave
from tests.published.mechanics_checks import places

TEN = places.turns(places.MARDIA)
ALL = [places.turns(places.ASTROPY), list(places.PINGOUIN), TEN]


@pytest.mark.parametrize("turns", ALL, ids=len)
def test_middle_and_spread_beside_astropy(turns: list[float]) -> None:
    middle, length = direction(turns)
    assert middle == pytest.approx(float(circmean(np.array(turns))) % math.tau)
    assert 1 - length == pytest.approx(float(circvar(np.array(turns))))


@pytest.mark.parametrize("turns", ALL, ids=len)
def test_rayleigh_by_both_forms(turns: list[float]) -> None:
    assert places.series(turns) == pytest.approx(float(rayleightest(np.array(turns) * units.rad)))
    z, chance = pingouin.circ_rayleigh(turns)
    assert len(turns) * direction(turns)[1] ** 2 == pytest.approx(float(z))
    assert places.short(turns) == pytest.approx(float(chance))


def test_rayleigh_of_four_fasteners_side_by_side_is_not_the_count() -> None:
    twelve = [math.tau * at / 12 for at in range(12)]
    _, chance = pingouin.circ_rayleigh(twelve[:4])
    assert float(chance) == pytest.approx(0.050687, abs=1e-6)
    assert gathered(twelve, [0, 1, 2, 3]).chance < float(chance) / 2


def test_directions_in_pairs() -> None:
    found, chance = places.correlation(places.ONE_WAY, places.OTHER_WAY)
    theirs, their_chance = pingouin.circ_corrcc(places.ONE_WAY, places.OTHER_WAY)
    assert (found, chance) == pytest.approx((float(theirs), float(their_chance)))
    assert found == pytest.approx(float(circcorrcoef(np.array(places.ONE_WAY), np.array(places.OTHER_WAY))))


def test_a_wave_through_ozone_beside_pingouin() -> None:
    found = wave(places.turns(places.WIND), places.OZONE)
    share, chance = pingouin.circ_corrcl(places.turns(places.WIND), places.OZONE)
    assert found.share == pytest.approx(float(share) ** 2)
    assert math.exp(-len(places.WIND) * found.share / 2) == pytest.approx(float(chance))


def test_darwins_maize_beside_scipy() -> None:
    """The count of docs/mechanics_checks.md, 1726 of 32768; t 2.14799 and chance .0497029 by Student (from memory)."""
    maize = np.array(places.MAIZE, float)
    theirs = stats.permutation_test((maize,), np.sum, permutation_type="samples", n_resamples=np.inf, vectorized=True)
    assert theirs.pvalue == pytest.approx(1726 / 2**15)
    by_student = stats.ttest_1samp(maize, 0)
    assert (by_student.statistic, by_student.pvalue) == pytest.approx((2.14799, 0.0497029), rel=1e-5)
