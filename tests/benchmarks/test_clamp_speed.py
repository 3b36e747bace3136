"""The clamp field of 20 fasteners at 2,000 points, beside a dense solve of the same strip in the same run.

``sound``: every fastener holds; ``lifting``: three side by side are lost, and the faces part. The dense solve is the
strip by differences with numpy's general solver, once where nothing parts, until contact agrees where it does.
Nothing is asserted about time; read the ratio with ``python -m pytest tests/benchmarks/test_clamp_speed.py -n 0 -s``.
"""

from collections.abc import Callable
from time import perf_counter

import numpy as np
import pytest

from leakdx.mechanics.beam import Numbers, Strip, bending_stiffness
from leakdx.mechanics.clamp import Joint
from leakdx.mechanics.outline import ring

FASTENERS, POINTS, WIDTH, PRELOAD = 20, 2000, 0.020, 96e3
LINE = ring(0.18)
JOINT = Joint(Strip(bending_stiffness(169e9, WIDTH, 0.018), 4e9), LINE.around, WIDTH, LINE.even(FASTENERS))
PRELOADS = {
    "sound": [PRELOAD] * FASTENERS,
    "lifting": [0.0 if number in (5, 6, 7) else PRELOAD for number in range(FASTENERS)],
}


def dense(preloads: list[float]) -> Numbers:
    """Load on the bed (N/m) by a dense matrix; a fastener stands on every hundredth point."""
    step = LINE.around / POINTS
    one = np.eye(POINTS)
    second = np.roll(one, 1, axis=0) + np.roll(one, -1, axis=0) - 2 * one
    bend = JOINT.strip.bending / step**4 * (second @ second)
    pressed = np.zeros(POINTS)
    pressed[:: POINTS // FASTENERS] = np.array(preloads) / step
    touches = np.ones(POINTS, bool)
    while True:
        load = np.asarray(JOINT.strip.bed * np.linalg.solve(bend + np.diag(JOINT.strip.bed * touches), pressed))
        if np.array_equal(load > 0, touches):
            return load
        touches = load > 0


def timed(call: Callable[[], Numbers], rounds: int) -> tuple[Numbers, float]:
    """What it finds, and the least seconds it took."""
    times = []
    for _ in range(rounds):
        start = perf_counter()
        found = call()
        times.append(perf_counter() - start)
    return found, min(times)


@pytest.mark.parametrize("preloads", PRELOADS.values(), ids=PRELOADS)
def test_beside_a_dense_solve(preloads: list[float], request: pytest.FixtureRequest) -> None:
    ours, quick = timed(lambda: JOINT.field(preloads, POINTS).load, 10)
    theirs, slow = timed(lambda: dense(preloads), 1)
    assert ours == pytest.approx(theirs, abs=2e-3 * float(theirs.max()))
    name = request.node.callspec.id
    print(
        f"\nclamp field, {name}: ours {1e3 * quick:.2f} ms, dense {1e3 * slow:.0f} ms, {slow / quick:.0f} times faster"
    )
