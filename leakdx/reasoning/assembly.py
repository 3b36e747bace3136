"""The variables, tables and nodes of a network as they are made, and the tables that its nodes unfold to."""

from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np

from leakdx.reasoning.elimination import Elimination
from leakdx.reasoning.factors import Scope
from leakdx.reasoning.line import Line, find_line
from leakdx.reasoning.maxnode import Array, MaxNode, joined
from leakdx.reasoning.queries import Queries
from leakdx.reasoning.sweep import Sweep
from leakdx.reasoning.unfolding import Recipe, Shape, unfold

NARROW = 2**23
"""Products of one sweep above which a plan is found and bound to at once."""
ENOUGH = 2**24
"""Products of all sweeps together that take as long as that does: who asks on is better off with a plan."""
BACK = 3
"""How many times as long as the total it takes to sweep for all marginals of many cases."""


class Assembly:
    """A network to be. A table's last axis is the batch."""

    def __init__(self) -> None:
        self.sizes: list[int] = []
        self.scopes: list[Scope] = []
        self.tables: list[Array] = []
        self.columns: list[Array] = []
        self._nodes: list[MaxNode] = []
        self.shared: list[int] = []

    def variable(self, size: int, column: Array | None = None, *, shared: bool = False) -> int:
        """A new variable's number; ``column`` [size, B] is multiplied into it. ``shared``: many tables hang on it."""
        if shared:
            self.shared.append(len(self.sizes))
        self.sizes.append(size)
        self.columns.append(np.ones((size, 1)) if column is None else column)
        return len(self.sizes) - 1

    def add(self, scope: Sequence[int], table: Array) -> None:
        """A table with one axis for each variable of ``scope`` and the batch axis."""
        self.scopes.append(tuple(scope))
        self.tables.append(table)

    def add_node(self, node: MaxNode) -> None:
        """A node whose value is the greatest that its parents ask for."""
        self._nodes.append(node)

    def bound(self, *, many: bool = False) -> "Bound":
        """Everything bound, to be asked. ``many``: it will be asked for many cases at once and nothing else.

        Raises:
            TooWideError: It would need too many cells.
        """
        return Bound(self, None if many else self.line())

    def line(self) -> Line | None:
        """The line to sweep along; None where a table ties variables together that no node does."""
        by_case = tuple([n for n, node in enumerate(self._nodes) if node.end.shape[-1] > 1])
        return find_line(tuple(self.sizes), tuple(self.scopes), _shapes(self._nodes), tuple(self.shared), by_case)

    def swept(self, line: Line) -> Sweep:
        """Bound to its line."""
        return Sweep(self.sizes, self.scopes, self.tables, self._nodes, line)

    def unfolded(self) -> Elimination:
        """Bound to a plan of its own. Variables made by unfolding come after those made here.

        Where a greater value never makes the evidence more likely, as when a place is dry, a node needs no
        unfolding: such evidence is a mixture, with no negative share, of "no greater than v", and each of
        those is a product over the parents.
        """
        nodes, sizes, scopes, tables, columns = [], [*self.sizes], [*self.scopes], [*self.tables], list[Array]()
        for node in self._nodes:
            shares = -np.diff(node.end, axis=0, append=0.0)
            if node.hangs or not _is_chain(node) or (shares < 0).any():
                nodes.append(node)
                continue
            for parent in node.parents:
                scopes.append((parent.variable, len(sizes)))
                tables.append(np.cumsum(parent.table, axis=1)[..., None])
            sizes.append(len(node.values))
            columns.append(shares)
        unfolded = unfold(tuple(sizes), tuple(scopes), _shapes(nodes))
        scopes += [recipe.scope for recipe in unfolded.recipes]
        tables += [_cooked(nodes[recipe.node], recipe, unfolded.sizes) for recipe in unfolded.recipes]
        columns += [np.ones((size, 1)) for size in unfolded.sizes[len(sizes) :]]
        return Elimination(unfolded.sizes, scopes, tables, unfolded.order, columns)


class Bound:
    """A network that can be asked: swept along its line; by a plan of its own where that is wide, or asked so often."""

    def __init__(self, assembly: Assembly, line: Line | None) -> None:
        self._assembly = assembly
        self._line = line
        self._spent = 0
        self._swept = assembly.swept(line) if line is not None and line.work <= NARROW else None
        way = self._swept or self._unfolded
        self.cells, self.largest = way.cells, way.largest

    @cached_property
    def _unfolded(self) -> Elimination:
        return self._assembly.unfolded()

    def way(self, unaries: Sequence[Array], *, marginals: bool = False) -> Queries:
        """How to ask with these, for the total or for all marginals. One case alone is always quicker swept."""
        if self._swept is None or self._line is None:
            return self._unfolded
        batch = self._swept.batch(unaries)
        self._spent += self._line.work * batch * (BACK if marginals else 1) if batch > 1 else 0
        return self._swept if batch == 1 or self._spent <= ENOUGH else self._unfolded


def _shapes(nodes: Sequence[MaxNode]) -> tuple[Shape, ...]:
    return tuple(Shape(len(n.values), tuple(p.variable for p in n.parents), n.hangs) for n in nodes)


def _cooked(node: MaxNode, recipe: Recipe, sizes: Sequence[int]) -> Array:
    """The table of a recipe; a partial maximum is a parent that asks for just what it is."""
    asks = {p.variable: p.table for p in node.parents}
    itself = np.eye(len(node.values))
    parents = recipe.scope[: len(recipe.scope) - (len(node.hangs) if recipe.ends else 1)]
    spread = asks.get(parents[0], itself) if parents else itself[:1]
    for v in parents[1:]:
        spread = joined(spread, asks.get(v, itself), node.values)
    shape = [sizes[v] for v in recipe.scope]
    return (spread @ node.end.reshape(len(node.values), -1) if recipe.ends else spread).reshape(*shape, -1)


def _is_chain(node: MaxNode) -> bool:
    """Whether of any two values one is the greater."""
    return all(all(map(int.__le__, a, b)) for a, b in pairwise(node.values))
