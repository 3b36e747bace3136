"""Sum a case along its line: forward for the total, and back for every single marginal, for many cases at once.

At each stop what was summed so far is multiplied by a small matrix, a mixture over the values of the
variable taken there. What is summed is [values of the held variables, cells worked on, cells beside * B].
Only sums and products of non-negative numbers are taken, so nothing cancels.
"""

from collections.abc import Collection, Sequence
from contextlib import nullcontext
from functools import lru_cache
from math import prod
from typing import NamedTuple

import numpy as np

from leakdx.reasoning.factors import Scope
from leakdx.reasoning.line import Ask, Line, Stop
from leakdx.reasoning.maxnode import Array, MaxNode, Values, maxima, same
from leakdx.reasoning.one_thread import one_thread
from leakdx.reasoning.queries import Marginals, Queries, Totals, of_cases

ONE = np.ones((1, 1, 1))
SMALL = 2**19
"""Work of a query up to which no multiplication is large enough for more than one thread."""


class _Bound(NamedTuple):
    """A stop with its numbers: ``mixed`` [S, held or 1, left, taken] one matrix for each value of what is taken.

    ``weights`` [S or 1, held or 1, B or 1]: of the case, to be multiplied by those of the query. ``value_of``: of
    which value of the variable each matrix is; None where they are its values in order, or there is no variable.
    """

    stop: Stop
    mixed: Array
    weights: Array
    value_of: list[int] | None


