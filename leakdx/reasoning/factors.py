"""In what order to sum a product of tables, decided from its structure alone and priced before running.

A structure is the size of every variable and the scope of every table. Its plan eliminates a variable a
step, or several where they would leave from one clique anyway. All axes stand in the order of
elimination, so what goes are always the first axes, and what comes out of a step fits into a later one
by a reshape, never by a transpose.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from heapq import heapify, heappop, heappush
from typing import NamedTuple

from leakdx.errors import TooWideError

CELL_LIMIT = 2**24
"""Cells of all cliques together above which a query is refused."""
GOOD_ENOUGH = 2**11
"""Cells below which looking for a better order costs more than it saves."""

Scope = tuple[int, ...]


class Part(NamedTuple):
    """A table or message inside a clique: its number, and its shape there (1 on axes that it lacks)."""

    source: int
    shape: tuple[int, ...]


class Step(NamedTuple):
    """The elimination of ``variables``. ``sizes``: of the clique, these variables first."""

    variables: tuple[int, ...]
    sizes: tuple[int, ...]
    tables: tuple[Part, ...]
    messages: tuple[Part, ...]
    """From earlier steps, the smallest first."""
    receiver: int
    """The step that takes this one's message; -1 where nothing is left to send."""
    over: tuple[int, ...]
    """Axes of the receiver's clique that this clique lacks."""

    @property
    def columns(self) -> list[tuple[int, ...]]:
        """The shape of each variable's column in the clique."""
        return [tuple(n if i == axis else 1 for i, n in enumerate(self.sizes)) for axis in range(len(self.variables))]


class Plan(NamedTuple):
    """Steps in order of elimination. ``axes``: per table, its axes in that order. Sizes in cells."""

    steps: tuple[Step, ...]
    axes: tuple[tuple[int, ...], ...]
    cells: int
    largest: int


@lru_cache(maxsize=512)
def find_order(sizes: tuple[int, ...], scopes: tuple[Scope, ...]) -> tuple[int, ...]:
    """The cheapest of a few greedy orders of elimination; the same structure always gets the same one.

    Args:
        sizes: Number of values of each variable.
        scopes: The variables of each table, in any order, none twice.
    """
    neighbours = _neighbours(len(sizes), scopes)
    best = _greedy(sizes, neighbours, (), by_fill=False)
    if best[0] > GOOD_ENOUGH:
        hub = min(range(len(sizes)), key=lambda v: (-neighbours[v].bit_count(), v))
        for last, by_fill in (((), True), ((hub,), False), ((hub,), True)):
            best = min(best, _greedy(sizes, neighbours, last, by_fill=by_fill))
    return best[1]


@lru_cache(maxsize=512)
def make_plan(sizes: tuple[int, ...], scopes: tuple[Scope, ...], order: tuple[int, ...]) -> Plan:
    """Turn an order into steps: who sends to whom, and how each table lies in its clique.

    Raises:
        TooWideError: The order needs more than ``CELL_LIMIT`` cells.
    """
    position = [0] * len(sizes)
    for place, v in enumerate(order):
        position[v] = place
    placed = [sorted(position[v] for v in scope) for scope in scopes]
    groups = _groups(placed, len(order))
    cells = [_product([sizes[order[p]] for p in group.clique]) for group in groups]
    if sum(cells) > CELL_LIMIT:
        raise TooWideError(
            f"An exact answer would need tables of {sum(cells):,} numbers, more than the {CELL_LIMIT:,} allowed: "
            "too many answers hang together; withdraw some, or let fewer causes share a sign."
        )
    number = {p: here for here, group in enumerate(groups) for p in group.clique[: group.going]}
    senders: list[list[int]] = [[] for _ in groups]
    steps = []
    for here, (clique, going, tables) in enumerate(groups):
        shape = [sizes[order[p]] for p in clique]
        receiver = number[clique[going]] if len(clique) > going else -1
        if receiver >= 0:
            senders[receiver].append(here)
        messages = [_part(s, groups[s].clique[groups[s].going :], clique, shape) for s in senders[here]]
        steps.append(
            Step(
                tuple(order[p] for p in clique[:going]),
                tuple(shape),
                tuple(_part(t, placed[t], clique, shape) for t in tables),
                tuple(sorted(messages, key=lambda m: (_product(m.shape), m.source))),
                receiver,
                tuple(i for i, p in enumerate(groups[receiver].clique) if p not in clique) if receiver >= 0 else (),
            )
        )
    axes = tuple(tuple(sorted(range(len(scope)), key=[position[v] for v in scope].__getitem__)) for scope in scopes)
    return Plan(tuple(steps), axes, sum(cells), max(cells, default=1))


