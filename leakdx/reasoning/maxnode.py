"""The one kind of node that leaks need: the greatest of what its parents ask for, epoch by epoch.

A value is a tuple with one rank for each epoch of the node; rank 0 asks for nothing. A parent's
contribution is a table [parent's state, value]: its link coin is thrown once, so the same coin shows in
every epoch in which the parent is active. One epoch and ranks 0, 1 is a noisy-OR; more ranks a noisy-MAX.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Value = tuple[int, ...]
Values = tuple[Value, ...]

ONE_TABLE_CELLS = 64
"""A node whose whole table is no larger stays one table."""
BLOCK_CELLS = 24
"""Cells of one link of a chain, for nodes with many parents."""


def closure(reached: Iterable[Value]) -> Values:
    """All values that maxima of ``reached`` can take, in order; nothing at all comes first."""
    found = set(reached)
    fresh = found
    while fresh:
        fresh = {tuple(map(max, a, b)) for a in fresh for b in found} - found
        found = found | fresh
    return tuple(sorted(found))


@lru_cache(maxsize=64)
def _maxima(values: Values) -> Array:
    """One-hot [V * V, V]: which value is the greater of two, epoch by epoch."""
    where = {v: i for i, v in enumerate(values)}
    table = np.zeros((len(values) ** 2, len(values)))
    for i, a in enumerate(values):
        for j, b in enumerate(values):
            table[i * len(values) + j, where[tuple(map(max, a, b))]] = 1.0
    return table


class Factors:
    """Variables and tables as they are made. A table's last axis is the batch."""

    def __init__(self) -> None:
        self.sizes: list[int] = []
        self.scopes: list[tuple[int, ...]] = []
        self.tables: list[Array] = []

    def variable(self, size: int) -> int:
        """A new variable's number."""
        self.sizes.append(size)
        return len(self.sizes) - 1

    def add(self, scope: Sequence[int], table: Array) -> None:
        """A table with one axis for each variable of ``scope`` and the batch axis."""
        self.scopes.append(tuple(scope))
        self.tables.append(table)


class Parent(NamedTuple):
    """A variable and its contribution [size, V]."""

    variable: int
    table: Array


def add_max_node(
    factors: Factors, values: Values, parents: Sequence[Parent], end: Array, extra: Sequence[int] = ()
) -> None:
    """Add the tables of a node whose value is not a variable of its own: it is summed out into ``end``.

    Few parents make one table; many make a chain of small ones, so that width does not grow with them.

    Args:
        factors: Where tables and chain variables are added.
        values: The node's values.
        parents: What asks for values.
        end: [V, sizes of ``extra`` ..., B]: weight of each value, given the extra variables.
        extra: Variables that hang on the value (the node itself as a variable, or what it switches).
    """
    extra_cells = 1
    for v in extra:
        extra_cells *= factors.sizes[v]
    carried: list[int] = []
    spread = np.eye(1, len(values))
    blocks = _blocks([factors.sizes[p.variable] for p in parents], len(values), extra_cells)
    for number, (first, past) in enumerate(blocks):
        block = parents[first:past]
        for parent in block:
            spread = _joined(spread, parent.table, values)
        scope = (*carried, *(p.variable for p in block))
        sizes = [factors.sizes[v] for v in scope]
        if number == len(blocks) - 1:
            table = spread @ end.reshape(len(values), -1)
            factors.add((*scope, *extra), table.reshape(*sizes, *end.shape[1:]))
        else:
            carried = [factors.variable(len(values))]
            factors.add((*scope, *carried), spread.reshape(*sizes, len(values), 1))
            spread = np.eye(len(values))


def _joined(spread: Array, table: Array, values: Values) -> Array:
    """Chance of each value [rows * size, V] once one more parent has asked: from [rows, V] and [size, V]."""
    both = spread[:, None, :, None] * table[None, :, None, :]
    return np.asarray(both.reshape(-1, len(values) ** 2) @ _maxima(values))


def _blocks(sizes: Sequence[int], values: int, extra_cells: int) -> list[tuple[int, int]]:
    """(first, past the last) parent of each table; a single one where it stays small."""
    whole = extra_cells
    for size in sizes:
        whole *= size
    if whole <= ONE_TABLE_CELLS:
        return [(0, len(sizes))]
    blocks = []
    first, cells = 0, 1
    for here, size in enumerate(sizes):
        if here > first and cells * size * values > BLOCK_CELLS:
            blocks.append((first, here))
            first, cells = here, values
        cells *= size
    blocks.append((first, len(sizes)))
    return blocks


def folded(
    values: Values, likelihoods: Sequence[Array], stray: Array, kept_together: Sequence[Sequence[int]]
) -> Array:
    """Likelihood of each value [V, B] of a sign, its strays summed out.

    Args:
        values: What the causes ask for, by epoch of the sign.
        likelihoods: For each epoch, of each outcome [R, B].
        stray: Chance of each outcome [R] with nothing behind it.
        kept_together: Groups of epochs that share one stray; every epoch stands in exactly one.
    """
    ranks = np.array(values, np.intp)
    total = np.ones((len(values), 1))
    for group in kept_together:
        summed = np.zeros(1)
        for rank, chance in enumerate(stray):
            if chance > 0:
                term = np.full((1, 1), chance)
                for epoch in group:
                    term = term * likelihoods[epoch][np.maximum(ranks[:, epoch], rank)]
                summed = summed + term
        total = total * summed
    return total
