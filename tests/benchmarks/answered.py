"""What an answer takes: rules, posterior, zones, priced repairs and the next check, beside lazy propagation.

The reference is one set of marginals of the same case by pyAgrum, on the network that the tests' own reader builds from
the same YAML. Building it is not counted; setting evidence and asking for every cause is.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.benchmarks.marginals import Shipped, forget, in_turns, propagation, tried, trucks_seen

WITHOUT_CHECK, WITH_CHECK = 8.0, 15.0
"""How many times as long as one set of marginals by lazy propagation an answer may take."""
ROUNDS = 5


class Ratios(NamedTuple):
    """How many times as long as lazy propagation an answer takes, nothing remembered."""

    without_check: float
    with_check: float


def after_one_answer(diagnosis: Diagnosis, lazy: Callable[[], Any]) -> Ratios:
    """A case diagnosed anew, all of it in turns with the reference; with the next check by one exact step, too."""
    knowledge, case = diagnosis.knowledge, diagnosis.case

    def without_check() -> Diagnosis:
        forget()
        answered = diagnose(knowledge, case)
        assert answered.zones
        assert answered.planner.priced.paths
        return answered

    theirs, without, with_check = in_turns([lazy, without_check, lambda: without_check().planner.plan()], ROUNDS)
    return Ratios(without / theirs, with_check / theirs)


def beside(shipped: Shipped, diagnosis: Diagnosis, given: str | None) -> Ratios:
    """The same, by one formulation of the reference."""
    return after_one_answer(diagnosis, propagation(shipped, diagnosis.evidence, given)[0])


def ratios() -> list[Ratios]:
    """Those of the trucks of the body of cases with five signs found not normal, the reference in its better way."""
    shipped = Shipped.read()
    found = []
    for truck in trucks_seen(shipped.knowledge, range(5, 6)):
        ways = [way for way in (tried(beside, shipped, truck, given) for given in (None, NOT_LISTED)) if way]
        found += [max(ways)] if ways else []
    return found
