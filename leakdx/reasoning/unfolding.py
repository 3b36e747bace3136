"""How nodes with many parents become small tables, and in what order everything is summed.

Worked out from the structure alone, by playing the eliminations through, the cheapest next. When a
parent goes, what it asks for joins the greatest so far; where two such partial maxima of a node meet,
they merge. So every table is small, and none holds a negative number. What a step costs is counted as
it will be run, merging included, which a search that looks at neighbours alone would miss.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from heapq import heapify, heappop, heappush
from math import prod
from random import Random
from typing import NamedTuple

from leakdx.reasoning.factors import Scope, bits

GOOD_ENOUGH = 2**13
"""Cells below which looking for a better way costs more than it saves."""

WORTH_A_TRY = 2**18
"""Cells that take about as long to sum as one more way takes to try."""

TRIES = 200
"""Ways that are tried at most."""

FRESH = 0.25
"""Chance of a step to be priced anew in a try; the others keep the price that the best way had."""

SPREAD = 20.0
"""How many times its cost, at most, is added to a step by chance where it is priced anew."""

BLOCK_CELLS = 64
"""Cells that one table of a node may have before it is cut in two."""


class Shape(NamedTuple):
    """A node without its numbers: how many values, whose parents, and which variables hang on its value."""

    values: int
    parents: Scope
    hangs: Scope


class Recipe(NamedTuple):
    """A table of a node, by its variables: from parents and partial maxima to their maximum, the last of them.

    ``ends``: not to the maximum but to what hangs on the node.
    """

    node: int
    scope: Scope
    ends: bool


class Unfolded(NamedTuple):
    """Tables to make, sizes of all variables (those made on the way last), and the order of elimination."""

    recipes: tuple[Recipe, ...]
    sizes: tuple[int, ...]
    order: tuple[int, ...]


@lru_cache(maxsize=256)
def unfold(sizes: tuple[int, ...], scopes: tuple[Scope, ...], shapes: tuple[Shape, ...]) -> Unfolded:
    """The cheaper of two ways, with and without keeping the most shared variable for last; of more where that is wide.

    A step that looks dear at the moment often makes the whole cheaper: with costs a little off, the cheapest step
    first comes to ten or a hundred times fewer cells (own measurement). So some steps are priced anew, whatever
    that makes better is kept, and this goes on until as much was spent on trying as is left to sum. What is drawn
    is numbered, so that the same structure always gets the same way.

    Args:
        sizes: Number of values of each variable.
        scopes: The variables of each plain table.
        shapes: The nodes. What hangs on a node is a variable that nothing but it brings about.
    """
    off = [1.0] * (len(sizes) + len(shapes))
    keep_last = 1
    best = _Play(sizes, scopes, shapes, off, keep_last=1)
    if best.cells > GOOD_ENOUGH:
        other = _Play(sizes, scopes, shapes, off, keep_last=0)
        if other.cells < best.cells:
            best, keep_last = other, 0
    draw = Random(0)
    for number in range(1, TRIES + 1):
        if best.cells < number * WORTH_A_TRY:
            break
        off = [1.0 + SPREAD * draw.random() if draw.random() < FRESH else kept for kept in best.off]
        best = min(best, _Play(sizes, scopes, shapes, off, keep_last=keep_last), key=lambda play: play.cells)
    return Unfolded(tuple(best.recipes), tuple(best.sizes), tuple(best.order))


class _Piece:
    """What eliminations left behind: the variables that it touches, as bits, and node -> its partial maximum there."""

    __slots__ = ("partial", "touches")

    def __init__(self, touches: int, partial: dict[int, int]) -> None:
        self.touches = touches
        self.partial = partial


class _Play:
    """One way of playing the eliminations through. ``cells``: of all its steps, roughly.

    ``off``: how many times its cost a step is taken to cost. A node's stands from the end, as its step's number does.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        scopes: Sequence[Scope],
        shapes: Sequence[Shape],
        off: Sequence[float],
        *,
        keep_last: int,
    ) -> None:
        self.off = off
        self.sizes = list(sizes)
        self.given = len(sizes)
        self.shapes = shapes
        self.recipes: list[Recipe] = []
        self.order: list[int] = []
        self.cells = 0
        self.touching: list[dict[_Piece, None]] = [{} for _ in sizes]
        self.holding: list[dict[_Piece, None]] = [{} for _ in shapes]
        self.beside: dict[int, int] = {}
        self.hanging = [_mask(shape.hangs) for shape in shapes]
        for scope in scopes:
            self._leave(_Piece(_mask(scope), {}))
        self.pending = [dict.fromkeys(shape.parents) for shape in shapes]
        self.asked: list[dict[int, None]] = [{} for _ in sizes]
        self.waits = [0] * len(sizes)
        for number, shape in enumerate(shapes):
            for v in shape.parents:
                self.asked[v][number] = None
            for v in shape.hangs:
                self.waits[v] += 1
        bound = {v for scope in scopes for v in scope} | {v for shape in shapes for v in shape.hangs}
        self.private = {v for v, nodes in enumerate(self.asked) if len(nodes) == 1 and v not in bound}
        self.all_private = _mask(self.private)
        self._join_private()
        self._play(keep_last)

    # -- choosing ----------------------------------------------------------------------------------------

    def _play(self, keep_last: int) -> None:
        """The cheapest step first. A step is a variable, or -1 less a node's number."""
        variables = [v for v in range(self.given) if v not in self.private]
        last = sorted(variables, key=lambda v: (-len(self.asked[v]), v))[:keep_last]
        steps = [v for v in variables if v not in last] + [-1 - n for n in range(len(self.shapes))]
        costs = {step: self._cost(step) for step in steps}
        heap = [(cost, step) for step, cost in costs.items()]
        heapify(heap)
        while heap:
            cost, step = heappop(heap)
            if costs.get(step) != cost or (step >= 0 and self.waits[step]):
                continue
            del costs[step]
            piece = self._take(step)
            for near in self._near(piece):
                if near in costs:
                    costs[near] = self._cost(near)
                    heappush(heap, (costs[near], near))
            if step < 0:
                for hanging in self.shapes[-1 - step].hangs:
                    if hanging in costs:
                        heappush(heap, (costs[hanging], hanging))
        for step in last:
            self._take(step)

    def _near(self, piece: _Piece) -> set[int]:
        """Steps whose cost a new piece may change."""
        near = set(bits(piece.touches))
        for number in piece.partial:
            near.add(-1 - number)
            near.update(self.pending[number])
        return near

    def _cost(self, step: int) -> float:
        """Cells that a step will need, as this way takes it."""
        own, touches, asks = self._at(step)
        return self.off[step] * self._cells(touches, own, asks)

    def _at(self, step: int) -> tuple[list[_Piece], int, list[int]]:
        """(pieces that a step uses up, variables of its clique as bits, nodes that the variable still asks)."""
        if step >= 0:
            own = list(self.touching[step])
            asks = [n for n in self.asked[step] if step in self.pending[n]]
            touches = 1 << step
        else:
            own, asks = list(self.holding[-1 - step]), []
            touches = self.hanging[-1 - step] | _mask(self.pending[-1 - step])
        for piece in own:
            touches |= piece.touches
        return own, touches, asks

    def _beside(self, touches: int) -> int:
        """Cells of a table over these variables."""
        found = self.beside.get(touches)
        if found is None:
            found = self.beside[touches] = prod(self.sizes[v] for v in bits(touches))
        return found

    def _cells(self, touches: int, own: Sequence[_Piece], asks: Sequence[int]) -> int:
        """Cells of all tables while ``own`` are merged and ``asks`` are asked, one node after the other."""
        now = self._beside(touches)
        times = dict.fromkeys(asks, 0)
        for piece in own:
            for number in piece.partial:
                times[number] = times.get(number, 0) + 1
        if not times:
            return now
        for number, count in times.items():
            now *= self.shapes[number].values ** min(count, 2)
        cells = 0
        for number, count in times.items():
            values = self.shapes[number].values
            if count > 1:
                cells += now * values
                now //= values
            if number in asks:
                cells += now * values
                now *= values if count == 0 else 1
        return max(cells, now)

    # -- playing -----------------------------------------------------------------------------------------

    def _join_private(self) -> None:
        """Parents that nothing else touches go first, several to a table."""
        for number, parents in enumerate(self.pending):
            own = [v for v in parents if v in self.private]
            if len(own) > 1:
                for v in own:
                    del parents[v]
                self._leave(_Piece(0, {number: self._gather(number, own)}))

    def _take(self, step: int) -> _Piece:
        """Eliminate a variable, or finish a node; returns what is left behind."""
        own, touches, asks = self._at(step)
        self.cells += self._cells(touches, own, asks)
        partial = self._merged(own, touches, asks)
        if step >= 0:
            for number in asks:
                del self.pending[number][step]
                partial[number] = self._gather(number, [*_some(partial.get(number)), step])
            self.order.append(step)
            piece = _Piece(touches & ~(1 << step), partial)
        else:
            number = -1 - step
            self._gather(number, [*_some(partial.pop(number, None)), *self.pending[number]], ends=True)
            self.pending[number].clear()
            for v in self.shapes[number].hangs:
                self.waits[v] -= 1
            piece = _Piece(touches & ~self.all_private, partial)
        self._leave(piece)
        return piece

    def _leave(self, piece: _Piece) -> None:
        for v in bits(piece.touches):
            self.touching[v][piece] = None
        for number in piece.partial:
            self.holding[number][piece] = None

    def _merged(self, own: list[_Piece], touches: int, asks: Sequence[int]) -> dict[int, int]:
        """Merge the pieces of a step, two at a time, the cheapest two first; node -> partial maximum."""
        held = {n for piece in own for n in piece.partial}
        for number in asks:
            for piece in self.holding[number]:
                if not piece.touches & ~touches and piece.partial.keys() <= set(asks) - held:
                    own.append(piece)
                    held |= piece.partial.keys()
        for piece in own:
            for v in bits(piece.touches):
                del self.touching[v][piece]
            for number in piece.partial:
                del self.holding[number][piece]
        left = [piece for piece in own if piece.partial]
        while pairs := [
            (self._cells(a.touches | b.touches, (a, b), ()), i, j)
            for i, a in enumerate(left)
            for j, b in enumerate(left[:i])
            if not a.partial.keys().isdisjoint(b.partial)
        ]:
            _, i, j = min(pairs)
            b, a = left.pop(i), left.pop(j)
            shared = {n: self._gather(n, [a.partial[n], b.partial[n]]) for n in a.partial if n in b.partial}
            left.append(_Piece(a.touches | b.touches, {**a.partial, **b.partial, **shared}))
        return {n: v for piece in left for n, v in piece.partial.items()}

    def _gather(self, number: int, items: Sequence[int], *, ends: bool = False) -> int:
        """Tables from parents and partial maxima to their maximum, which is returned, or to the node's end."""
        values = self.shapes[number].values
        scope: list[int] = []
        cells = values
        for v in items:
            if len(scope) > 1 and cells * self.sizes[v] > BLOCK_CELLS:
                scope = [self._maximum(number, scope)]
                cells = values * values
            scope.append(v)
            cells *= self.sizes[v]
        if not ends:
            return self._maximum(number, scope)
        self.recipes.append(Recipe(number, (*scope, *self.shapes[number].hangs), True))
        self._gone(scope)
        return -1

    def _maximum(self, number: int, scope: Sequence[int]) -> int:
        maximum = len(self.sizes)
        self.sizes.append(self.shapes[number].values)
        self.recipes.append(Recipe(number, (*scope, maximum), False))
        self._gone(scope)
        return maximum

    def _gone(self, scope: Sequence[int]) -> None:
        """Partial maxima and private parents are touched by nothing after the table they went into."""
        self.order += [v for v in scope if v >= self.given or v in self.private]


def _mask(variables: Iterable[int]) -> int:
    mask = 0
    for v in variables:
        mask |= 1 << v
    return mask


def _some(variable: int | None) -> tuple[int, ...]:
    return () if variable is None else (variable,)
