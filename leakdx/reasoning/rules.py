"""Rules of the knowledge, run forward over the facts of a case.

A rule is data: it is compiled to patterns, and nothing that stands in a knowledge file is ever run as code.
Rules fire in order of their stratum, then of the knowledge. Every firing is kept with what it stood on, so
that whatever is concluded can say why; a case that changes is run anew, and nothing has to be taken back.
"""

from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache

from msgspec import Struct

from leakdx.errors import KnowledgeError
from leakdx.knowledge.actions import STRATA, Conclusion, Condition, Rule
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.experta_port import PortRule, Slots, forward_chain
from leakdx.reasoning.facts import ANYWHERE, Fact, Given, concluded, slot_fault, subject


class Firing(Struct, frozen=True):
    """A rule that fired: ``premises`` met its conditions one by one, ``absent`` were the ones that nothing met."""

    rule: str
    premises: tuple[Fact, ...]
    absent: tuple[Condition, ...]
    facts: tuple[Fact, ...]
    """What it concluded, on which later rules can stand."""
    says: tuple[Conclusion, ...]
    """What it tells people: forbid, hold, require, put right, caution, fit to drive."""


class RuleRun(Struct, frozen=True, dict=True):
    """All that the rules made of a case. A fact may have several firings behind it; each is kept."""

    given: Given
    firings: tuple[Firing, ...] = ()

    @cached_property
    def derived(self) -> tuple[Fact, ...]:
        """Facts that only rules gave, in order of conclusion."""
        found = dict.fromkeys(fact for firing in self.firings for fact in firing.facts)
        return tuple(fact for fact in found if fact not in self.given)

    @cached_property
    def facts(self) -> tuple[Fact, ...]:
        """Everything that is so: given, then derived."""
        return (*self.given, *self.derived)

    @cached_property
    def entries(self) -> Mapping[Fact, tuple[int, ...]]:
        """Fact -> numbers of all entries of the log that it rests on, by any of its firings."""
        rests_on = {fact: set(self.given.get(fact, ())) for fact in self.facts}
        changed = True
        while changed:
            before = sum(map(len, rests_on.values()))
            for firing in self.firings:
                for fact in firing.facts:
                    rests_on[fact].update(*(rests_on[premise] for premise in firing.premises))
            changed = sum(map(len, rests_on.values())) > before
        return {fact: tuple(sorted(numbers)) for fact, numbers in rests_on.items()}

    @cached_property
    def since(self) -> Mapping[Fact, int]:
        """Fact -> the entry of the log with which it came to stand (0: before any)."""
        first = {fact: max(entries, default=0) for fact, entries in self.given.items()}
        changed = True
        while changed:
            changed = False
            for firing in self.firings:
                stands = max((first[premise] for premise in firing.premises), default=0)
                for fact in firing.facts:
                    if stands < first.get(fact, stands + 1):
                        first[fact] = stands
                        changed = True
        return first


def run_rules(knowledge: Knowledge, given: Given) -> RuleRun:
    """Run every rule of the knowledge that these facts can set off.

    Raises:
        KnowledgeError: A rule concludes what the knowledge does not have.
    """
    rules = in_order(_within_reach(knowledge.rules, given))
    _check_conclusions(knowledge, rules)
    return RuleRun(given, fired(tuple(rules.items()), _looked_at(rules, given)))


def _looked_at(rules: Mapping[str, Rule], given: Given) -> tuple[Fact, ...]:
    """The facts that some condition speaks of; the rest would only go through the network and come to nothing."""
    subjects = {(kind, id) for rule in rules.values() for kind, ids in map(subject, rule.when) for id in ids}
    return tuple(fact for fact in given if (fact.kind, fact.id) in subjects or (fact.kind, ANYWHERE) in subjects)


