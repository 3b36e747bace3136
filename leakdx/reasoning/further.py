"""What a check is worth when others may follow it: two checks ahead, three where the budget allows.

The first plan weighs every check as if the repair followed at once. Here the promising ones are weighed together: what
a set of checks would show is one question, whose answers do not hang on their order, and from the largest sets back to
none the better of stopping and of one more check is taken. Openings are paid for once, and what a check spoils cannot
be looked at after it. The budget is counted in states (a joint answer with a path), never in seconds, so the same case
has the same answer everywhere.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from math import prod

import numpy as np
from msgspec import Struct, structs
from numpy.typing import NDArray

from leakdx.errors import TooWideError
from leakdx.reasoning import ties
from leakdx.reasoning.outlook import Outlook
from leakdx.reasoning.planning import Asked, Plan, Planner
from leakdx.reasoning.repair import still_to_open

Array = NDArray[np.float64]
Together = tuple[int, ...]
"""Checks that were made, by their place among the promising ones, in order."""
BUDGET = 2000
"""States that are weighed for two checks ahead, and as many for a third."""
MOST_STEPS = 3
PROMISING = 0.05
"""A check that alone gains less than this part of what it costs is not followed any further."""
STOP = -1


class _Made(Struct, frozen=True):
    """A set of checks that were made, an axis for each of their signs. ``stop``: chance times cost of the best path."""

    signs: tuple[str, ...]
    chance: Array
    stop: Array


class _Value(Struct, frozen=True):
    """For every answer so far: chance times expected cost of what is best now, and the check that is (or STOP)."""

    cost: Array
    then: NDArray[np.int_]


def further(planner: Planner, plan: Plan, budget: int = BUDGET) -> Plan:
    """The plan with every promising check worth what it is worth with those that may follow it."""
    if plan.ahead is None:
        return plan
    try:
        found = {asked.check: asked for asked in _Looking(planner, plan, plan.ahead.or_asking).weighed(budget)}
    except TooWideError:  # the plan stands as it is
        return plan
    return structs.replace(plan, checks=tuple(found.get(a.check, a) for a in plan.checks))


class _Looking:
    """One look several checks ahead. ``cost_now``: of the best path before any of them."""

    def __init__(self, planner: Planner, plan: Plan, cost_now: float) -> None:
        assert plan.ahead is not None
        self.planner, self.knowledge, self.cost_now = planner, planner.knowledge, cost_now
        self.checks = self._promising(plan.checks)
        # A path that is the best after no single answer is hardly ever the best after two.
        rows = sorted({row for asked in plan.checks for row in asked.best})
        self.paths = tuple(plan.ahead.paths[row] for row in rows)
        self.multipliers = plan.ahead.multipliers[rows]
        self._order = {s: n for n, s in enumerate(dict.fromkeys(s for a in self.checks for s in a.signs))}

    def _promising(self, checks: Sequence[Asked]) -> tuple[Asked, ...]:
        """Turn by turn the one of the greatest net value and the one of the greatest gain."""
        entries = self.knowledge.checks
        telling = [a for a in checks if a.gain > PROMISING * self.planner.check_cost(entries[a.check])]
        by_gain = sorted(telling, key=lambda asked: -ties.money(asked.gain))
        return tuple({a.check: a for pair in zip(telling, by_gain, strict=True) for a in pair}.values())

    def weighed(self, budget: int) -> Iterator[Asked]:
        """The checks that the budget reaches, with what they are worth where others may follow."""
        sets = list(self._within(budget))
        if not sets:
            return
        outlooks = self.planner.likely_only.outlook([self._signs(one) for one in sets], self.multipliers)
        made = {one: self._made(one, outlook) for one, outlook in zip(sets, outlooks, strict=True)}
        value: dict[Together, _Value] = {}
        for one in sorted(made, key=len, reverse=True):
            value[one] = self._best(one, made, value)
        for place in sorted(one[0] for one in made if len(one) == 1):
            asked, found = self.checks[place], value[place,]
            fall = self.cost_now - float(found.cost.sum())
            worth = self.planner.as_often(fall, (asked.check,)) - self._cost((), place)
            axes = [self._signs((place,)).index(sign) for sign in asked.signs]
            then = (self.checks[k].check if k != STOP else None for k in found.then.transpose(axes).ravel())
            yield structs.replace(asked, with_more=worth, then=tuple(then))

    def _within(self, budget: int) -> Iterator[Together]:
        """The sets that are weighed: of so many checks that all pairs are within the budget, then all threes."""
        for sizes in ((1, 2), *((steps,) for steps in range(3, MOST_STEPS + 1))):
            count = self._reach(sizes, budget)
            if count >= sizes[-1]:
                sets = (one for size in sizes for one in combinations(range(count), size))
                yield from filter(self._fits, sets)

    def _reach(self, sizes: Sequence[int], budget: int) -> int:
        """Of how many checks, the most promising first, all sets of these sizes are within the budget."""
        states = 0
        for newest in range(len(self.checks)):
            before = (rest for size in sizes for rest in combinations(range(newest), size - 1))
            states += sum(self._states((*rest, newest)) for rest in before)
            if states > budget:
                return newest
        return len(self.checks)

    def _fits(self, made: Together) -> bool:
        opens = frozenset[str]().union(*(self.checks[k].opens for k in made))
        return self.planner.fits((self.checks[k].check for k in made), opens)

    def _states(self, made: Together) -> int:
        return len(self.paths) * prod(self._shape(made))

    def _signs(self, made: Together) -> tuple[str, ...]:
        """What a set of checks asks, always in the same order."""
        return tuple(sorted({s for k in made for s in self.checks[k].signs}, key=self._order.__getitem__))

    def _shape(self, made: Together) -> tuple[int, ...]:
        return tuple(len(self.knowledge.signs[sign].outcomes) for sign in self._signs(made))

    def _opened(self, made: Together) -> frozenset[str]:
        return self.planner.means.open_now.union(*(self.checks[k].opens for k in made))

    def _cost(self, made: Together, check: int) -> float:
        """Money that one more check costs after these."""
        entry = self.knowledge.checks[self.checks[check].check]
        opens = still_to_open(self.knowledge, entry.access, self._opened(made))
        return self.planner.check_cost(entry) + self.planner.access_cost(opens)

    def _made(self, made: Together, outlook: Outlook) -> _Made:
        costs = self.planner.costs(self.paths, self._opened(made), outlook.hold, outlook.leaking, outlook.quiet)
        least = self.planner.or_asking(costs.min(axis=1), outlook.leaking, outlook.quiet)
        shape, stop = self._shape(made), outlook.probability * least
        return _Made(self._signs(made), outlook.probability.reshape(shape), stop.reshape(shape))

    def _best(self, here: Together, made: Mapping[Together, _Made], value: Mapping[Together, _Value]) -> _Value:
        """The better of stopping and of one more check; a further one is made where it is worth the shop's floor."""
        now = made[here]
        cost, then = now.stop - self.planner.floor * now.chance, np.full(now.stop.shape, STOP)
        for check in range(len(self.checks)):
            after = tuple(sorted((*here, check)))
            if check in here or after not in value or self._is_spoiled(here, check):
                continue
            new = tuple(axis for axis, sign in enumerate(made[after].signs) if sign not in now.signs)
            told = value[after].cost.sum(axis=new)
            nothing = self.knowledge.no_answer(self.checks[check].check)
            # A check that tells nothing leaves what was best before it; a further one in its place is not counted.
            untold = np.where(np.isfinite(now.stop), np.maximum(now.stop, told), told)
            looked = (1 - nothing) * told + nothing * untold + now.chance * self._cost(here, check)
            cost, then = np.minimum(cost, looked), np.where(ties.is_less(looked, cost), check, then)
        return _Value(np.where(then == STOP, now.stop, cost), then)

    def _is_spoiled(self, made: Together, check: int) -> bool:
        """Whether something that the check would show is lost by what was made before it."""
        checks, openings = self.knowledge.checks, self.knowledge.openings
        lost = {s for k in made for s in checks[self.checks[k].check].spoils}
        lost |= {s for k in made for o in self.checks[k].opens for s in openings[o].spoils}
        return not lost.isdisjoint(self.checks[check].signs)