class Sweep(Queries):
    """Tables and nodes bound to a line.

    Args:
        sizes: Number of values of each variable.
        scopes: The variables of each plain table.
        tables: Each with one axis for each variable of its scope and a batch axis, 1 or B long.
        nodes: As in the structure that the line was found for.
        line: The line.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        scopes: Sequence[Scope],
        tables: Sequence[Array],
        nodes: Sequence[MaxNode],
        line: Line,
    ) -> None:
        self.sizes, self.cells, self.largest = tuple(sizes), line.cells, line.largest
        self._line = line
        self._nodes = nodes
        self._held = {v: i for i, v in enumerate(line.held)}
        self._shape = tuple(sizes[v] for v in line.held)
        self._times = prod(self._shape)
        self._constant = np.ones((self._times, 1))
        self._own: dict[int, Array] = {}
        for scope, table in zip(scopes, tables, strict=True):
            self._keep(scope, table)
        self._asks = [{parent.variable: parent.table for parent in node.parents} for node in nodes]
        self._stops = [self._bound(stop) for stop in line.stops]
        self.constants = [self._constant, *(bound.weights for bound in self._stops)]

    # -- binding -----------------------------------------------------------------------------------------

    def _keep(self, scope: Scope, table: Array) -> None:
        """Multiply a plain table into the weights of its one variable that is not held."""
        free = [v for v in scope if v not in self._held]
        spread = self._over_held(scope, table)
        if free:
            self._own[free[0]] = self._own.get(free[0], 1.0) * spread
        else:
            self._constant = self._constant * spread

    def _over_held(self, scope: Scope, table: Array) -> Array:
        """A table [sizes of a scope ..., B] as [its variables that are not held ..., held or 1, B]."""
        held = sorted((v for v in scope if v in self._held), key=self._held.__getitem__)
        if not held:
            return table[..., None, :]
        if scope == self._line.held:
            return table.reshape(self._times, -1)
        free = [i for i, v in enumerate(scope) if v not in self._held]
        turned = table.transpose(*free, *(scope.index(v) for v in held), len(scope))
        lead, batch = turned.shape[: len(free)], turned.shape[-1]
        thin = [n if v in held else 1 for v, n in zip(self._line.held, self._shape, strict=True)]
        spread = np.broadcast_to(turned.reshape(*lead, *thin, batch), (*lead, *self._shape, batch))
        return spread.reshape(*lead, self._times, batch)

    def _bound(self, stop: Stop) -> _Bound:
        """The matrices of a stop: what is summed out there, then one more node asked after the other."""
        mixed: Array | None = None
        ended: Array | None = None
        weights, value_of = self._own.get(stop.variable, ONE), None
        if stop.closes >= 0:
            ended, weights, value_of = self._ended(stop, weights)
        # From the last to the first, so that what is there already is the inner, longer axis.
        for ask in reversed(stop.asks):
            table = self._asks[ask.node][stop.variable]
            asked = self._asked(ask, table if value_of is None else table[value_of])
            mixed = asked if mixed is None else _beside(asked, mixed)
        if ended is not None:
            mixed = ended if mixed is None else _beside(ended, mixed)
        if mixed is None:
            mixed = np.ones((self.sizes[stop.variable], 1, 1, 1))
        return _Bound(stop, mixed, weights, value_of)

    def _asked(self, ask: Ask, table: Array) -> Array:
        """What asking a node makes of the greatest so far, for each choice: [S, held or 1, V then, V before]."""
        node = self._nodes[ask.node]
        size = len(node.values)
        asked = table[:, None, :, None] if ask.first else (table @ raising(node.values)).reshape(-1, 1, size, size)
        if not ask.last:
            return asked
        end = self._over_held((-1, *node.hangs), node.end)[..., 0]
        ended: Array = np.add.reduce(end[..., None] * self._with_held(ask.node), axis=0)
        return ended[:, None] @ asked

    def _ended(self, stop: Stop, own: Array) -> tuple[Array, Array, list[int] | None]:
        """A node summed out into its evidence, or into each value of the variable that hangs on it, weighed ``own``."""
        node = self._nodes[stop.closes]
        size = len(node.values)
        by_value = self._with_held(stop.closes)[:, :, None, : 1 if stop.fresh else size]
        if stop.variable < 0:
            return by_value, self._over_held((-1, *node.hangs), node.end), None
        if node.end is same(size):
            return by_value, own, None
        end = self._over_held((-1, *node.hangs), node.end)
        ranks, values = np.nonzero(end.any(axis=(2, 3)))
        return by_value[ranks], end[ranks, values] * (own if len(own) == 1 else own[values]), values.tolist()

    def _with_held(self, number: int) -> Array:
        """What held parents make of the greatest that the others ask for: [V then, held or 1, V before]."""
        node = self._nodes[number]
        size = len(node.values)
        found: Array | None = None
        for v in self._held:
            if v in self._asks[number]:
                asked = self._over_held((v,), self._asks[number][v] @ raising(node.values)).reshape(-1, size, size)
                found = asked if found is None else asked @ found
        return np.eye(size)[:, None] if found is None else found.swapaxes(0, 1)

    # -- queries -----------------------------------------------------------------------------------------

    def _chunk(
        self, unaries: Sequence[Array], cases: slice, wanted: Collection[int] | None, *, scaled: bool
    ) -> Marginals:
        """Forward; then, for marginals, back."""
        with one_thread() if self._line.work * self.batch(unaries) > SMALL else nullcontext():
            return self._swept(unaries, cases, wanted, scaled=scaled)

    def _swept(
        self, unaries: Sequence[Array], cases: slice, wanted: Collection[int] | None, *, scaled: bool
    ) -> Marginals:
        start = of_cases(self._constant, cases)
        for variable in self._held:
            start = start * self._over_held((variable,), unaries[variable])
        now, batch, exponent = start[:, None, :], start.shape[-1], np.zeros(1)
        moves: list[_Move] = []
        for bound in self._stops:
            move = _Move(bound, _weights(bound, unaries, cases), now, batch)
            now, batch = move.after()
            if scaled:
                now, peak = _scaled(now, batch)
                exponent = exponent + np.log(peak)
            moves.append(move)
        totals = Totals(*np.broadcast_arrays(np.add.reduce(now.reshape(self._times, batch), axis=0), exponent))
        if wanted is None:
            return Marginals(totals, {})
        return Marginals(totals, _normalised(self._back(moves, start, batch, wanted, scaled=scaled)))

    def _back(
        self, moves: Sequence["_Move"], start: Array, batch: int, wanted: Collection[int], *, scaled: bool
    ) -> dict[int, Array]:
        """From the last stop to the first, each is told what all later ones say, and its variable is read off.

        Returns variable -> [size, B], how much of the total each value has, up to a factor.
        """
        single: dict[int, Array] = {}
        later: Array = np.ones((self._times, 1, batch))
        for move in reversed(moves):
            stop = move.bound.stop
            later = later.reshape(self._times, stop.left, -1)
            if stop.variable in wanted:
                single[stop.variable] = _by_value(move, later, batch, self.sizes[stop.variable])
            later = move.before(later, batch)
            if scaled:
                later, _ = _scaled(later, batch)
        by_held = (start * later.reshape(self._times, -1)).reshape(*self._shape, -1)
        for axis, variable in enumerate(self._line.held):
            others = tuple(i for i in range(len(self._shape)) if i != axis)
            single[variable] = np.add.reduce(by_held, axis=others) if others else by_held
        return single


class _Move:
    """One stop of a query. ``now``: what was summed before it, for ``batch`` cases, or one where they do not differ."""

    __slots__ = ("batch", "bound", "here", "matrix", "weights")

    def __init__(self, bound: _Bound, weights: Array, now: Array, batch: int) -> None:
        stop = bound.stop
        self.bound, self.weights, self.batch = bound, weights, batch
        if stop.turn:
            now = now.reshape(len(now), *stop.turn.shape, batch).transpose(stop.turn.there)
        self.here = now.reshape(len(now), stop.taken, -1)
        # One matrix for all cases, where they do not differ here.
        self.matrix = _together(weights, bound.mixed) if weights.shape[-1] == 1 else None

    def after(self) -> tuple[Array, int]:
        """What is summed after the stop, and for how many cases."""
        if self.matrix is not None:
            return self.matrix @ self.here, self.batch
        each = self.each()
        total = each[0] * self.weights[0, :, None, None]
        for one, weight in zip(each[1:], self.weights[1:], strict=True):
            total = total + one * weight[:, None, None]
        return total.reshape(len(total), total.shape[1], -1), total.shape[-1]

    def each(self) -> Array:
        """The same for each matrix alone, without its weight: [S, held, cells, cells beside, B]."""
        mixed = self.bound.mixed
        return (mixed @ self.here).reshape(len(mixed), len(self.here), mixed.shape[2], -1, self.batch)

    def before(self, later: Array, batch: int) -> Array:
        """What later stops say of all that is open before this one, from what they say of all that is open after."""
        stop = self.bound.stop
        if self.matrix is not None:
            told = self.matrix.swapaxes(1, 2) @ later
        else:
            held, left = later.shape[:2]
            mixed = self.bound.mixed.transpose(1, 3, 0, 2).reshape(-1, stop.taken, len(self.weights) * left)
            weighed = self.weights[:, :, None, None] * later.reshape(held, left, -1, batch)
            told = mixed @ weighed.swapaxes(0, 1).reshape(held, len(self.weights) * left, -1)
        return told.reshape(len(told), *stop.turn.turned, batch).transpose(stop.turn.back) if stop.turn else told


def _by_value(move: _Move, later: Array, batch: int, size: int) -> Array:
    """How much each value of the variable of a stop has of the total: [size, B]."""
    mixed, weights = move.bound.mixed, move.weights
    if batch > 1:
        each: Array = np.add.reduce(move.each() * later.reshape(*later.shape[:2], -1, batch), axis=(2, 3))
        by_matrix: Array = np.add.reduce(each * weights, axis=1)
    else:
        told = later @ move.here.swapaxes(1, 2)
        if weights.shape[1] == 1:
            of_held = told if mixed.shape[1] > 1 else np.add.reduce(told, axis=0)
            by_matrix = mixed.reshape(len(mixed), -1).dot(of_held.ravel())[:, None] * weights[:, 0]
        else:
            by_matrix = np.add.reduce(np.add.reduce(mixed * told, axis=(2, 3))[..., None] * weights, axis=1)
    if move.bound.value_of is None:
        return by_matrix
    found = np.zeros((size, batch))
    for value, one in zip(move.bound.value_of, by_matrix, strict=True):
        found[value] += one
    return found


def _weights(bound: _Bound, unaries: Sequence[Array], cases: slice) -> Array:
    """Of each matrix of a stop in each case: [S, held or 1, B or 1]."""
    weights = of_cases(bound.weights, cases)
    if bound.stop.variable < 0:
        return weights
    column = unaries[bound.stop.variable]
    by_matrix = (column if bound.value_of is None else column[bound.value_of])[:, None, :]
    return by_matrix if weights is ONE else weights * by_matrix


def _together(weights: Array, mixed: Array) -> Array:
    """The mixture of some matrices: [held or 1, left, taken]."""
    if weights.shape[1] == 1:
        flat: Array = weights[:, 0, 0].dot(mixed.reshape(len(mixed), -1))  # quicker than @ on so little
        return flat.reshape(mixed.shape[1:])
    return np.asarray(np.add.reduce(weights[..., None] * mixed, axis=0))


def _beside(mixed: Array, asked: Array) -> Array:
    """Matrices for two things at once: [S, held or 1, left * V then, taken * V before]."""
    choices, held, left, taken = mixed.shape
    _, also_held, then, before = asked.shape
    both = mixed[:, :, :, None, :, None] * asked[:, :, None, :, None, :]
    return both.reshape(choices, max(held, also_held), left * then, taken * before)


@lru_cache(maxsize=64)
def raising(values: Values) -> Array:
    """One-hot [V asked, V then * V before]: what asking makes of the greatest so far."""
    size = len(values)
    return np.ascontiguousarray(maxima(values).reshape(size, size, size).transpose(1, 2, 0)).reshape(size, -1)


def _scaled(array: Array, batch: int) -> tuple[Array, Array]:
    """With 1 as the greatest of each case; and what it was: [B]."""
    by_case = array.reshape(-1, batch)
    peak = by_case.max(axis=0)
    peak = np.where(peak == 0, 1.0, peak)
    return (by_case / peak).reshape(array.shape), peak


def _normalised(single: dict[int, Array]) -> dict[int, Array]:
    """Each with sum 1; without meaning where the sum is 0."""
    if not single:
        return {}
    columns = np.concatenate(list(single.values()))
    ends = np.cumsum([len(column) for column in single.values()])
    starts = np.concatenate([[0], ends[:-1]])
    total = np.add.reduceat(columns, starts, axis=0)
    columns /= np.repeat(np.where(total == 0, 1.0, total), ends - starts, axis=0)
    return {v: columns[first:end] for v, first, end in zip(single, starts.tolist(), ends.tolist(), strict=True)}
