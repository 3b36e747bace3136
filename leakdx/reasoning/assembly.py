"""The variables, tables and nodes of a network as they are made, and the tables that its nodes unfold to."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from leakdx.reasoning.elimination import Elimination
from leakdx.reasoning.factors import Scope
from leakdx.reasoning.maxnode import Array, MaxNode, joined
from leakdx.reasoning.unfolding import Recipe, Shape, unfold


class Assembly:
    """A network to be. A table's last axis is the batch."""

    def __init__(self) -> None:
        self.sizes: list[int] = []
        self.scopes: list[Scope] = []
        self.tables: list[Array] = []
        self.columns: list[Array] = []
        self._nodes: list[MaxNode] = []

    def variable(self, size: int, column: Array | None = None) -> int:
        """A new variable's number; ``column`` [size, B] is multiplied into it."""
        self.sizes.append(size)
        self.columns.append(np.ones((size, 1)) if column is None else column)
        return len(self.sizes) - 1

    def add(self, scope: Sequence[int], table: Array) -> None:
        """A table with one axis for each variable of ``scope`` and the batch axis."""
        self.scopes.append(tuple(scope))
        self.tables.append(table)

    def add_node(self, node: MaxNode) -> None:
        """A node whose value is the greatest that its parents ask for.

        Where a greater value never makes the evidence more likely, as when a place is dry, it needs no
        unfolding: such evidence is a mixture, with no negative share, of "no greater than v", and each of
        those is a product over the parents.
        """
        shares = -np.diff(node.end, axis=0, append=0.0)
        if node.hangs or not _is_chain(node) or (shares < 0).any():
            self._nodes.append(node)
            return
        most = self.variable(len(node.values), shares)
        for parent in node.parents:
            self.add((parent.variable, most), np.cumsum(parent.table, axis=1)[..., None])

    def bound(self) -> Elimination:
        """Everything bound to a plan. Variables made by unfolding come after those made here.

        Raises:
            TooWideError: The plan would need too many cells.
        """
        shapes = [Shape(len(n.values), tuple(p.variable for p in n.parents), n.hangs) for n in self._nodes]
        unfolded = unfold(tuple(self.sizes), tuple(self.scopes), tuple(shapes))
        for recipe in unfolded.recipes:
            self.add(recipe.scope, self._cooked(recipe, unfolded.sizes))
        self.columns += [np.ones((size, 1)) for size in unfolded.sizes[len(self.sizes) :]]
        return Elimination(unfolded.sizes, self.scopes, self.tables, unfolded.order)

    def _cooked(self, recipe: Recipe, sizes: Sequence[int]) -> Array:
        """The table of a recipe; a partial maximum is a parent that asks for just what it is."""
        node = self._nodes[recipe.node]
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
