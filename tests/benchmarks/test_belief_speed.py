"""The belief on the shipped knowledge with random evidence, beside lazy propagation in the same run.

``cold``: order and tables included, nothing remembered. ``warm``: the structure is known. ``run``: the tables
stand. The reference is pyAgrum's lazy propagation on the network that the tests' own reader builds; building
it is not counted.
Nothing is asserted about time; read the ratios with ``python -m pytest tests/benchmarks -n 0``.
"""

from collections.abc import Callable, Sequence
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.reasoning.belief import Belief, Evidence, SignEvidence, compile_model
from leakdx.reasoning.factors import make_plan
from leakdx.reasoning.line import find_line
from leakdx.reasoning.network import Network
from leakdx.reasoning.unfolding import unfold
from tests.published.reference import network
from tests.published.reference.reader import Story, load

KNOWLEDGE = load_knowledge([shipped_folder()])
MODEL = compile_model(KNOWLEDGE)
NO, QUESTIONS, PATHS = 10, 40, 25


def case(yes: int) -> tuple[Evidence, list[str]]:
    """Some signs answered, most of the written ones "yes" or "no", and what is left to ask."""
    rng = np.random.default_rng(yes)
    written = [s for s, entry in KNOWLEDGE.signs.items() if not entry.place]
    order = [written[i] for i in rng.permutation(len(written))]
    signs = []
    for number, id in enumerate(order[: yes + NO]):
        outcomes = len(KNOWLEDGE.signs[id].outcomes)
        seen = int(rng.integers(1, outcomes)) if number < yes else 0
        signs.append(SignEvidence(number, id, 0, tuple(float(i == seen) for i in range(outcomes))))
    return Evidence(KNOWLEDGE.complaint, signs=tuple(signs)), order[yes + NO :]


def forgetting(call: Callable[[], Any]) -> Callable[[], Any]:
    """The same, with no structure remembered."""

    def cold() -> Any:
        find_line.cache_clear()
        unfold.cache_clear()
        make_plan.cache_clear()
        return call()

    return cold


def rounds(benchmark: Any, call: Callable[[], Any], count: int = 10) -> Any:
    return benchmark.pedantic(call, rounds=count, iterations=1, warmup_rounds=1)


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="posterior")
def test_cold(benchmark: BenchmarkFixture, yes: int) -> None:
    evidence, _ = case(yes)
    belief = rounds(benchmark, forgetting(lambda: Belief(MODEL, evidence)))
    assert belief.leaking.sum() > 0


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="posterior")
def test_warm(benchmark: BenchmarkFixture, yes: int) -> None:
    evidence, _ = case(yes)
    belief = rounds(benchmark, lambda: Belief(MODEL, evidence))
    assert belief.leaking.sum() > 0


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="posterior")
def test_run(benchmark: BenchmarkFixture, yes: int) -> None:
    network_of_case = Network(MODEL, case(yes)[0])
    assert rounds(benchmark, network_of_case.posterior).totals.mantissa[0] > 0


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="posterior")
def test_lazy_propagation(benchmark: Any, yes: int, capsys: pytest.CaptureFixture[str]) -> None:
    evidence, _ = case(yes)
    base = dict(zip(MODEL.causes, (1 / (1 + np.exp(-MODEL.log_odds))).tolist(), strict=True))
    seen = tuple((s.sign, s.epoch, s.likelihood) for s in evidence.signs)
    builder = network.Builder(load(shipped_folder()), base, Story(evidence.complaint, {}, frozenset(), (), seen))
    nodes = [builder.states[c][0] for c in MODEL.causes]
    found, _ = rounds(benchmark, lambda: network.marginals(builder.net, set(nodes)), 3)
    belief = Belief(MODEL, evidence)
    assert [float(found[n][-1]) for n in nodes] == pytest.approx(belief.leaking.tolist(), abs=1e-9)
    if benchmark.stats is None:
        return
    lazy = float(benchmark.stats.stats.median)
    run = _seconds(Network(MODEL, evidence).posterior)
    cold = _seconds(forgetting(lambda: Belief(MODEL, evidence)))
    with capsys.disabled():
        print(f"\n{yes} yes: lazy propagation / belief: {lazy / run:.1f} (run), {lazy / cold:.1f} (cold, building too)")


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="outlook")
def test_outlook(benchmark: BenchmarkFixture, yes: int) -> None:
    evidence, left = case(yes)
    belief = Belief(MODEL, evidence)
    paths = np.random.default_rng(1).random((PATHS, len(MODEL.causes), 3))
    found: Sequence[Any] = rounds(benchmark, lambda: belief.outlook([(s,) for s in left[:QUESTIONS]], paths))
    assert all(o.probability.sum() == pytest.approx(1) for o in found)


@pytest.mark.parametrize("yes", [5, 10])
@pytest.mark.benchmark(group="weights")
def test_weights(benchmark: BenchmarkFixture, yes: int) -> None:
    belief = Belief(MODEL, case(yes)[0])
    items, _ = rounds(benchmark, belief.weights)
    assert len(items) == yes + NO


def _seconds(call: Callable[[], Any]) -> float:
    """Median of ten."""
    taken = []
    for _ in range(10):
        start = perf_counter()
        call()
        taken.append(perf_counter() - start)
    return float(np.median(taken))
