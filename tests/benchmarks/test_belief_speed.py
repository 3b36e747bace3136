"""The belief on the shipped knowledge with random evidence, beside lazy propagation in the same run.

``cold``: order and tables included, nothing remembered. ``warm``: the structure is known. ``run``: the tables
stand. Many more evidences, a second library and the bars: ``python -m tests.benchmarks.marginals``, and for a larger
knowledge ``python -m tests.benchmarks.larger``. What is asserted here leaves room for whatever else a machine does.
"""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning.belief import Belief, Evidence
from leakdx.reasoning.network import Network
from tests.benchmarks.larger import BAR, TIMES, larger
from tests.benchmarks.marginals import EXACT, Shipped, cold, evidence, in_turns, propagation, seconds

SHIPPED = Shipped.read()
MODEL = SHIPPED.model
QUESTIONS, PATHS = 40, 25
ROOM = 1.5
AT_LEAST = {5: 1.5, 10: 1.5}
"""How many times as long lazy propagation takes at least, on the evidence of this test, which it finds easy."""


def case(yes: int) -> tuple[Evidence, list[str]]:
    return evidence(SHIPPED.knowledge, yes, 0)


def rounds(benchmark: Any, call: Callable[[], Any], count: int = 10) -> Any:
    return benchmark.pedantic(call, rounds=count, iterations=1, warmup_rounds=1)


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="posterior")
def test_cold(benchmark: BenchmarkFixture, yes: int) -> None:
    told, _ = case(yes)
    belief = rounds(benchmark, lambda: cold(MODEL, told))
    assert belief.leaking.sum() > 0


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="posterior")
def test_warm(benchmark: BenchmarkFixture, yes: int) -> None:
    told, _ = case(yes)
    belief = rounds(benchmark, lambda: Belief(MODEL, told))
    assert belief.leaking.sum() > 0


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="posterior")
def test_run(benchmark: BenchmarkFixture, yes: int) -> None:
    network_of_case = Network(MODEL, case(yes)[0])
    assert rounds(benchmark, network_of_case.posterior).totals.mantissa[0] > 0


@pytest.mark.parametrize("yes", [5, 10])
def test_beside_lazy_propagation(yes: int, capsys: pytest.CaptureFixture[str]) -> None:
    told, _ = case(yes)
    ways = [propagation(SHIPPED, told, given) for given in (None, NOT_LISTED)]
    assert max(off for _, off in ways) < EXACT
    ours, *taken = in_turns([lambda: cold(MODEL, told), *(run for run, _ in ways)], 15)
    theirs = min(taken)
    with capsys.disabled():
        print(f"\n{yes} yes, cold: {1e3 * ours:.1f} ms; lazy propagation takes {theirs / ours:.1f} times as long")
    assert theirs / ours > AT_LEAST[yes]


def test_a_knowledge_ten_times_as_large(capsys: pytest.CaptureFixture[str]) -> None:
    """The new zones are as likely to leak, so each cause of the first copy is about as much less likely."""
    told, _ = case(5)
    large = larger(MODEL, TIMES)
    belief = cold(large, told)
    assert len(belief.leaking) == TIMES * (len(MODEL.causes) - 1) + 1
    seen, copies = belief.leaking[: len(MODEL.causes) - 1].sum(), belief.leaking[len(MODEL.causes) - 1 : -1].sum()
    assert seen > copies / (TIMES - 1), "what was seen was seen of the first copy"
    ratio = seconds(lambda: cold(large, told)) / seconds(lambda: cold(MODEL, told), 9)
    with capsys.disabled():
        print(f"\nknowledge {TIMES} times as large: {ratio:.1f} times as long")
    assert ratio < ROOM * BAR


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="outlook")
def test_outlook(benchmark: BenchmarkFixture, yes: int) -> None:
    told, left = case(yes)
    belief = Belief(MODEL, told)
    paths = np.random.default_rng(1).random((PATHS, len(MODEL.causes), 3))
    found: Sequence[Any] = rounds(benchmark, lambda: belief.outlook([(s,) for s in left[:QUESTIONS]], paths))
    assert all(o.probability.sum() == pytest.approx(1) for o in found)


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="weights")
def test_weights(benchmark: BenchmarkFixture, yes: int) -> None:
    belief = Belief(MODEL, case(yes)[0])
    items, _ = rounds(benchmark, belief.weights)
    assert len(items) == len(case(yes)[0].signs)
