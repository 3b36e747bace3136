"""The one kind of node that leaks need: the greatest of what its parents ask for, epoch by epoch.

A value is a tuple with one rank for each epoch of the node; rank 0 asks for nothing. A parent's
contribution is a table [parent's state, value]: its link coin is thrown once, so the same coin shows in
every epoch in which the parent is active. One epoch and ranks 0, 1 is a noisy-OR; more ranks a noisy-MAX.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Array = NDArray[np.float64]
Value = tuple[int, ...]
Values = tuple[Value, ...]


class Parent(Struct, frozen=True):
    """A variable and its contribution [size, V]."""

    variable: int
    table: Array


class MaxNode(Struct, frozen=True):
    """A node whose value is summed out into ``end``: [V, sizes of ``hangs`` ..., B].

    ``hangs``: variables that hang on the value, such as one that is the value.
    """

    values: Values
    parents: tuple[Parent, ...]
    end: Array
    hangs: tuple[int, ...] = ()


def closure(reached: Iterable[Value]) -> Values:
    """All values that maxima of ``reached`` can take, in order; nothing at all comes first."""
    found = set(reached)
    fresh = found
    while fresh:
        fresh = {tuple(map(max, a, b)) for a in fresh for b in found} - found
        found = found | fresh
    return tuple(sorted(found))


@lru_cache(maxsize=64)
def maxima(values: Values) -> Array:
    """One-hot [V * V, V]: which value is the greater of two, epoch by epoch."""
    where = {v: i for i, v in enumerate(values)}
    table = np.zeros((len(values) ** 2, len(values)))
    for i, a in enumerate(values):
        for j, b in enumerate(values):
            table[i * len(values) + j, where[tuple(map(max, a, b))]] = 1.0
    return table


@lru_cache(maxsize=64)
def same(size: int) -> Array:
    """[V, V, 1]: the end of a node on which a variable hangs that is just its value."""
    return np.eye(size)[..., None]


def joined(spread: Array, table: Array, values: Values) -> Array:
    """Chance of each value [rows * size, V] once one more parent has asked: from [rows, V] and [size, V]."""
    both = spread[:, None, :, None] * table[None, :, None, :]
    return np.asarray(both.reshape(-1, len(values) ** 2) @ maxima(values))


def folded(
    values: Sequence[Value], likelihoods: Sequence[Array], stray: Array, kept_together: Sequence[Sequence[int]]
) -> Array:
    """Likelihood of each value [V, B] of a sign, its strays summed out.

    Args:
        values: What the causes ask for, by epoch of the sign.
        likelihoods: For each epoch, of each outcome [R, B].
        stray: Chance of each outcome [R] with nothing behind it.
        kept_together: Groups of epochs that share one stray; every epoch stands in exactly one.
    """
    greatest = with_stray(tuple(values), len(stray))
    total: Array | None = None
    for group in kept_together:
        told = likelihoods[group[0]][greatest[group[0]]]
        for epoch in group[1:]:
            told = told * likelihoods[epoch][greatest[epoch]]
        summed: Array = np.add.reduce(told * stray[:, None], axis=1)
        total = summed if total is None else total * summed
    return np.ones((len(values), 1)) if total is None else total


@lru_cache(maxsize=256)
def with_stray(values: Values, ranks: int) -> NDArray[np.intp]:
    """Which outcome is seen, [epochs, V, R]: the greater of what the causes ask for and what strays."""
    asked = np.array(values, np.intp).reshape(len(values), -1)
    return np.maximum(asked.T[:, :, None], np.arange(ranks))
