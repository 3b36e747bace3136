"""Usual ways to choose checks on trucks drawn from the shipped knowledge, with their usual stop and with leakdx's own.

The truck, its answers, what a check and its access cost, and the repair at the end are the same for every way. With
the 90 % stop a repair follows at once; the ``held`` and the ``fixed`` checklist see first what rules want seen before
it, as leakdx has to.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from leakdx.knowledge.model import Check
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.planning import Asked, Plan, Planner
from leakdx.reasoning.policy import Policy
from leakdx.reasoning.repair import opening_closure
from tests.published.trucks import Job, Spent

SURE = 0.9
MOST_STEPS = 30
Rank = Callable[[Diagnosis], "str | None"]
"""The check that a way would make now; None: nothing is left."""


def access_of_best(now: Diagnosis) -> frozenset[str]:
    """What leakdx's best path of the moment needs open; no check is weighed for that, which is where the time goes."""
    priced = now.planner.priced
    return priced.paths[priced.best_first()[0]].access if priced.paths else frozenset()


def cost_of_looking(now: Diagnosis, check: str) -> float:
    """What a check costs, and opening for it what the best path does not need."""
    entry = now.knowledge.checks[check]
    return now.planner.check_cost(entry) + now.planner.access_cost(now.planner.opens(entry) - access_of_best(now))


class Way(NamedTuple):
    """How checks are chosen; ``by_90``: until a cause is nine in ten sure, else until leakdx would look no further.

    ``is_held``: with the 90 % stop, what holds and the repair itself want seen before it is seen. ``most``: checks made
    at the most.
    """

    choose: Rank
    by_90: bool
    is_held: bool = False
    most: int = MOST_STEPS


def cheap_first(now: Diagnosis) -> str | None:
    """A checklist by what a check takes with the access that is not open yet: what was opened is used."""
    return _cheapest(now, now.planner.opens)


def by_the_list(now: Diagnosis) -> str | None:
    """A checklist: the same order for every truck, by what a check and its access take on a shut one."""
    return _cheapest(now, lambda check: opening_closure(now.knowledge, check.access))


def _cheapest(now: Diagnosis, opens: Callable[[Check], frozenset[str]]) -> str | None:
    """The cheapest check at hand; ``opens``: access that is counted with it."""
    entries, planner = now.knowledge.checks, now.planner

    def cost(check: str) -> float:
        return planner.check_cost(entries[check]) + planner.access_cost(opens(entries[check]))

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


WHOLE_LIST = 100
"""More steps than the list has checks."""
WAYS: Mapping[str, Way] = {
    "checklist_90": Way(cheap_first, by_90=True),
    "checklist_90_held": Way(cheap_first, by_90=True, is_held=True),
    "checklist_90_fixed": Way(by_the_list, by_90=True, is_held=True, most=WHOLE_LIST),
    "checklist_our_stop": Way(cheap_first, by_90=False),
    "p_over_c_90": Way(by_chance_per_cost, by_90=True),
    "p_over_c_our_stop": Way(by_chance_per_cost, by_90=False),
    "information_90": Way(by_information, by_90=True),
    "information_our_stop": Way(by_information, by_90=False),
}


def work(job: Job, way: Way) -> Spent:
    """Make checks as the way would, see what has to be seen before the repair, and open for it."""
    return _until_sure(job, way) if way.by_90 else _until_it_pays(job, way)


def _until_sure(job: Job, way: Way) -> Spent:
    """The 90 % stop; what is held before the repair may change the repair, but no further check is chosen."""
    looking, steps = 0.0, 0
    while steps < way.most and job.diagnosis().belief.leaking_first.max() < SURE:
        check = way.choose(job.diagnosis())
        if check is None:
            break
        looking += job.make(check)
        steps += 1
    opening, demanded = 0.0, 0.0
    for _ in range(MOST_STEPS if way.is_held else 1):
        now, written = job.diagnosis(), len(job.log)
        check = _held(now) if way.is_held else None
        if check is not None:
            demanded += cost_of_looking(now, check)
            looking += job.make(check)
            steps += 1
        else:
            opening += job.open(sorted(access_of_best(now)))
        if len(job.log) == written:
            break
    return Spent(looking, opening, steps, demanded)


def _held(now: Diagnosis) -> str | None:
    """What holds, and the repair itself, want seen before the best path; no check is weighed."""
    fit = now.fit_to_drive.by
    unasked = Planner(now.knowledge, now.means, now.belief, {})
    policy = Policy(unasked, Plan(now.planner.priced, (), ()), now.offer, now.timeline, now.holds, now.forbidden, fit)
    return policy.next_check.id if policy.next_check is not None else None


def _until_it_pays(job: Job, way: Way) -> Spent:
    """With its own stop leakdx may look on where the open truck shows more, in the way's own order."""
    looking, opening, demanded, steps = 0.0, 0.0, 0.0, 0
    while steps < way.most:
        now, written = job.diagnosis(), len(job.log)
        check = _next(now, way)
        if check is not None:
            demanded += cost_of_looking(now, check) if now.decision.do == "repair" else 0.0
            looking += job.make(check)
            steps += 1
        elif now.decision.do == "repair":
            opening += job.open(sorted(access_of_best(now)))
        if len(job.log) == written:
            break
    return Spent(looking, opening, steps, demanded)


def _next(now: Diagnosis, way: Way) -> str | None:
    if now.decision.do == "look_further":
        return way.choose(now)
    return now.next_check.id if now.next_check is not None and now.decision.do == "repair" else None
