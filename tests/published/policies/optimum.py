"""The best possible on a small instance by dynamic programming, and what any order of checks costs, exactly.

A state is a set of answers and a set of openings. ``Values`` are arrays [3, ..., 3, 4]: an axis for each check (not
made, no, yes) and one for what is open.
"""

from collections.abc import Callable
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from tests.published.policies.instances import CLOSED, OPENED, Array, Instance

STOP = -1
Choice = NDArray[np.int_]
State = tuple[tuple[int, ...], int]
"""An answer (0 not made, 1 no, 2 yes) for each check, and what is open."""


class Table:
    """What stopping and what each check costs in every state of an instance."""

    def __init__(self, instance: Instance, costs: Array | None = None) -> None:
        """``costs`` [answers, opened, paths]: of stopping, where other paths are at hand than those of the instance."""
        self.instance = instance
        self.checks = range(instance.checks)
        self.shape = (3,) * instance.checks + (len(OPENED),)
        self.start: State = ((0,) * instance.checks, CLOSED)
        self.stop: Array = (instance.costs if costs is None else costs).min(axis=2).reshape(self.shape)
        self.mass: Array = instance.after.mass.reshape(self.shape[:-1])

    def at(self, check: int, answer: int) -> tuple[int | slice, ...]:
        """The index of all states in which a check has this answer (0: not made), whatever is open."""
        return tuple(answer if axis == check else slice(None) for axis in self.checks)

    def now(self, values: Array) -> float:
        """A value at the start."""
        return float(values[(*self.start[0], self.start[1])])

    def look(self, check: int, then: Array) -> Array:
        """Expected cost of a check where not made yet, and of what then follows; infinite where it was made."""
        cost = np.full(self.shape, np.inf)
        at = [self.at(check, answer) for answer in range(3)]
        chance = self.mass[at[2]] / self.mass[at[0]]
        for opened in OPENED:
            after = opened | self.instance.needs[check]
            later = (1 - chance) * then[at[1]][..., after] + chance * then[at[2]][..., after]
            cost[(*at[0], opened)] = self.instance.check_cost(check, opened) + later
        return cost

    def steps(self, count: int) -> Array:
        """Expected cost where at most so many further checks are made, each as well as possible."""
        value = self.stop
        for _ in range(count):
            value = np.minimum(self.stop, self._best_look(value))
        return value

    def _best_look(self, then: Array) -> Array:
        return np.asarray(np.min([self.look(check, then) for check in self.checks], axis=0))

    @cached_property
    def optimum(self) -> float:
        """The least expected cost from the start."""
        return self.now(self.steps(len(self.checks)))

    def ahead(self, count: int) -> Choice:
        """What is chosen in every state by looking so many checks ahead: a check, or STOP."""
        then = self.steps(count - 1)
        looks = np.stack([self.look(check, then) for check in self.checks])
        return np.where(looks.min(axis=0) < self.stop, looks.argmin(axis=0), STOP)

    def cost(self, choose: Callable[[State], int], ends: Callable[[State], float] | None = None) -> float:
        """Expected cost of a way to choose, asked only about the states that it gets into.

        ``ends``: expected cost of stopping, where it is not that of the best path.
        """

        def from_here(state: State) -> float:
            answers, opened = state
            check = choose(state)
            if check == STOP:
                return ends(state) if ends else float(self.stop[(*answers, opened)])
            cost = self.instance.check_cost(check, opened)
            after = [tuple(a if k == check else old for k, old in enumerate(answers)) for a in (1, 2)]
            yes = float(self.mass[after[1]] / self.mass[answers])
            then = opened | self.instance.needs[check]
            return cost + (1 - yes) * from_here((after[0], then)) + yes * from_here((after[1], then))

        return from_here(self.start)

    def of(self, choices: Choice) -> Callable[[State], int]:
        """A table of choices as a way to choose."""
        return lambda state: int(choices[(*state[0], state[1])])
