"""How a case is summed along one line: one variable after the other, with the greatest so far of each open node.

A node is open from the first variable that asks it to the last. A variable that asks many nodes, or that
many tables hang on, would keep them all open; it is held instead: the line is swept once for each of its
values. Worked out from the structure alone.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import prod
from typing import NamedTuple

from leakdx.reasoning.factors import Scope
from leakdx.reasoning.unfolding import Shape

HUB = 6
"""Nodes asked by one variable from which it is held."""
MORE_HUBS = 4
"""Variables that are held at most where that makes a wide line narrower."""
WIDE = 2**22
"""Work of a line above which that is worth a try."""
A_CELL = 16
"""Products that take as long as it takes to handle one cell of what is kept open."""


class Ask(NamedTuple):
    """A node that is asked. ``first``: nobody has asked it before; ``last``: it ends in its evidence there and then."""

    node: int
    first: bool
    last: bool


class Turn(NamedTuple):
    """Axes of [held, open nodes, cases] in another order, and back. ``shape``, ``turned``: values of the nodes."""

    shape: tuple[int, ...]
    there: tuple[int, ...]
    turned: tuple[int, ...]
    back: tuple[int, ...]


class Stop(NamedTuple):
    """A stop of the line: a variable that is summed out, or a node that nobody asks any more, or both.

    ``variable``: -1 where a node ends in its evidence alone. ``closes``: the node that is summed out here, -1 for none,
    and ``fresh`` where nothing but held variables ever asked it. ``turn``: what brings what is worked on to the front;
    None where it stands there. ``taken``, ``left``: cells of what is worked on, before and after.
    """

    variable: int
    closes: int
    fresh: bool
    asks: tuple[Ask, ...]
    turn: "Turn | None"
    taken: int
    left: int


class Line(NamedTuple):
    """Stops in order, and the variables that are held.

    ``cells``, ``largest``: of what is kept open. ``work``: roughly, how many products a sweep takes for one case.
    """

    stops: tuple[Stop, ...]
    held: tuple[int, ...]
    cells: int
    largest: int
    work: int


@lru_cache(maxsize=512)
def find_line(
    sizes: tuple[int, ...],
    scopes: tuple[Scope, ...],
    shapes: tuple[Shape, ...],
    shared: tuple[int, ...],
    by_case: tuple[int, ...] = (),
) -> Line | None:
    """The line that a structure is summed along; None where a table ties variables together that no node does.

    Args:
        sizes: Number of values of each variable.
        scopes: The variables of each plain table.
        shapes: The nodes.
        shared: Variables that many tables hang on.
        by_case: Nodes whose evidence differs from case to case, so that each ends at a stop of its own.
    """
    apart = set(shared)
    hung = [[v for v in shape.hangs if v not in apart] for shape in shapes]
    if any(len(own) > 1 for own in hung) or any(sum(v not in apart for v in scope) > 1 for scope in scopes):
        return None
    hanging = [own[0] if own else -1 for own in hung]
    asked = [0] * len(sizes)
    for shape in shapes:
        for v in shape.parents:
            asked[v] += 1
    roots = (v for v in range(len(sizes)) if v not in apart and v not in hanging)
    hubs = sorted(roots, key=lambda v: -asked[v])[:MORE_HUBS]
    first = sum(asked[v] >= HUB for v in hubs[:1])
    best = _Walk(sizes, shapes, (*shared, *hubs[:first]), hanging, by_case).line()
    for count in range(first + 1, len(hubs) + 1):
        if best.work <= WIDE:
            break
        best = min(best, _Walk(sizes, shapes, (*shared, *hubs[:count]), hanging, by_case).line(), key=_work)
    return best


class _Walk:
    """Goes on with what is open, and there takes the variable that leaves the least open, then opens the least."""

    def __init__(
        self, sizes: Sequence[int], shapes: Sequence[Shape], held: Scope, hung: Sequence[int], by_case: Scope
    ) -> None:
        self.sizes, self.shapes, self.held, self.hung = sizes, shapes, held, hung
        self.ends_at_once = [own < 0 and node not in by_case for node, own in enumerate(hung)]
        self.values = [shape.values for shape in shapes]
        self.asks: list[list[int]] = [[] for _ in sizes]
        self.waiting = [0] * len(shapes)
        apart = set(held)
        for node, shape in enumerate(shapes):
            for v in shape.parents:
                if v not in apart:
                    self.asks[v].append(node)
                    self.waiting[node] += 1
        self.apart = apart
        self.costs: dict[int, tuple[bool, float, float]] = {}
        self.askers: list[list[int]] = [[] for _ in shapes]
        for v, nodes in enumerate(self.asks):
            for node in nodes:
                self.askers[node].append(v)
        self.open: list[int] = []
        self.stops: list[Stop] = []
        self.cells, self.largest, self.work = 0, 1, 0
        self.beside = prod(sizes[v] for v in held)

    def line(self) -> Line:
        """All stops."""
        for node in [node for node, waits in enumerate(self.waiting) if not waits]:
            self._close(node)
        roots = self.apart.union(self.hung)
        self.costs = {v: self._cost(v) for v in range(len(self.sizes)) if v not in roots}
        while self.costs:
            best = min(self.costs, key=self.costs.__getitem__)
            del self.costs[best]
            self._take(best)
        return Line(tuple(self.stops), self.held, self.cells, self.largest, self.work)

    def _cost(self, variable: int) -> tuple[bool, float, float]:
        """(begins something new, how many times more stays open after it, how many times more is opened for it)."""
        begins = True
        opened = closed = 1
        for node in self.asks[variable]:
            if node in self.open:
                begins = False
            else:
                opened *= self.values[node]
            if self.waiting[node] == 1:
                closed *= self.values[node]
        return begins, opened / closed, opened

    def _take(self, variable: int, closes: int = -1) -> None:
        """Sum out a variable, and then each node that it was the last to ask."""
        fresh = [node for node in self.asks[variable] if node not in self.open]
        self._stop(variable, closes)
        for node in self.asks[variable]:
            self.waiting[node] -= 1
            if node in fresh or self.waiting[node] == 1:
                for v in self.askers[node]:
                    if v in self.costs:
                        self.costs[v] = self._cost(v)
        # Found before any is closed, since what hangs on one may be the last to ask another.
        closing = [node for node in self.asks[variable] if not self.waiting[node] and not self.ends_at_once[node]]
        for node in closing:
            self._close(node)

    def _close(self, node: int) -> None:
        if self.hung[node] >= 0:
            self._take(self.hung[node], node)
        else:
            self._stop(-1, node)

    def _stop(self, variable: int, closes: int) -> None:
        asked = self.asks[variable] if variable >= 0 else []
        before, values = self.open, self.values
        asks = [Ask(n, n not in before, self.ends_at_once[n] and self.waiting[n] == 1) for n in asked]
        taken = [node for node in (closes, *asked) if node in before]
        left = [ask.node for ask in asks if not ask.last]
        rest = [node for node in before if node not in taken]
        turn = None if before[: len(taken)] == taken else self._turn([*taken, *rest])
        cells_taken, cells_left = prod([values[node] for node in taken]), prod([values[node] for node in left])
        beside = self.beside // cells_taken
        self.beside = beside * cells_left
        stop = Stop(variable, closes, closes not in before, tuple(asks), turn, cells_taken, cells_left)
        self.stops.append(stop)
        self.open = left + rest
        self.cells += self.beside
        self.largest = max(self.largest, beside * cells_taken, self.beside)
        choices = self.sizes[variable] if variable >= 0 else 1
        self.work += (beside + choices) * cells_taken * cells_left + A_CELL * self.beside

    def _turn(self, first: Sequence[int]) -> Turn:
        """From the order in which nodes are open to this one."""
        before, last = self.open, len(first) + 1
        there = (0, *[before.index(node) + 1 for node in first], last)
        back = (0, *[first.index(node) + 1 for node in before], last)
        values = self.values
        return Turn(tuple([values[n] for n in before]), there, tuple([values[n] for n in first]), back)


def _work(line: Line) -> int:
    return line.work
