"""Ways to choose checks side by side on many small trucks: expected cost over the least possible."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

import numpy as np

from tests.published.policies import ways
from tests.published.policies.instances import Array, Instance, Kind, draw
from tests.published.policies.optimum import STOP, Choice, State, Table
from tests.published.policies.ours import Ours

MEAN_BAR, TAIL_BAR, TAIL = 1.01, 1.03, 95
FIXED_ORDER_BAR = 1.04
OURS, SHIPPED, FIXED = "leakdx", "leakdx as shipped", "fixed order, our stop"
Rows = Mapping[str, Array]
"""Way -> cost over optimum [instances]."""
_ORDERS: Mapping[str, Callable[[Table], Choice]] = {
    "fixed order": ways.checklist,
    "p/C order": ways.by_chance_per_cost,
    "information per minute": ways.by_information,
}


def compare(kind: Kind, seeds: Iterable[int], off: float | None = None) -> Rows:
    """Every way on the instances of these seeds.

    ``off``: trucks come from another world, all odds off by a factor up to this either way; the optimum knows it.
    """
    rows: dict[str, list[float]] = {}
    for seed in seeds:
        told = Table(draw(kind, seed))
        true = told if off is None else Table(_changed(told.instance, off, seed))
        for name, cost in _costs(told, true).items():
            rows.setdefault(name, []).append(cost / true.optimum)
    return {name: np.array(ratios) for name, ratios in rows.items()}


def _costs(told: Table, true: Table) -> dict[str, float]:
    """Expected cost of every way that was told one thing, in a world that may be another."""
    paths = told.instance.costs.argmin(axis=2).reshape(told.shape)

    def ends(state: State) -> float:
        return _price(true, state, int(paths[(*state[0], state[1])]))

    def cost(choices: Choice) -> float:
        return true.cost(told.of(choices), ends)

    found = {"repair at once": cost(np.full(told.shape, STOP))}
    orders = {name: make(told) for name, make in _ORDERS.items()}
    found |= {f"{name}, 90 % sure": cost(ways.until_sure(told, order)) for name, order in orders.items()}
    found |= {f"{name}, our stop": cost(ways.while_it_pays(told, order)) for name, order in orders.items()}
    found |= {f"{n} ahead, every path": cost(told.ahead(n)) for n in (1, 2, 3)}
    for name, floor in ((OURS, False), (SHIPPED, True)):
        ours = Ours(told, floor=floor)
        found[name] = true.cost(ours.choose, lambda state, ours=ours: _price(true, state, ours.path(state)))  # type: ignore[misc]
    return found


def _price(true: Table, state: State, path: int) -> float:
    answers, opened = state
    return float(true.instance.prices[int("".join(map(str, answers)), 3), opened, path])


def _changed(told: Instance, off: float, seed: int) -> Instance:
    """The world as it might be in truth: what was judged is off in its odds, what is charged is not."""
    rng = np.random.default_rng((seed, 9))

    def moved(chances: Array) -> Array:
        factor = np.exp(rng.uniform(-np.log(off), np.log(off), chances.shape))
        return np.asarray(chances * factor / (1 - chances + chances * factor))

    shares = moved(told.shares)
    return replace(
        told,
        shares=shares * told.shares.sum() / shares.sum(),
        leaks=moved(told.leaks),
        links=moved(told.links),
        strays=moved(told.strays),
    )


def bars_missed(rows: Rows) -> list[str]:
    """What does not meet its bar, in sentences."""
    found = []
    mean, tail, fixed = rows[OURS].mean(), np.percentile(rows[OURS], TAIL), rows[FIXED].mean()
    if mean > MEAN_BAR:
        found.append(f"{OURS} costs {mean:.4f} of the optimum in the mean, more than {MEAN_BAR}")
    if tail > TAIL_BAR:
        found.append(f"{OURS} costs {tail:.4f} of the optimum at the {TAIL}th percentile, more than {TAIL_BAR}")
    if fixed < FIXED_ORDER_BAR:
        found.append(f"a fixed order with the same stop costs only {fixed:.4f}: these instances tell nothing")
    return found
