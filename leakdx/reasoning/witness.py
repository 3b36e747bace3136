"""What a truck would have to show for some conditions to hold together, found by looking backward through the rules.

A way is a set of facts of the log from which the conditions follow: one answer to each sign and question,
the rest concluded by rules. Whether the rules, run forward over it, then truly do what was asked is for the
caller to see, since what a way sets off besides may stand against it.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice

from msgspec import Struct

from leakdx.knowledge.actions import Conclusion, Condition, Rule
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.facts import ANYWHERE, BEYOND, DOUBTFUL, WITHIN, Fact, Kind, concluded, meets, subject
from leakdx.reasoning.rules import RuleRun, run_rules

MOST_STEPS = 20_000
"""Steps of one search; real rules need a few dozen."""
MOST_WAYS = 200

Slot = tuple[str, str]
"""Where one fact of the log excludes another: two answers to one sign, two complaints."""
Way = Mapping[Slot, Fact]


class _Wanted(Struct, frozen=True):
    """Conditions still to be met, and those that nothing of the log may meet."""

    met: tuple[Condition, ...]
    unmet: tuple[Condition, ...]


class Witnesses:
    """Searches one knowledge. ``undecided``: some search was given up, so that nothing follows from finding no way."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.undecided = False
        self._steps = 0
        self._stating: dict[tuple[Kind, str], list[tuple[str, Fact]]] = {}
        for id, rule in knowledge.rules.items():
            for conclusion in rule.then:
                fact = concluded(conclusion, sure=True)
                if fact is not None:
                    self._stating.setdefault((fact.kind, fact.id), []).append((id, fact))

    def ways(self, conditions: Iterable[Condition]) -> Iterator[Way]:
        """Facts of the log that should meet the conditions, the simplest first; at most ``MOST_WAYS``."""
        self._steps = 0
        return islice(self._ways(_wanted(conditions), {}, frozenset()), MOST_WAYS)

    def run(self, way: Way) -> RuleRun:
        """The rules, run over a way; a complaint is always there."""
        facts = dict(way)
        facts.setdefault(("complaint", ""), Fact("complaint", self.knowledge.complaint))
        return run_rules(self.knowledge, {fact: (number,) for number, fact in enumerate(sorted(facts.values()), 1)})

    def _ways(self, wanted: _Wanted, so: Way, used: frozenset[str]) -> Iterator[Way]:
        self._steps += 1
        if self._steps > MOST_STEPS:
            self.undecided = True
            return
        if not wanted.met:
            yield so
            return
        first, rest = wanted.met[0], wanted.met[1:]
        if any(meets(fact, first) for fact in so.values()):
            yield from self._ways(_Wanted(rest, wanted.unmet), so, used)
        for fact in self._givable(first):
            slot = _slot(fact)
            if slot not in so and not any(meets(fact, condition) for condition in wanted.unmet):
                yield from self._ways(_Wanted(rest, wanted.unmet), {**so, slot: fact}, used)
        kind, ids = subject(first)
        for id, fact in (stating for wanted_id in ids for stating in self._stating.get((kind, wanted_id), ())):
            if id in used or not meets(fact, first):
                continue
            needs = _wanted(self.knowledge.rules[id].when)
            if not any(meets(given, condition) for condition in needs.unmet for given in so.values()):
                yield from self._ways(
                    _Wanted(needs.met + rest, wanted.unmet + needs.unmet), so, used | {id}
                )  # fmt: skip

    def _givable(self, condition: Condition) -> Iterator[Fact]:
        """Facts of a log that meet the condition, one for each answer that will do, surest first."""
        kind, ids = subject(condition)
        if kind in ("finding", "established", "excluded"):
            return
        if kind == "complaint" and ANYWHERE in ids:
            ids = (self.knowledge.complaint,)
        for id in ids:
            for answer in self._answers(kind, id, condition):
                yield Fact(kind, id, answer)
                if kind == "sign" and not condition.surely:
                    yield Fact(kind, id, answer, sure=False)

    def _answers(self, kind: Kind, id: str, condition: Condition) -> Sequence[str]:
        if condition.is_:
            return condition.is_
        if kind == "sign":
            return self.knowledge.signs[id].outcomes
        if kind == "history":
            return tuple(self.knowledge.history[id].answers)
        return (WITHIN, BEYOND) if kind == "reading" else ("",)


def fires(run: RuleRun, rule: str) -> bool:
    """Whether the rule fired."""
    return any(firing.rule == rule for firing in run.firings)


def premises(rule: Rule) -> tuple[Condition, ...]:
    """The conditions that something has to meet."""
    return tuple(condition for condition in rule.when if not condition.absent)


def in_words(condition: Condition | Conclusion | Fact) -> str:
    """A condition, a conclusion or a fact as one would write it in a rule."""
    if isinstance(condition, Fact):
        return f"{condition.kind} {condition.id}{f': {condition.answer}' if condition.answer else ''}"
    if isinstance(condition, Conclusion):
        fact = concluded(condition, sure=True)
        return in_words(fact) if fact else str(condition)
    kind, ids = subject(condition)
    answers = f": {' or '.join(condition.is_)}" if condition.is_ else ""
    return f"{'no ' if condition.absent else ''}{kind} {' or '.join(ids)}{answers}"


def _wanted(conditions: Iterable[Condition]) -> _Wanted:
    every = tuple(conditions)
    return _Wanted(tuple(c for c in every if not c.absent), tuple(c for c in every if c.absent))


def _slot(fact: Fact) -> Slot:
    if fact.kind == "complaint":
        return fact.kind, ""
    if fact.kind == "reading" and fact.answer in DOUBTFUL:
        return fact.kind, f"{fact.id} {fact.answer}"  # said beside within or beyond
    return fact.kind, fact.id
