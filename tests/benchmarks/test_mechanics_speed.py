"""The joint's mechanics beside a general method on the same data in the same run.

Nothing is asserted about time; read the ratios with ``python -m pytest tests/benchmarks -n 0``, or
``python -m tests.benchmarks.test_mechanics_speed`` for the two ratios alone.
"""

from collections.abc import Callable
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from scipy.optimize import minimize

from leakdx.mechanics.clamp import Flange, clamp
from leakdx.mechanics.minimum_zone import Numbers, minimum_zone
from tests.mechanics.test_clamp import dense

READINGS, FASTENERS, PLACES = 500, 20, 2000
FLANGE, LENGTH, EACH = Flange(0.02, 0.018, 1e11), 1.2, 100e3
LOADS = [EACH] * FASTENERS
ROUNDS = 9


def face() -> Numbers:
    """A face with a form of its own and the roughness of its machining, read at 500 places of a ring."""
    rng = np.random.default_rng(11)
    turns, radii = rng.uniform(0, 2 * np.pi, READINGS), rng.uniform(0.16, 0.2, READINGS)
    heights = 4e-5 * np.cos(2 * turns) + rng.normal(0, 5e-6, READINGS)
    return np.column_stack([radii * np.sin(turns), radii * np.cos(turns), heights])


def by_minimiser(points: Numbers) -> float:
    """The range of the heights over a plane, brought down by a general minimiser from the least-squares plane."""
    flat = np.column_stack([points[:, :2], np.ones(len(points))])
    start = np.linalg.lstsq(flat, points[:, 2] * 1e6, rcond=None)[0][:2]
    found = minimize(
        lambda slopes: np.ptp(points[:, 2] * 1e6 - points[:, :2] @ slopes),
        start,
        method="Nelder-Mead",
        options={"xatol": 1e-6, "fatol": 1e-6, "maxiter": 4000},
    )
    return float(found.fun) * 1e-6


def zone() -> float:
    return minimum_zone(face()).width


def field() -> Numbers:
    return clamp(FLANGE, LENGTH, LOADS, EACH, PLACES).pressure


def dense_field() -> Numbers:
    return dense(FLANGE, LENGTH, LOADS, PLACES)


def test_both_ways_agree() -> None:
    assert zone() <= by_minimiser(face()) * (1 + 1e-9)
    assert zone() == pytest.approx(by_minimiser(face()), rel=1e-3)
    assert field() == pytest.approx(dense_field(), rel=2e-3)


@pytest.mark.benchmark(group="minimum zone of 500 readings")
@pytest.mark.parametrize("call", [zone, lambda: by_minimiser(face())], ids=["ours", "general minimiser"])
def test_minimum_zone(benchmark: Any, call: Callable[[], Any]) -> None:
    benchmark.pedantic(call, rounds=ROUNDS, iterations=1, warmup_rounds=1)


@pytest.mark.benchmark(group="clamp of 20 fasteners at 2000 places")
@pytest.mark.parametrize("call", [field, dense_field], ids=["ours", "dense solve"])
def test_clamp(benchmark: Any, call: Callable[[], Any]) -> None:
    benchmark.pedantic(call, rounds=3, iterations=1, warmup_rounds=1)


def _seconds(call: Callable[[], Any], rounds: int) -> float:
    times = []
    for _ in range(rounds):
        start = perf_counter()
        call()
        times.append(perf_counter() - start)
    return median(times)


def main() -> None:
    """Print the two ratios, by the median of some rounds."""
    pairs = (
        ("minimum zone of 500 readings, general minimiser", zone, lambda: by_minimiser(face()), ROUNDS),
        ("clamp of 20 fasteners at 2000 places, dense solve", field, dense_field, 3),
    )
    for what, ours, theirs, rounds in pairs:
        one, other = _seconds(ours, rounds), _seconds(theirs, rounds)
        print(f"{what}: {1e3 * other:.1f} ms, ours {1e3 * one:.2f} ms, ratio {other / one:.1f}")


if __name__ == "__main__":
    main()