@lru_cache(maxsize=256)
def fired(rules: tuple[tuple[str, Rule], ...], facts: tuple[Fact, ...]) -> tuple[Firing, ...]:
    """What fires. Most answers say nothing to any rule, so that the run before them holds on."""
    firings: list[Firing] = []
    forward_chain([_compile(id, rule, firings) for id, rule in rules], [_slots(fact) for fact in facts])
    return tuple(firings)


def in_order(rules: Mapping[str, Rule]) -> dict[str, Rule]:
    """Rules by stratum, then as written."""
    return dict(sorted(rules.items(), key=lambda item: STRATA.index(item[1].stratum)))


def _compile(id: str, rule: Rule, firings: list[Firing]) -> PortRule:
    all_of = [condition for condition in rule.when if not condition.absent]
    none_of = tuple(condition for condition in rule.when if condition.absent)

    def fire(matched: tuple[Slots, ...]) -> list[Slots]:
        premises = tuple(Fact(slots["kind"], slots["id"], slots["answer"], slots["sure"]) for slots in matched)
        firing = _firing(id, rule.then, premises, none_of)
        firings.append(firing)
        return [_slots(fact) for fact in firing.facts]

    return PortRule(id, [_pattern(condition) for condition in all_of], [_pattern(c) for c in none_of], fire)


def _firing(id: str, then: Sequence[Conclusion], premises: tuple[Fact, ...], absent: tuple[Condition, ...]) -> Firing:
    sure = all(premise.sure for premise in premises)
    facts = tuple(fact for conclusion in then if (fact := concluded(conclusion, sure)) is not None)
    says = tuple(conclusion for conclusion in then if concluded(conclusion, sure) is None)
    return Firing(id, premises, absent, facts, says)


def _slots(fact: Fact) -> Slots:
    return {"kind": fact.kind, "id": fact.id, "answer": fact.answer, "sure": fact.sure}


def _pattern(condition: Condition) -> Slots:
    kind, ids = subject(condition)
    slots: dict[str, str | bool | tuple[str, ...]] = {"kind": kind}
    if not (kind == "complaint" and ANYWHERE in ids):
        slots["id"] = ids[0] if len(ids) == 1 else ids
    if condition.is_:
        slots["answer"] = condition.is_[0] if len(condition.is_) == 1 else condition.is_
    if condition.surely:
        slots["sure"] = True
    return slots


def _within_reach(rules: Mapping[str, Rule], given: Given) -> dict[str, Rule]:
    """The rules that could fire if nothing stood against them; most cannot, and they would fill the network."""
    there = {words for fact in given for words in _words(fact)}
    found: dict[str, Rule] = {}
    grows = True
    while grows:
        new = {id: r for id, r in rules.items() if id not in found and all(_could_meet(c, there) for c in r.when)}
        then = (conclusion for rule in new.values() for conclusion in rule.then)
        facts = (fact for conclusion in then if (fact := concluded(conclusion, sure=True)) is not None)
        there.update(words for fact in facts for words in _words(fact))
        found.update(new)
        grows = bool(new)
    return {id: rule for id, rule in rules.items() if id in found}


def _words(fact: Fact) -> tuple[tuple[str, ...], ...]:
    return (fact.kind,), (fact.kind, fact.id), (fact.kind, fact.id, fact.answer)


def _could_meet(condition: Condition, there: set[tuple[str, ...]]) -> bool:
    if condition.absent:
        return True
    kind, ids = subject(condition)
    if kind == "complaint" and ANYWHERE in ids:
        return (kind,) in there
    if not condition.is_:
        return any((kind, id) in there for id in ids)
    return any((kind, id, answer) in there for id in ids for answer in condition.is_)


def _check_conclusions(knowledge: Knowledge, rules: Mapping[str, Rule]) -> None:
    faults = []
    for id, rule in rules.items():
        for conclusion in rule.then:
            fact = concluded(conclusion, sure=True)
            fault = None if fact is None else slot_fault(knowledge, fact)
            if fault is not None:
                faults.append(f"{rule.at or id}: {fault}")
    if faults:
        raise KnowledgeError(faults)
