"""The one place that touches experta: what it needs to run here, and what of it is safe to use.

- Its pinned frozendict takes ``Mapping`` from ``collections``, where Python 3.10 dropped it.
- Importing it installs a root logging handler, which would print into a terminal interface.
- Its strategy looks for an activation to remove only beside where its key would stand, so that among many
  equal keys the wrong one stays (rules of absent conditions only show it); here removal is by equality.
- Its order among activations of equal salience follows the hash seed; here every activation has its own key.
- It first rewrites each rule to disjunctive normal form, most of the cost of building; rules here are plain
  conjunctions, which is that form already.
- A checker or capture once made is kept for ever in its class; here they are shared, so that they stay few.
"""

import collections
import collections.abc
import logging
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from typing import Any, NamedTuple


def _import_experta() -> None:
    """Import experta with ``collections.Mapping`` in place, and leave logging and ``collections`` as they were."""
    root = logging.getLogger()
    handlers = list(root.handlers)
    lacks_mapping = not hasattr(collections, "Mapping")
    if lacks_mapping:
        collections.Mapping = collections.abc.Mapping  # type: ignore[attr-defined]
    try:
        import experta  # noqa: F401
    finally:
        if lacks_mapping:
            del collections.Mapping  # type: ignore[attr-defined]
        root.handlers[:] = handlers


_import_experta()

from experta import NOT, Fact, InitialFact, KnowledgeEngine, P, Rule  # noqa: E402
from experta.abstract import Strategy  # noqa: E402
from experta.activation import Activation  # noqa: E402
from experta.agenda import Agenda  # noqa: E402
from experta.matchers import ReteMatcher  # noqa: E402

Slots = Mapping[str, Any]
"""Slot -> value: a fact. In a pattern a tuple of values means any of them."""


class PortRule(NamedTuple):
    """A conjunction: ``all_of`` are there and none of ``none_of``.

    ``fire`` gets the facts, one for each of ``all_of``, and returns the facts to add.
    """

    name: str
    all_of: Sequence[Slots]
    none_of: Sequence[Slots]
    fire: Callable[[tuple[Slots, ...]], Iterable[Slots]]


def forward_chain(rules: Sequence[PortRule], facts: Iterable[Slots]) -> None:
    """Run rules over facts until nothing more fires; of those that could, always the earliest rule fires first.

    Activations of one rule fire on the oldest facts first.
    """
    engine = _Engine([_rule(rule, salience=len(rules) - place) for place, rule in enumerate(rules)])
    engine.reset()
    engine.declare(*(_WorkingFact(**slots) for slots in facts))
    engine.run()


class _WorkingFact(Fact):  # type: ignore[misc]
    """The one class of fact in working memory."""


def _rule(rule: PortRule, salience: int) -> Rule:
    all_of = [_pattern(slots, _captured(i)) for i, slots in enumerate(rule.all_of)]
    none_of = [NOT(_pattern(slots, f"absent{i}")) for i, slots in enumerate(rule.none_of)]

    def body(engine: "_Engine", **captured: _WorkingFact) -> None:
        added = rule.fire(tuple(captured[_captured(i)] for i in range(len(all_of))))
        engine.declare(*(_WorkingFact(**slots) for slots in added))

    body.__name__ = rule.name
    return Rule(*(all_of or [_anything()]), *none_of, salience=salience)(body)


def _captured(place: int) -> str:
    return f"premise{place}"


def _pattern(slots: Slots, bound_to: str) -> _WorkingFact:
    pattern = _WorkingFact(**{slot: _any_of(v) if isinstance(v, tuple) else v for slot, v in slots.items()})
    pattern.__bind__ = bound_to
    return pattern


def _anything() -> InitialFact:
    """A rule must start with something that is there; this always is."""
    pattern = InitialFact()
    pattern.__bind__ = "initial"
    return pattern


@cache
def _any_of(values: tuple[Any, ...]) -> P:
    return P(lambda value: value in values)


class _ByEquality(Strategy):  # type: ignore[misc]
    """The agenda in order of salience, then of the facts' ages; what is no longer true is removed by equality."""

    def _update_agenda(self, agenda: Agenda, added: Sequence[Activation], removed: Sequence[Activation]) -> None:
        for activation in (*added, *removed):
            activation.key = self._key(activation)
        kept = [activation for activation in agenda.activations if activation not in removed]
        # The agenda pops from the end.
        agenda.activations = sorted((*kept, *added))

    @staticmethod
    def _key(activation: Activation) -> tuple[int, tuple[int, ...]]:
        captured = activation.context
        facts = (captured[_captured(i)] for i in range(len(captured)) if _captured(i) in captured)
        return activation.rule.salience, tuple(-fact["__factid__"] for fact in facts)


class _AsWritten(ReteMatcher):  # type: ignore[misc]
    """Takes the rules as they are: conjunctions that start with something that is there."""

    @staticmethod
    def prepare_ruleset(engine: "_Engine") -> set[Rule]:
        return set(engine.get_rules())


class _Engine(KnowledgeEngine):  # type: ignore[misc]
    """One run over one case. Building anew each time keeps a run free of anything that an earlier one left behind."""

    __matcher__ = _AsWritten
    __strategy__ = _ByEquality

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._rules = rules
        super().__init__()

    def get_rules(self) -> Sequence[Rule]:
        return self._rules
