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

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.reasoning.answer import Answers
from leakdx.reasoning.belief import Belief, compile_model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.facts import given_facts
from leakdx.reasoning.rules import RuleRun, fired, run_rules
from leakdx.store.casefile import read_case
from tests.benchmarks.answered import WITH_CHECK, WITHOUT_CHECK, after_one_answer
from tests.benchmarks.marginals import EXACT, Shipped, propagation
from tests.published.reference.reader import load

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
def lazy(diagnosis: Diagnosis) -> Callable[[], Any]:
    """All marginals of the same case, the network standing."""
    asked, off = propagation(Shipped(KNOWLEDGE, MODEL, load(shipped_folder())), diagnosis.evidence, None)
    assert off < EXACT
    return asked


@pytest.mark.benchmark(group="one case")
def test_posterior_by_lazy_propagation(benchmark: BenchmarkFixture, lazy: Callable[[], Any]) -> None:
    assert few_rounds(benchmark, lazy)


def test_after_one_answer(diagnosis: Diagnosis, lazy: Callable[[], Any], capsys: pytest.CaptureFixture[str]) -> None:
    without, with_check = after_one_answer(diagnosis, lazy)
    with capsys.disabled():
        print(f"\nrules, posterior, zones and repairs take {without:.1f} times as long as lazy propagation's "
              f"marginals, with the next check {with_check:.1f}")  # fmt: skip
    assert without < WITHOUT_CHECK
    assert with_check < WITH_CHECK


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
