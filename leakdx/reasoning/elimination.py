"""Sum a product of tables along a plan: its total, and every single marginal, for many cases at once.

Every table ends with a batch axis, of size 1 where all cases share it. The batch axis is the last one,
so that numpy's inner loop runs over cases, however small the tables are. Only sums and products of
non-negative numbers are taken, so nothing cancels.
"""

from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leakdx.reasoning.factors import Plan, Scope, find_order, make_plan

Array = NDArray[np.float64]

CHUNK_CELLS = 2**16
"""Cells of the largest clique times cases that are worked on together: what stays near the processor."""
CHUNK_CASES = 64
"""Cases that are worked on together even so, since numpy is slow on a short last axis."""
MEMORY_CELLS = 2**25
"""Cells of all cliques times cases that are held at once."""
FAINT = 1e-200
"""A total below this may have lost parts of itself to underflow; the query is then run scaled."""


class Totals(NamedTuple):
    """Sums of products, as ``mantissa * exp(exponent)``; arrays [B]."""

    mantissa: Array
    exponent: Array

    def ratio(self, other: "Totals") -> Array:
        """This over other: [B]; 0 where this is 0."""
        return self.mantissa / other.mantissa * np.exp(self.exponent - other.exponent)


class Marginals(NamedTuple):
    """``single``: variable -> [size, B], each summing to 1; without meaning where the total is 0."""

    totals: Totals
    single: Mapping[int, Array]


class Elimination:
    """Tables bound to the plan of their structure.

    Args:
        sizes: Number of values of each variable.
        scopes: The variables of each table.
        tables: Each with one axis for each variable of its scope and a batch axis, 1 or B long.
        order: In which the variables are eliminated; by default the best one found.

    Raises:
        TooWideError: The plan would need too many cells.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        scopes: Sequence[Scope],
        tables: Sequence[Array],
        order: Sequence[int] | None = None,
    ) -> None:
        self.sizes = tuple(sizes)
        structure = self.sizes, tuple(scopes)
        self.plan: Plan = make_plan(*structure, find_order(*structure) if order is None else tuple(order))
        self._constant = np.ones(1)
        for scope, table in zip(scopes, tables, strict=True):
            if not scope:
                self._constant = self._constant * table
        turned = [t.transpose(*a, len(a)) for t, a in zip(tables, self.plan.axes, strict=True)]
        self._tables = [self._bind(step.tables, turned) for step in self.plan.steps]
        self._columns = [[(*shape, -1) for shape in step.columns] for step in self.plan.steps]

    @staticmethod
    def _bind(parts: Sequence[tuple[int, tuple[int, ...]]], tables: Sequence[Array]) -> Array | None:
        """The tables of one clique multiplied together."""
        bound = None
        for number, shape in parts:
            table = tables[number].reshape(*shape, -1)
            bound = table if bound is None else bound * table
        return bound

    def totals(self, unaries: Sequence[Array]) -> Totals:
        """The sum over all variables of the product of all tables and ``unaries``.

        Args:
            unaries: For each variable [size, B or 1], multiplied into the product.
        """
        return self._run(unaries, None).totals

    def marginals(self, unaries: Sequence[Array], wanted: Collection[int] | None = None) -> Marginals:
        """The total and the marginals of the ``wanted`` variables (default: all) under the normalised product."""
        return self._run(unaries, range(len(self.sizes)) if wanted is None else wanted)

    def _run(self, unaries: Sequence[Array], wanted: Collection[int] | None) -> Marginals:
        """In chunks of cases; a chunk whose totals are faint once more with scaling."""
        given = [self._constant, *unaries, *(t for t in self._tables if t is not None)]
        batch = max(array.shape[-1] for array in given)
        near = max(CHUNK_CASES, CHUNK_CELLS // self.plan.largest)
        chunk = max(1, min(near, MEMORY_CELLS // max(1, self.plan.cells)))
        parts = []
        for start in range(0, batch, chunk):
            cases = slice(start, start + chunk)
            columns = [_cases(u, cases) for u in unaries]
            tables = [None if t is None else _cases(t, cases) for t in self._tables]
            constant = _cases(self._constant, cases)
            part = self._chunk(constant, columns, tables, wanted, scaled=False)
            if part.totals.mantissa.min() < FAINT:
                part = self._chunk(constant, columns, tables, wanted, scaled=True)
            parts.append(part if batch == 1 else _widened(part, min(chunk, batch - start)))
        return parts[0] if len(parts) == 1 else _join(parts)

    def _chunk(
        self,
        constant: Array,
        unaries: Sequence[Array],
        tables: Sequence[Array | None],
        wanted: Collection[int] | None,
        *,
        scaled: bool,
    ) -> Marginals:
        """Forward; then, for marginals, backward: each clique is told what the rest says of its separator."""
        cliques: list[Array] = []
        messages: list[Array] = []
        mantissa, exponent = constant, np.zeros(1)
        for step, table, columns in zip(self.plan.steps, tables, self._columns, strict=True):
            clique = unaries[step.variables[0]].reshape(columns[0])
            for variable, column in zip(step.variables[1:], columns[1:], strict=True):
                clique = clique * unaries[variable].reshape(column)
            for sender, shape in step.messages:
                clique = clique * messages[sender].reshape(*shape, -1)
            if table is not None:
                clique = clique * table
            message = np.add.reduce(clique, axis=tuple(range(len(columns))))
            if scaled:
                peak = message.max(axis=tuple(range(message.ndim - 1)))
                peak[peak == 0] = 1.0
                message = message / peak
                exponent = exponent + np.log(peak)
            if step.receiver < 0:
                mantissa = mantissa * message
            messages.append(message)
            if wanted is not None:
                cliques.append(clique)
        totals = Totals(*np.broadcast_arrays(mantissa, exponent))
        return Marginals(totals, {} if wanted is None else self._backward(cliques, messages, wanted))

    def _backward(self, cliques: list[Array], messages: Sequence[Array], wanted: Collection[int]) -> dict[int, Array]:
        """Calibrate ``cliques`` in place from the last to the first and read off the variables (0/0 = 0)."""
        single: dict[int, Array] = {}
        for here in range(len(cliques) - 1, -1, -1):
            step = self.plan.steps[here]
            if step.receiver >= 0:
                told = np.add.reduce(cliques[step.receiver], axis=step.over) if step.over else cliques[step.receiver]
                sent = messages[here]
                cliques[here] = cliques[here] * (told / np.where(sent == 0, 1.0, sent))
            clique = cliques[here]
            for axis, variable in enumerate(step.variables):
                if variable not in wanted:
                    continue
                others = tuple(i for i in range(clique.ndim - 1) if i != axis)
                column = np.add.reduce(clique, axis=others) if others else clique
                total = np.add.reduce(column, axis=0)
                single[variable] = column / np.where(total == 0, 1.0, total)
        return single


def _cases(array: Array, cases: slice) -> Array:
    return array if array.shape[-1] == 1 else array[..., cases]


def _widened(part: Marginals, width: int) -> Marginals:
    """With a column for each case, also where no case differs."""
    totals = Totals(*(np.broadcast_to(t, (width,)) for t in part.totals))
    return Marginals(totals, {v: np.broadcast_to(s, (len(s), width)) for v, s in part.single.items()})


def _join(parts: Sequence[Marginals]) -> Marginals:
    totals = Totals(
        np.concatenate([p.totals.mantissa for p in parts]), np.concatenate([p.totals.exponent for p in parts])
    )
    return Marginals(totals, {v: np.concatenate([p.single[v] for p in parts], axis=1) for v in parts[0].single})
