"""In what order to sum a product of tables, decided from its structure alone and priced before running.

A structure is the size of every variable and the scope of every table. Its plan eliminates one variable
a step. All axes stand in the order of elimination, so the variable that goes is always the first axis,
and what comes out of a step fits into a later one by a reshape, never by a transpose.
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
    """The elimination of one variable. ``sizes``: of the clique, the variable itself first."""

    variable: int
    sizes: tuple[int, ...]
    tables: tuple[Part, ...]
    messages: tuple[Part, ...]
    """From earlier steps, the smallest first."""
    receiver: int
    """The step that takes this one's message; -1 where nothing is left to send."""
    over: tuple[int, ...]
    """Axes of the receiver's clique that this clique lacks."""


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
    cliques, tables, senders = _cliques(placed, len(order))
    shapes = [[sizes[order[p]] for p in clique] for clique in cliques]
    cells = [_product(shape) for shape in shapes]
    if sum(cells) > CELL_LIMIT:
        raise TooWideError(
            f"An exact answer would need tables of {sum(cells):,} numbers, more than the {CELL_LIMIT:,} allowed: "
            "too many answers hang together; withdraw some, or let fewer causes share a sign."
        )
    steps = []
    for here, (clique, shape) in enumerate(zip(cliques, shapes, strict=True)):
        receiver = clique[1] if len(clique) > 1 else -1
        messages = [_part(s, cliques[s][1:], clique, shape) for s in senders[here]]
        steps.append(
            Step(
                order[here],
                tuple(shape),
                tuple(_part(t, placed[t], clique, shape) for t in tables[here]),
                tuple(sorted(messages, key=lambda m: (_product(m.shape), m.source))),
                receiver,
                tuple(i for i, p in enumerate(cliques[receiver]) if p not in clique) if receiver >= 0 else (),
            )
        )
    axes = tuple(tuple(sorted(range(len(scope)), key=[position[v] for v in scope].__getitem__)) for scope in scopes)
    return Plan(tuple(steps), axes, sum(cells), max(cells, default=1))


def _cliques(placed: Sequence[Sequence[int]], count: int) -> tuple[list[list[int]], list[list[int]], list[list[int]]]:
    """For each place in the order: its clique (as places), the tables that start there, and who sends there."""
    tables: list[list[int]] = [[] for _ in range(count)]
    for number, where in enumerate(placed):
        if where:
            tables[where[0]].append(number)
    senders: list[list[int]] = [[] for _ in range(count)]
    cliques: list[list[int]] = []
    for here in range(count):
        members = {here}.union(*(placed[t] for t in tables[here]), *(cliques[s][1:] for s in senders[here]))
        cliques.append(sorted(members))
        if len(members) > 1:
            senders[cliques[here][1]].append(here)
    return cliques, tables, senders


def _neighbours(count: int, scopes: Sequence[Scope]) -> list[int]:
    """For each variable the variables that it shares a table with, as a bit mask without itself."""
    neighbours = [0] * count
    for scope in scopes:
        mask = sum(1 << v for v in scope)
        for v in scope:
            neighbours[v] |= mask & ~(1 << v)
    return neighbours


def _bits(mask: int) -> Iterator[int]:
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
        for u in _bits(neighbours[v]):
            cells *= sizes[u]
        return cells

    def cost(v: int) -> tuple[int, int, int]:
        if not by_fill:
            return 0, clique(v), v
        around = neighbours[v]
        missing = sum((around & ~neighbours[u]).bit_count() - 1 for u in _bits(around))
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
        for u in _bits(around):
            neighbours[u] = (neighbours[u] | around) & ~(1 << u) & ~(1 << v)
            if by_fill:
                changed |= neighbours[u]
        for u in _bits(changed):
            if u in costs:
                costs[u] = cost(u)
                heappush(heap, costs[u])
    for v in last:
        order.append(v)
        total += clique(v)
        for u in _bits(neighbours[v]):
            neighbours[u] = (neighbours[u] | neighbours[v]) & ~(1 << u) & ~(1 << v)
    return total, tuple(order)


def _part(source: int, scope: Sequence[int], clique: Sequence[int], shape: Sequence[int]) -> Part:
    return Part(source, tuple(n if p in scope else 1 for p, n in zip(clique, shape, strict=True)))


def _product(numbers: Sequence[int]) -> int:
    product = 1
    for n in numbers:
        product *= n
    return product
