"""How nodes with many parents become small tables, and in what order these are summed.

The order is sought as if a node were one variable that each of its parents touches alone: that picture
is small, and its width is as good as it gets. Then the eliminations are played through. When a parent
goes, what it asks for joins the greatest so far; where two such partial maxima meet, they merge. So
every table is small, none holds a negative number, and nothing is wider than in the picture by more
than the one partial maximum at work.
"""

from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct

from leakdx.reasoning.elimination import Elimination
from leakdx.reasoning.factors import Scope, find_order
from leakdx.reasoning.maxnode import Array, MaxNode, Parent, joined

SMALL = 8
BLOCK_CELLS = 64
"""Cells that one table of a node may have before it is cut in two."""


class Factors:
    """Variables, tables and nodes as they are made. A table's last axis is the batch."""

    def __init__(self) -> None:
        self.sizes: list[int] = []
        self.scopes: list[Scope] = []
        self.tables: list[Array] = []
        self.nodes: list[MaxNode] = []

    def variable(self, size: int) -> int:
        """A new variable's number."""
        self.sizes.append(size)
        return len(self.sizes) - 1

    def add(self, scope: Sequence[int], table: Array) -> None:
        """A table with one axis for each variable of ``scope`` and the batch axis."""
        self.scopes.append(tuple(scope))
        self.tables.append(table)

    def eliminated(self) -> Elimination:
        """Everything bound to a plan. Variables made on the way come after those made here.

        Raises:
            TooWideError: The plan would need too many cells.
        """
        order = _Unfolding(self).play()
        return Elimination(self.sizes, self.scopes, self.tables, order)


class _Piece(Struct):
    """What eliminations left behind: the variables that it touches, and node -> its partial maximum there."""

    touches: frozenset[int]
    partial: dict[int, int]