class _Group(NamedTuple):
    """Variables that go together, as places in the order: the first ``going`` of ``clique``; and their tables."""

    clique: list[int]
    going: int
    tables: list[int]


def _groups(placed: Sequence[Sequence[int]], count: int) -> list[_Group]:
    """The cliques of an order. Where one leaves behind just the clique of the next, the two are one."""
    tables: list[list[int]] = [[] for _ in range(count)]
    for number, where in enumerate(placed):
        if where:
            tables[where[0]].append(number)
    waiting: list[list[_Group]] = [[] for _ in range(count)]
    groups: dict[int, _Group] = {}
    for here in range(count):
        left = [group.clique[group.going :] for group in waiting[here]]
        clique = sorted({here}.union(*(placed[t] for t in tables[here]), *left))
        group = _Group(clique, 1, tables[here])
        for sender in waiting[here]:
            if sender.clique[sender.going :] == clique:
                del groups[sender.clique[0]]
                group = _Group(sender.clique, sender.going + 1, sender.tables + tables[here])
                break
        groups[group.clique[0]] = group
        if len(group.clique) > group.going:
            waiting[group.clique[group.going]].append(group)
    return sorted(groups.values(), key=lambda group: group.clique[group.going - 1])


def _neighbours(count: int, scopes: Sequence[Scope]) -> list[int]:
    """For each variable the variables that it shares a table with, as a bit mask without itself."""
    neighbours = [0] * count
    for scope in scopes:
        mask = sum(1 << v for v in scope)
        for v in scope:
            neighbours[v] |= mask & ~(1 << v)
    return neighbours


def bits(mask: int) -> Iterator[int]:
    """The numbers of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def _greedy(sizes: Sequence[int], start: Sequence[int], last: Scope, *, by_fill: bool) -> tuple[int, tuple[int, ...]]:
    """Eliminate the variable that costs least at the moment, those in ``last`` at the end.

    Cost: cells of the clique, or with ``by_fill`` first the new neighbourships that it makes. Returns
    (cells of all cliques, order).
    """
    neighbours = list(start)

    def clique(v: int) -> int:
        cells = sizes[v]
        for u in bits(neighbours[v]):
            cells *= sizes[u]
        return cells

    def cost(v: int) -> tuple[int, int, int]:
        if not by_fill:
            return 0, clique(v), v
        around = neighbours[v]
        missing = sum((around & ~neighbours[u]).bit_count() - 1 for u in bits(around))
        return missing, clique(v), v

    costs = {v: cost(v) for v in range(len(sizes)) if v not in last}
    heap = list(costs.values())
    heapify(heap)
    order: list[int] = []
    total = 0
    while heap:
        entry = heappop(heap)
        v = entry[2]
        if costs.get(v) != entry:
            continue
        del costs[v]
        order.append(v)
        total += clique(v)
        changed = around = neighbours[v]
        for u in bits(around):
            neighbours[u] = (neighbours[u] | around) & ~(1 << u) & ~(1 << v)
            if by_fill:
                changed |= neighbours[u]
        for u in bits(changed):
            if u in costs:
                costs[u] = cost(u)
                heappush(heap, costs[u])
    for v in last:
        order.append(v)
        total += clique(v)
        for u in bits(neighbours[v]):
            neighbours[u] = (neighbours[u] | neighbours[v]) & ~(1 << u) & ~(1 << v)
    return total, tuple(order)


def _part(source: int, scope: Sequence[int], clique: Sequence[int], shape: Sequence[int]) -> Part:
    return Part(source, tuple(n if p in scope else 1 for p, n in zip(clique, shape, strict=True)))


def _product(numbers: Sequence[int]) -> int:
    product = 1
    for n in numbers:
        product *= n
    return product
