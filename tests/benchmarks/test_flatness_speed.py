"""The minimum zone of 500 readings beside scipy's minimisers on the same readings, to the same thickness.

Beside it: Nelder and Mead's simplex on both slopes, SLSQP on the slice with one bound for each reading above and
below, and the linear programme handed whole to HiGHS. Nothing is asserted about time; read the ratios with
``python -m pytest tests/benchmarks/test_flatness_speed.py -n 0``.
"""

from collections.abc import Callable
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from scipy.optimize import linprog, minimize
from threadpoolctl import threadpool_limits

from leakdx.mechanics.plane import Array, levelled, minimum_zone

READINGS, ROUNDS = 500, 5
UM = 1e-6


def face(seed: int) -> Array:
    """A face with a saddle, a tilt and noise, m."""
    rng = np.random.default_rng(seed)
    x, y = rng.uniform(-0.18, 0.18, (2, READINGS))
    return np.column_stack([x, y, 1e-3 * x + 40 * UM * (x**2 - y**2) / 0.18**2 + rng.normal(size=READINGS) * 15 * UM])


def nelder_mead(points: Array) -> float:
    """The range of residuals, made small over both slopes (µm over 100 mm, so that they are of one size)."""
    plan, heights = points[:, :2] / 0.1, points[:, 2] / UM
    found = minimize(lambda slopes: np.ptp(heights - plan @ slopes), np.zeros(2), method="Nelder-Mead",
                     options={"xatol": 1e-7, "fatol": 1e-7, "maxiter": 10_000})  # fmt: skip
    return float(found.fun) * UM


def slsqp(points: Array) -> float:
    """The slice's thickness, with a bound for each reading above and below."""
    plan, heights = points[:, :2] / 0.1, points[:, 2] / UM
    rows = np.block([[-plan, np.full((READINGS, 1), -1.0), np.full((READINGS, 1), 0.5)],
                     [plan, np.full((READINGS, 1), 1.0), np.full((READINGS, 1), 0.5)]])  # fmt: skip
    signed = np.concatenate([heights, -heights])
    inside = {"type": "ineq", "fun": lambda at: rows @ at + signed, "jac": lambda _: rows}
    start = np.array([0, 0, heights.mean(), np.ptp(heights)])
    found = minimize(lambda at: at[3], start, jac=lambda _: np.array([0.0, 0, 0, 1]), constraints=inside,
                     method="SLSQP", options={"ftol": 1e-9, "maxiter": 500})  # fmt: skip
    return float(found.x[3]) * UM


def highs(points: Array) -> float:
    """The linear programme as a whole."""
    plan, heights = points[:, :2] / 0.1, points[:, 2] / UM
    one, half = np.ones((READINGS, 1)), np.full((READINGS, 1), -0.5)
    done = linprog([0, 0, 0, 1], A_ub=np.block([[plan, one, half], [-plan, -one, half]]),
                   b_ub=np.concatenate([heights, -heights]), bounds=[(None, None)] * 4)  # fmt: skip
    return float(done.fun) * UM


OTHERS: dict[str, Callable[[Array], float]] = {"Nelder-Mead": nelder_mead, "SLSQP": slsqp, "HiGHS": highs}


def seconds(call: Callable[[], Any]) -> float:
    """Median of some rounds, on one thread, since so small a matrix only loses by more."""
    taken = []
    with threadpool_limits(1):
        for _ in range(ROUNDS):
            start = perf_counter()
            call()
            taken.append(perf_counter() - start)
    return float(np.median(taken))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_minimum_zone_of_500_readings(seed: int, capsys: pytest.CaptureFixture[str]) -> None:
    points = face(seed)
    ours = minimum_zone(points).thickness
    level = levelled(points)
    lines = []
    for name, other in OTHERS.items():
        theirs = other(level)
        assert theirs == pytest.approx(ours, rel=1e-4)
        assert ours <= theirs * (1 + 1e-9)
        ratio = seconds(lambda call=other: call(level)) / seconds(lambda: minimum_zone(points))  # type: ignore[misc]
        lines.append(f"{name} {ratio:.1f} (finds {1e6 * (theirs / ours - 1):+.3f} in a million)")
    with capsys.disabled():
        print(f"\n{1000 * seconds(lambda: minimum_zone(points)):.2f} ms for {1e6 * ours:.2f} um; as long as ours: ",
              ", ".join(lines))  # fmt: skip
