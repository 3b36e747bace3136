"""Rules that can never fire, and rules that say opposite things of one truck."""

from collections.abc import Iterator
from itertools import combinations

from leakdx.knowledge.actions import Conclusion, Condition
from leakdx.knowledge.faults import Fault
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.facts import concluded, meets
from leakdx.reasoning.rules import RuleRun
from leakdx.reasoning.witness import Way, Witnesses, fires, in_words, premises

_SHOWN = 5
"""Facts of a truck that are named in a sentence."""


def never_fires(knowledge: Knowledge) -> Iterator[Fault]:
    """Rules for which no truck can be thought out on which they would fire."""
    search = Witnesses(knowledge)
    for id, rule in knowledge.rules.items():
        search.undecided = False
        tried = next(search.ways(rule.when), None)
        if any(fires(search.run(way), id) for way in search.ways(rule.when)) or search.undecided:
            continue
        wrong = f"'{id}' can never fire: {_why_never(search, rule.when, tried)}"
        yield hint(rule.at, Hint.NEVER_FIRES, wrong, "drop or change one of these premises, or take the rule out")


def _why_never(search: Witnesses, when: tuple[Condition, ...], tried: Way | None) -> str:
    """The smallest part of the premises that cannot be met, or what a truck that meets them all sets off."""
    if tried is not None:
        facts = search.run(tried).facts
        against = [c for c in when if c.absent and any(meets(fact, c) for fact in facts)]
        return f"what meets its premises also brings about what it wants absent ({_listed(against)})"
    for size in (1, 2):
        for some in combinations(when, size):
            if any(not c.absent for c in some) and next(search.ways(some), None) is None:
                return f"{_listed(some)} cannot be" + (" together" if size > 1 else ", since no rule says so")
    return "its premises cannot all hold together"


def _listed(conditions: list[Condition] | tuple[Condition, ...]) -> str:
    return " and ".join(map(in_words, conditions))


def contradictions(knowledge: Knowledge) -> Iterator[Fault]:
    """Pairs of rules with opposite conclusions that some truck sets off both, and no rule notices it."""
    search = Witnesses(knowledge)
    says = [(id, conclusion) for id, rule in knowledge.rules.items() for conclusion in rule.then]
    for (first, one), (second, other) in combinations(says, 2):
        if not _opposite(one, other):
            continue
        if first == second or (way := _both(search, first, second, one, other)) is not None:
            there = knowledge.rules[first].at
            shown = "" if first == second else f" on a truck with {_truck(way or {})}"
            wrong = f"'{second}' says {_said(other)} while '{first}' ({there}) says {_said(one)}{shown}"
            right = "let one wait for the other's premises to be absent, or write a rule that notices both"
            yield hint(knowledge.rules[second].at, Hint.CONTRADICTS, wrong, right)


def _opposite(one: Conclusion, other: Conclusion) -> bool:
    for a, b in ((one, other), (other, one)):
        if a.establish is not None and a.establish == b.exclude:
            return True
        if a.forbid is not None and a.scope == "not at all" and a.forbid in (b.require, b.put_right):
            return True
    same_sign = one.sign is not None and one.sign == other.sign
    same_group = one.history is not None and one.history == other.history
    return (same_sign or same_group) and one.is_ != other.is_


def _both(search: Witnesses, first: str, second: str, one: Conclusion, other: Conclusion) -> Way | None:
    """A truck on which both rules fire and nothing notices."""
    rules = search.knowledge.rules
    for way in search.ways((*rules[first].when, *rules[second].when)):
        run = search.run(way)
        if fires(run, first) and fires(run, second) and not _noticed(search.knowledge, run, one, other):
            return way
    return None


def _noticed(knowledge: Knowledge, run: RuleRun, one: Conclusion, other: Conclusion) -> bool:
    """Whether a rule that fired stands on both conclusions."""
    facts = [concluded(one, sure=True), concluded(other, sure=True)]
    for firing in run.firings:
        stands_on = premises(knowledge.rules[firing.rule])
        if all(fact is not None and any(meets(fact, c) for c in stands_on) for fact in facts):
            return True
    return False


def _said(conclusion: Conclusion) -> str:
    for word, id in (
        ("that it is", conclusion.establish),
        ("that it is not", conclusion.exclude),
        ("never do", conclusion.forbid),
        ("always do", conclusion.require or conclusion.put_right),
    ):
        if id is not None:
            return f"{word} '{id}'"
    return f"'{in_words(conclusion)}'"


def _truck(way: Way) -> str:
    facts = [in_words(fact) for fact in way.values()]
    return ", ".join(facts[:_SHOWN]) + (" and more" if len(facts) > _SHOWN else "")
