"""Usual ways to choose the next check and to stop, on a small instance: tables of choices for every state."""

from collections.abc import Sequence

import numpy as np

from tests.published.policies.instances import CLOSED, OPENED, Array
from tests.published.policies.optimum import STOP, Choice, Table

SURE = 0.9


def in_order(table: Table, order: Sequence[int]) -> Choice:
    """In every state the first check of the order that was not made yet; STOP after the last."""
    chosen = np.full(table.shape, STOP)
    for check in reversed(order):
        chosen[table.at(check, 0)] = check
    return chosen


def checklist(table: Table) -> Choice:
    """Cheap first, openings included: the same order for every truck."""
    costs = [table.instance.check_cost(check, CLOSED) for check in table.checks]
    return in_order(table, np.argsort(costs, kind="stable").tolist())


def by_chance_per_cost(table: Table) -> Choice:
    """Chance that it finds something over its cost, the greatest first (p/C)."""
    found = [_chance_of_yes(table, check) for check in table.checks]
    ratio = [found[check] / table.instance.check_cost(check, CLOSED) for check in table.checks]
    return in_order(table, np.argsort(-np.array(ratio), kind="stable").tolist())


def by_information(table: Table, *, per_minute: bool = True) -> Choice:
    """The greatest fall in the doubt about what leaks (bits summed over causes), for each minute that it takes."""
    doubt = _doubt(table)
    gains = np.full((len(table.checks), *table.shape), -np.inf)
    for check in table.checks:
        at = [table.at(check, answer) for answer in range(3)]
        chance = table.mass[at[2]] / table.mass[at[0]]
        fall = doubt[at[0]] - (1 - chance) * doubt[at[1]] - chance * doubt[at[2]]
        for opened in OPENED:
            cost = table.instance.check_cost(check, opened) if per_minute else 1.0
            gains[(check, *at[0], opened)] = fall / cost
    best = gains.argmax(axis=0)
    return np.where(np.isneginf(gains.max(axis=0)), STOP, best)


def _chance_of_yes(table: Table, check: int) -> float:
    """Before anything was looked at."""
    nothing = table.start[0]
    yes = tuple(2 if k == check else answer for k, answer in enumerate(nothing))
    return float(table.mass[yes] / table.mass[nothing])


def _doubt(table: Table) -> Array:
    p = np.clip(table.instance.after.leaking, 1e-12, 1 - 1e-12)
    bits = -(p * np.log2(p) + (1 - p) * np.log2(1 - p)).sum(axis=1)
    return np.asarray(bits.reshape(table.shape[:-1]))


def until_sure(table: Table, choices: Choice) -> Choice:
    """Stopping once a cause is likelier than nine in ten."""
    sure = (table.instance.after.leaking.max(axis=1) > SURE).reshape(table.shape[:-1])
    return np.where(sure[..., None], STOP, choices)


def while_it_pays(table: Table, choices: Choice) -> Choice:
    """Stopping where no check, nor two one after the other, would pay: the stop of leakdx."""
    return np.where(table.ahead(2) == STOP, STOP, choices)