class _Unfolding:
    """Plays the eliminations through, adding the tables of nodes to ``factors``."""

    def __init__(self, factors: Factors) -> None:
        self.factors = factors
        self.regular = len(factors.sizes)
        self.order: list[int] = []
        self.pieces = [_Piece(frozenset(scope), {}) for scope in factors.scopes]
        self.open = set(range(len(factors.nodes)))
        self.pending = [{p.variable: p for p in node.parents} for node in factors.nodes]
        self.asked: list[list[int]] = [[] for _ in factors.sizes]
        for number, parents in enumerate(self.pending):
            for variable in parents:
                self.asked[variable].append(number)
        bound = {v for scope in factors.scopes for v in scope} | {v for n in factors.nodes for v in n.hangs_on_it}
        self.private = {v for v, nodes in enumerate(self.asked) if len(nodes) == 1 and v not in bound}

    def play(self) -> list[int]:
        """The order of elimination of all variables, those made on the way included."""
        for number, node in enumerate(self.factors.nodes):
            cells = node.end.size
            for p in node.parents:
                cells *= self.factors.sizes[p.variable]
            if node.own<0 and cells <= SMALL*len(node.values):
                self._finish(number)
        sizes = list(self.factors.sizes)
        shown_as: dict[int, int] = {}
        scopes = [tuple(piece.touches) for piece in self.pieces]
        for number in sorted(self.open):
            node = self.factors.nodes[number]
            here = node.own
            if here < 0:
                here = len(sizes)
                sizes.append(len(node.values))
            shown_as[here] = number
            scopes += [(v, here) for v in self.pending[number] if v not in self.private]
            scopes.append((here, *node.switches))
        order = find_order(tuple(sizes), tuple(scopes))
        for number in sorted(self.open):
            self._join_private(number)
        for variable in order:
            if variable in shown_as and shown_as[variable] in self.open:
                self._finish(shown_as[variable])
            if variable < self.regular and variable not in self.private:
                for number in [n for n in self.open if variable in self.factors.nodes[n].switches]:
                    self._finish(number)
                self._eliminate(variable)
        return self.order

    def _join_private(self, number: int) -> None:
        """Parents that nothing else touches go first, several to a table."""
        own = [p for v, p in self.pending[number].items() if v in self.private]
        if len(own) > 1:
            for parent in own:
                del self.pending[number][parent.variable]
            self.pieces.append(_Piece(frozenset(), {number: self._gather(number, own)}))

    def _eliminate(self, variable: int) -> None:
        """A variable goes: what it asks for joins the partial maxima of all that touched it."""
        own = [piece for piece in self.pieces if variable in piece.touches]
        merged = self._merge(own, self.asked[variable], variable)
        self.order.append(variable)
        self.pieces.append(merged)

    def _merge(self, own: list[_Piece], nodes: Iterable[int], variable: int) -> _Piece:
        touches = frozenset().union(*(piece.touches for piece in own)) - {variable}
        numbers = {n for n in nodes if variable in self.pending[n]}.union(*(piece.partial for piece in own))
        own = own + [p for p in self.pieces if p not in own and p.touches <= touches and p.partial.keys() <= numbers]
        self.pieces = [p for p in self.pieces if p not in own]
        partial = {}
        for number in sorted(numbers):
            parts = [self._part(number, piece.partial[number]) for piece in own if number in piece.partial]
            direct = self.pending[number].pop(variable, None)
            if direct is None and len(parts) == 1:
                partial[number] = parts[0].variable
            else:
                partial[number] = self._gather(number, [*parts, *([direct] if direct else [])])
        return _Piece(touches, partial)

    def _finish(self, number: int) -> None:
        """A node goes: all that is left of it meets its end."""
        node = self.factors.nodes[number]
        self.open.remove(number)
        left = list(self.pending[number].values())
        self.pending[number].clear()
        own = [piece for piece in self.pieces if number in piece.partial]
        parts = [self._part(number, piece.partial.pop(number)) for piece in own]
        merged = self._merge(own, (), -1) if own else _Piece(frozenset(), {})
        staying = {p.variable for p in left if p.variable not in self.private}
        self._gather(number, [*parts, *left], node)
        self.pieces.append(_Piece(merged.touches | staying | set(node.hangs_on_it), merged.partial))

    def _part(self, number: int, variable: int) -> Parent:
        """A partial maximum is a parent that asks for just what it is."""
        return Parent(variable, np.eye(len(self.factors.nodes[number].values)))

    def _gather(self, number: int, parents: Sequence[Parent], node: MaxNode | None = None) -> int:
        """Tables from parents to their maximum, or with ``node`` to its end; returns the maximum's variable."""
        values = self.factors.nodes[number].values
        scope: list[int] = []
        spread = np.eye(1, len(values))
        for parent in parents:
            size = self.factors.sizes[parent.variable]
            if scope and spread.size * size > BLOCK_CELLS:
                scope = [self._cut(scope, spread)]
                spread = np.eye(len(values))
            spread = joined(spread, parent.table, values)
            scope.append(parent.variable)
        if node is None:
            return self._cut(scope, spread)
        sizes = [self.factors.sizes[v] for v in scope]
        table = spread @ node.end.reshape(len(values), -1)
        self.factors.add((*scope, *node.hangs_on_it), table.reshape(*sizes, *node.end.shape[1:]))
        self._gone(scope)
        return -1

    def _cut(self, scope: Sequence[int], spread: Array) -> int:
        """A table from ``scope`` to a new variable, the maximum so far."""
        maximum = self.factors.variable(spread.shape[1])
        sizes = [self.factors.sizes[v] for v in scope]
        self.factors.add((*scope, maximum), spread.reshape(*sizes, -1, 1))
        self._gone(scope)
        return maximum

    def _gone(self, scope: Sequence[int]) -> None:
        """Partial maxima and private parents are touched by nothing after the table they went into."""
        self.order += [v for v in scope if v >= self.regular or v in self.private]
