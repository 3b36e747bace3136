"""One shipped case: rules, posterior and look-ahead, beside a general-purpose library on the same network.

The reference is pyAgrum's lazy propagation on the network that the tests' own reader builds from the same
YAML: building it is not counted, setting evidence and asking for all causes is. Ratios are read from one run:
``python -m pytest tests/benchmarks -n 0``.
"""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.reasoning.answer import Answers
from leakdx.reasoning.belief import Belief, compile_model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.facts import given_facts
from leakdx.reasoning.rules import RuleRun, fired, run_rules
from leakdx.store.casefile import read_case
from tests.benchmarks.marginals import forget, seconds
from tests.published.reference import network
from tests.published.reference.enumeration import LEAKING
from tests.published.reference.reader import Story, load

WITHOUT_CHECK, WITH_CHECK = 8.0, 15.0
"""How many times as long as one set of marginals by lazy propagation an answer may take."""
CASES = Path(__file__).parents[2] / "docs" / "cases"
KNOWLEDGE = load_knowledge([shipped_folder()])
MODEL = compile_model(KNOWLEDGE)
ENGINE_ONLY = """
import collections, collections.abc
for name in ("Mapping", "MutableMapping", "Sequence", "Callable", "Iterable"):
    setattr(collections, name, getattr(collections.abc, name))
import numpy, experta
"""


@pytest.fixture(scope="module")
def diagnosis() -> Diagnosis:
    return diagnose(KNOWLEDGE, read_case(CASES / "05-two-leaks-oiled-brakes.yaml", KNOWLEDGE))


@pytest.mark.benchmark(group="one case")
def test_rules(benchmark: BenchmarkFixture, diagnosis: Diagnosis) -> None:
    def anew() -> RuleRun:
        fired.cache_clear()
        return run_rules(KNOWLEDGE, given_facts(KNOWLEDGE, diagnosis.timeline))

    assert benchmark(anew) == diagnosis.run


@pytest.mark.benchmark(group="one case")
def test_posterior(benchmark: BenchmarkFixture, diagnosis: Diagnosis) -> None:
    leaking = benchmark(lambda: Belief(MODEL, diagnosis.evidence).leaking)
    assert leaking == pytest.approx(diagnosis.belief.leaking, abs=1e-12)


@pytest.fixture(scope="module")
def by_lazy_propagation(diagnosis: Diagnosis) -> Callable[[], dict[str, float]]:
    """All marginals of the same case, cause by cause, the network standing."""
    meaning = load(shipped_folder())
    base = {c: float(p) for c, p in zip(MODEL.causes, 1 / (1 + np.exp(-MODEL.log_odds)), strict=True)}
    evidence = diagnosis.evidence
    decibans: dict[str, float] = {}
    for told in evidence.history:
        for cause, shift in told.decibans.items():
            decibans[cause] = decibans.get(cause, 0.0) + shift
    impossible = frozenset(c for told in evidence.history for c in told.impossible)
    seen = tuple((s.sign, s.epoch, s.likelihood) for s in evidence.signs)
    builder = network.Builder(meaning, base, Story(evidence.complaint, decibans, impossible, (), seen))
    nodes = {c: builder.states[c][0] for c in meaning.causes}
    ready = network.ready(builder.net)

    def asked() -> dict[str, float]:
        found, _ = network.marginals(builder.net, set(nodes.values()), None, ready)
        return {c: float(found[n][LEAKING]) for c, n in nodes.items()}

    return asked


@pytest.mark.benchmark(group="one case")
def test_posterior_by_lazy_propagation(
    benchmark: BenchmarkFixture, diagnosis: Diagnosis, by_lazy_propagation: Callable[[], dict[str, float]]
) -> None:
    found = few_rounds(benchmark, by_lazy_propagation)
    leaking = dict(zip(diagnosis.belief.causes, diagnosis.belief.leaking_first, strict=True))
    assert found == pytest.approx(leaking, abs=1e-12)


def test_after_one_answer(
    diagnosis: Diagnosis, by_lazy_propagation: Callable[[], dict[str, float]], capsys: pytest.CaptureFixture[str]
) -> None:
    """Rules, posterior, zones and priced repairs; then with the next check by one exact step; cold, both."""

    def without_check() -> Diagnosis:
        forget()
        answered = diagnose(KNOWLEDGE, diagnosis.case)
        assert answered.zones
        assert answered.planner.priced.paths
        return answered

    theirs = seconds(by_lazy_propagation)
    without, with_check = seconds(without_check), seconds(lambda: without_check().planner.plan())
    with capsys.disabled():
        print(f"\nrules, posterior, zones and repairs take {without / theirs:.1f} times as long as lazy propagation's "
              f"marginals, with the next check {with_check / theirs:.1f}")  # fmt: skip
    assert without / theirs < WITHOUT_CHECK
    assert with_check / theirs < WITH_CHECK


@pytest.mark.benchmark(group="one case")
def test_whole_answer(benchmark: BenchmarkFixture, diagnosis: Diagnosis) -> None:
    def anew() -> Answers:
        fired.cache_clear()
        return diagnose(KNOWLEDGE, diagnosis.case).answers

    assert benchmark(anew) == diagnosis.answers


@pytest.mark.benchmark(group="cold start")
def test_importing_numpy_and_the_rule_engine(benchmark: BenchmarkFixture) -> None:
    few_rounds(benchmark, lambda: _run("-c", ENGINE_ONLY))


@pytest.mark.benchmark(group="cold start")
def test_diagnose_command(benchmark: BenchmarkFixture) -> None:
    case = CASES / "01-pinion-seal.yaml"
    said = few_rounds(benchmark, lambda: _run("-m", "leakdx", "diagnose", str(case)))
    assert "FIT TO DRIVE" in said


def few_rounds(benchmark: Any, call: Callable[[], Any]) -> Any:
    """What a slow call returns, timed seven times after one that is not counted."""
    return benchmark.pedantic(call, rounds=7, iterations=1, warmup_rounds=1)


def _run(*arguments: str) -> str:
    """A process of its own, which finds its bytecode as after any first start."""
    own = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return subprocess.run([sys.executable, *arguments], check=True, capture_output=True, text=True, env=own).stdout
