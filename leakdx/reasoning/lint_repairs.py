"""Repairs that are the best choice for no truck that one could think of."""

from collections.abc import Collection, Iterator, Mapping
from itertools import product

import numpy as np

from leakdx.knowledge.faults import Fault
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.model import Knowledge, Shop
from leakdx.reasoning.repair import Means, Path, expected_costs

MOST_BUILDS = 256
"""Combinations of history answers that repairs ask for; real knowledge has a handful."""


def never_best(knowledge: Knowledge, recommended: Collection[str] = ()) -> Iterator[Fault]:
    """Repairs that no single cause calls for, that nothing names beside another, and that no case recommends.

    One that rules forbid outright, and that cures nothing often, stands there to be asked for and refused.
    """
    wanted = {*recommended, *_best_for_one_cause(knowledge), *_named_by_rules(knowledge), *_refused(knowledge)}
    for id, repair in knowledge.repairs.items():
        if id not in wanted and not repair.asks_maker:
            wrong = f"'{id}' is the best repair for no cause, in no shop, and no rule or case calls for it"
            right = "say what it cures more surely than the others or at less cost, or take it out"
            yield hint(repair.at, Hint.NEVER_BEST, wrong, right)


def _best_for_one_cause(knowledge: Knowledge) -> set[str]:
    """Actions of the cheapest path in expectation, where one cause leaks for sure and nothing is forbidden."""
    found: set[str] = set()
    causes = tuple(knowledge.causes)
    for shop in knowledge.shops.values():
        for history in _builds(knowledge):
            means = Means(knowledge, shop, causes, history, (), (), (), frozenset())
            for position, cause in enumerate(causes):
                paths = means.for_causes((cause,), frozenset())
                if paths:
                    found.update(_best(means, shop, paths, position).actions)
    return found


def _builds(knowledge: Knowledge) -> Iterator[Mapping[str, str]]:
    """Every way to answer the questions that repairs depend on."""
    groups = {group for repair in knowledge.repairs.values() for group in repair.only_if}
    answers = [tuple(knowledge.history[group].answers) for group in sorted(groups)]
    for number, chosen in enumerate(product(*answers)):
        if number == MOST_BUILDS:
            return
        yield dict(zip(sorted(groups), chosen, strict=True))


def _best(means: Means, shop: Shop, paths: list[Path], cause: int) -> Path:
    shut: frozenset[str] = frozenset()
    leaking = np.zeros(len(means.causes))
    leaking[cause] = 1.0
    own = np.array([means.own_cost(path, shut) for path in paths])
    hold = np.array([path.cure[cause] * (1 - path.new_leak) for path in paths])
    costs = expected_costs(means, paths, own, hold, leaking, np.zeros(len(leaking)))
    return min(zip(costs, paths, strict=True), key=lambda priced: (float(priced[0]), priced[1].actions))[1]


def _named_by_rules(knowledge: Knowledge) -> set[str]:
    """Repairs that rules demand, or want done before or beside another; and companions of other repairs."""
    found: set[str] = set()
    for rule in knowledge.rules.values():
        for said in rule.then:
            found.update(id for id in (said.require, said.put_right, *said.other) if id is not None)
    for repair in knowledge.repairs.values():
        if len(repair.together_with) > 0:
            found.update(group[0] for group in repair.together_with if len(group) == 1)
    return found


def _refused(knowledge: Knowledge) -> set[str]:
    outright = {said.forbid for rule in knowledge.rules.values() for said in rule.then if said.scope == "not at all"}
    return {
        id
        for id in outright & knowledge.repairs.keys()
        if id is not None and not _cures_often(knowledge, id)
    }  # fmt: skip


def _cures_often(knowledge: Knowledge, id: str) -> bool:
    return any(knowledge.link(word) >= 0.6 for word in knowledge.repairs[id].cures.values())
