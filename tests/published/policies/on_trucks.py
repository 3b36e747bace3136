"""Usual ways to choose checks on trucks drawn from the shipped knowledge, with their usual stop and with leakdx's own.

The truck, its answers, what a check and its access cost, and the repair that is taken at the end are the simulation's.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.planning import Asked
from tests.published.trucks import Job, Spent

SURE = 0.9
MOST_STEPS = 30
Rank = Callable[[Diagnosis], "str | None"]
"""The check that a way would make now; None: nothing is left."""


class Way(NamedTuple):
    """How checks are chosen; ``by_90``: until a cause is nine in ten sure, else until leakdx would look no further."""

    choose: Rank
    by_90: bool


def cheap_first(now: Diagnosis) -> str | None:
    """A checklist: the same order for every truck, by what a check and its access take on a shut one."""
    knowledge, planner = now.knowledge, now.planner

    def cost(check: str) -> float:
        entry = knowledge.checks[check]
        return planner.check_cost(entry) + planner.access_cost(planner.opens(entry))

    return min(now.offer.checks(), key=cost, default=None)


def by_chance_per_cost(now: Diagnosis) -> str | None:
    """Chance that it shows anything that is not normal, over its cost (p/C)."""

    def ratio(asked: Asked) -> float:
        normal = tuple(now.knowledge.signs[sign].outcomes[0] for sign in asked.signs)
        return (1 - float(asked.outlook.probability[asked.outlook.answers.index(normal)])) / _cost(now, asked)

    return _best(now, ratio)


def by_information(now: Diagnosis) -> str | None:
    """The fall in the doubt about what leaked (bits summed over causes) for each unit of cost."""
    doubt = _bits(now.belief.leaking_first)

    def ratio(asked: Asked) -> float:
        after = asked.outlook.probability @ np.array([_bits(row) for row in asked.outlook.leaking_first])
        return (doubt - float(after)) / _cost(now, asked)

    return _best(now, ratio)


def _best(now: Diagnosis, worth: Callable[[Asked], float]) -> str | None:
    """What leaves the look-ahead no answer to weigh comes last, in the order of the knowledge."""
    found = max(now.plan.checks, key=worth, default=None)
    return found.check if found is not None else next(iter(now.offer.checks()), None)


def _cost(now: Diagnosis, asked: Asked) -> float:
    return now.planner.check_cost(now.knowledge.checks[asked.check]) + now.planner.access_cost(asked.opens)


def _bits(chances: np.ndarray) -> float:
    p = np.clip(chances, 1e-12, 1 - 1e-12)
    return float(-(p * np.log2(p) + (1 - p) * np.log2(1 - p)).sum())


WAYS: Mapping[str, Way] = {
    "checklist_90": Way(cheap_first, by_90=True),
    "checklist_our_stop": Way(cheap_first, by_90=False),
    "p_over_c_90": Way(by_chance_per_cost, by_90=True),
    "p_over_c_our_stop": Way(by_chance_per_cost, by_90=False),
    "information_90": Way(by_information, by_90=True),
    "information_our_stop": Way(by_information, by_90=False),
}


def work(job: Job, way: Way) -> Spent:
    """Make checks as the way would; then what leakdx wants written down before the repair, and open for it.

    With its own stop leakdx may look on where the open truck shows more, in the way's own order.
    """
    looking, opening, steps = 0.0, 0.0, 0
    while steps < MOST_STEPS:
        now, written = job.diagnosis(), len(job.log)
        check = _next(now, way)
        if check is not None:
            looking += job.make(check)
            steps += 1
        elif way.by_90 or now.decision.do == "repair":
            priced = now.planner.priced
            if priced.paths:
                opening += job.open(sorted(priced.paths[priced.best_first()[0]].access))
        if len(job.log) == written or (way.by_90 and check is None):
            break
    return Spent(looking, opening, steps)


def _next(now: Diagnosis, way: Way) -> str | None:
    if way.by_90:
        return None if now.belief.leaking_first.max() >= SURE else way.choose(now)
    if now.decision.do == "look_further":
        return way.choose(now)
    return now.next_check.id if now.next_check is not None and now.decision.do == "repair" else None
