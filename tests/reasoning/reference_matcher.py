"""A plain forward chainer to hold the engine against: no network, no agenda, nothing shared with the product's rules.

Stratum by stratum, in the order written, it fires the first rule that has something new to fire on, on the
oldest facts first, until nothing fires any more.
"""

from collections.abc import Iterable, Iterator
from itertools import product
from typing import NamedTuple

from leakdx.knowledge.actions import Condition, Rule
from leakdx.knowledge.model import Knowledge

STRATA = ("measure", "locate", "implicate", "settle", "act")


class Known(NamedTuple):
    """One thing that is so."""

    kind: str
    id: str
    answer: str
    sure: bool


class Fired(NamedTuple):
    """One rule, the facts it fired on, and the facts it gave."""

    rule: str
    on: tuple[Known, ...]
    gave: tuple[Known, ...]


def chain(knowledge: Knowledge, given: Iterable[Known]) -> list[Fired]:
    """Every firing, in order."""
    facts = list(given)
    trace: list[Fired] = []
    for stratum in STRATA:
        rules = [(id, rule) for id, rule in knowledge.rules.items() if rule.stratum == stratum]
        while (fired := _first_new(rules, facts, trace)) is not None:
            trace.append(fired)
            facts.extend(fact for fact in dict.fromkeys(fired.gave) if fact not in facts)
    return trace


def _first_new(rules: list[tuple[str, Rule]], facts: list[Known], trace: list[Fired]) -> Fired | None:
    for id, rule in rules:
        if any(_fits(fact, condition) for condition in rule.when if condition.absent for fact in facts):
            continue
        for on in _combinations(rule, facts):
            if not any(fired.rule == id and fired.on == on for fired in trace):
                return Fired(id, on, tuple(_given_by(rule, all(fact.sure for fact in on))))
    return None


def _combinations(rule: Rule, facts: list[Known]) -> Iterator[tuple[Known, ...]]:
    wanted = [condition for condition in rule.when if not condition.absent]
    return product(*([fact for fact in facts if _fits(fact, condition)] for condition in wanted))


def _fits(fact: Known, wanted: Condition) -> bool:
    if fact.kind == "sign" and fact.id in wanted.any_sign:
        return (not wanted.is_ or fact.answer in wanted.is_) and (fact.sure or not wanted.surely)
    named = wanted.complaint if fact.kind == "complaint" else getattr(wanted, fact.kind)
    if named is None or (named != fact.id and not (fact.kind == "complaint" and named == "any")):
        return False
    if wanted.is_ and fact.answer not in wanted.is_:
        return False
    return fact.sure or not wanted.surely


def _given_by(rule: Rule, sure: bool) -> Iterator[Known]:
    for then in rule.then:
        for kind, id in (
            ("finding", then.finding),
            ("sign", then.sign),
            ("history", then.history),
            ("established", then.establish),
            ("excluded", then.exclude),
        ):
            if id is not None:
                yield Known(kind, id, then.is_ or "", sure)
