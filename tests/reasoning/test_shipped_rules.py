"""The shipped rules on every shipped case: the engine against the plain matcher, under several hash seeds."""

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from leakdx.case import Case, LogEntry, Withdrawal
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.facts import Given, given_facts
from leakdx.reasoning.justification import justification_graph, why
from leakdx.reasoning.rules import RuleRun, run_rules
from leakdx.reasoning.timeline import could_not_have_been_seen, timeline
from leakdx.store.casefile import read_case
from tests.reasoning.test_rules import expected, traced

CASES = sorted((Path(__file__).parents[2] / "docs" / "cases").glob("*.yaml"))


@cache
def knowledge() -> Knowledge:
    return load_knowledge([shipped_folder()])


def facts_of(case: Case) -> Given:
    return given_facts(knowledge(), timeline(knowledge(), case))


def run_of(case: Case) -> RuleRun:
    return run_rules(knowledge(), facts_of(case))


@pytest.fixture(params=CASES, ids=lambda file: file.stem)
def case(request: pytest.FixtureRequest) -> Case:
    return read_case(request.param, knowledge())


def test_the_engine_agrees_with_a_plain_matcher(case: Case) -> None:
    facts = facts_of(case)
    trace = traced(run_rules(knowledge(), facts))
    assert trace
    assert trace == expected(knowledge(), facts)


def test_nothing_shipped_could_not_have_been_seen(case: Case) -> None:
    assert could_not_have_been_seen(knowledge(), case) == ()


def test_every_conclusion_has_reasons_that_end_in_what_is_given_or_in_a_rule_for_all(case: Case) -> None:
    run = run_of(case)
    graph = justification_graph(run)
    for said in (said for firing in run.firings for said in firing.says):
        assert why(graph, run, said).because
    for fact in run.derived:
        assert why(graph, run, fact).because


def test_withdrawing_an_entry_is_as_if_it_had_never_been_written(case: Case) -> None:
    for entry in case.standing:
        withdrawn = Withdrawal(number=len(case.log) + 1, who="AB", entry=entry.number)
        log = tuple(other for other in case.log if other is not entry)
        assert run_of(with_log(case, (*case.log, withdrawn))) == run_of(with_log(case, log))


def with_log(case: Case, log: tuple[LogEntry, ...]) -> Case:
    return replace(case, log=log)


def test_without_rules_nothing_fires(case: Case) -> None:
    assert run_rules(replace(knowledge(), rules={}), facts_of(case)).firings == ()


TRACE = """
from tests.reasoning.test_shipped_rules import CASES, knowledge, run_of, read_case
for file in CASES:
    print(run_of(read_case(file, knowledge())).firings)
"""


def test_the_trace_is_the_same_under_any_hash_seed() -> None:
    outputs = {
        subprocess.run(
            [sys.executable, "-c", TRACE],
            env={**os.environ, "PYTHONHASHSEED": str(seed), "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in range(5)
    }
    assert len(outputs) == 1
