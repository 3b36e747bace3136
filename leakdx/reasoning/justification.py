"""Why something is so, and why something is not: walks on the graph of what the rules stood on.

The graph of a run has an edge from each premise to the firing that it was a premise of, and from the firing
to each of its conclusions. What had to be absent stands there too, since it is a reason like any other.
"""

from collections.abc import Iterator, Sequence
from itertools import product
from typing import TYPE_CHECKING

from msgspec import Struct

from leakdx.knowledge.actions import Conclusion, Condition, Rule
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.facts import Fact, concluded, meets
from leakdx.reasoning.rules import Firing, RuleRun, in_order

if TYPE_CHECKING:
    from networkx import DiGraph

Thing = Fact | Conclusion
"""What a rule can conclude: a fact, or something that it tells people."""
Node = Thing | Firing | Condition
_ABOUT = ("finding", "sign", "history", "establish", "exclude", "forbid", "require", "put_right", "caution")


class Because(Struct, frozen=True):
    """One reason: a rule, what it stood on, and what had to be absent."""

    rule: str
    premises: tuple["Why", ...]
    absent: tuple[Condition, ...]


class Why(Struct, frozen=True):
    """A thing and its reasons; ``entries``: the entries of the log that say so themselves."""

    thing: Thing
    entries: tuple[int, ...]
    because: tuple[Because, ...]


class WhyNot(Struct, frozen=True):
    """The rule that came nearest: the conditions that nothing met, and the facts that stood against it."""

    rule: str
    missing: tuple[Condition, ...]
    in_the_way: tuple[Fact, ...]


def justification_graph(run: RuleRun) -> "DiGraph[Node]":
    """A networkx graph of a run.

    Nodes are facts, firings, absent conditions and what was told to people; the attribute ``role`` is one of
    "observation" (from the log), "finding" (from rules only), "firing", "absent", "said".
    """
    # Not on the way to a diagnosis, and a fifth of a second to import.
    from networkx import DiGraph

    graph: DiGraph[Node] = DiGraph()
    for fact in run.facts:
        graph.add_node(fact, role="observation" if fact in run.given else "finding")
    for firing in run.firings:
        graph.add_node(firing, role="firing")
        graph.add_nodes_from(firing.absent, role="absent")
        graph.add_nodes_from(firing.says, role="said")
        reasons: tuple[Node, ...] = (*firing.premises, *firing.absent)
        conclusions: tuple[Node, ...] = (*firing.facts, *firing.says)
        graph.add_edges_from(product(reasons, (firing,)))
        graph.add_edges_from(product((firing,), conclusions))
    return graph


def why(graph: "DiGraph[Node]", run: RuleRun, thing: Thing) -> Why:
    """The tree of reasons for a thing; a reason that would lead back to the thing itself is left out.

    Raises:
        KeyError: The thing is not so.
    """
    if thing not in graph:
        raise KeyError(thing)
    return _why(graph, run, thing, ())


def _why(graph: "DiGraph[Node]", run: RuleRun, thing: Thing, above: tuple[Thing, ...]) -> Why:
    path = (*above, thing)
    because = tuple(
        Because(firing.rule, tuple(_why(graph, run, premise, path) for premise in firing.premises), firing.absent)
        for firing in graph.predecessors(thing)
        if isinstance(firing, Firing) and not any(premise in path for premise in firing.premises)
    )
    return Why(thing, run.given.get(thing, ()) if isinstance(thing, Fact) else (), because)


def about(thing: Thing) -> str | None:
    """The id that a thing speaks of; None for a hold and for fit to drive, which speak of none."""
    if isinstance(thing, Fact):
        return thing.id
    return next((id for field in _ABOUT if (id := getattr(thing, field)) is not None), None)


def things_about(run: RuleRun, id: str) -> tuple[Thing, ...]:
    """Everything in a run that speaks of an id: facts first, then what was told to people."""
    things: tuple[Thing, ...] = (*run.facts, *(said for firing in run.firings for said in firing.says))
    return tuple(dict.fromkeys(thing for thing in things if about(thing) == id))


def why_not(knowledge: Knowledge, facts: Sequence[Fact], of: str | Thing) -> WhyNot | None:
    """Of the rules that would conclude a thing, the one with the fewest premises missing.

    ``of``: the thing itself, or an id: of one rule, or of whatever it is that rules would say something about.
    ``facts``: everything that is so. None: no rule concludes it. Nothing missing: it is so after all.
    """
    nearest: WhyNot | None = None
    for id, rule in _candidates(knowledge, of):
        found = _missing(id, rule, facts)
        if nearest is None or _distance(found) < _distance(nearest):
            nearest = found
    return nearest


def _candidates(knowledge: Knowledge, of: str | Thing) -> Iterator[tuple[str, Rule]]:
    for id, rule in in_order(knowledge.rules).items():
        if id == of or any(_would_say(conclusion, of) for conclusion in rule.then):
            yield id, rule


def _would_say(conclusion: Conclusion, of: str | Thing) -> bool:
    if isinstance(of, str):
        return about(conclusion) == of
    return conclusion == of or (isinstance(of, Fact) and concluded(conclusion, of.sure) == of)


def _missing(id: str, rule: Rule, facts: Sequence[Fact]) -> WhyNot:
    missing = []
    in_the_way: dict[Fact, None] = {}
    for condition in rule.when:
        matching = [fact for fact in facts if meets(fact, condition)]
        if condition.absent:
            in_the_way.update(dict.fromkeys(matching))
        elif not matching:
            missing.append(condition)
    return WhyNot(id, tuple(missing), tuple(in_the_way))


def _distance(found: WhyNot) -> int:
    return len(found.missing) + len(found.in_the_way)
