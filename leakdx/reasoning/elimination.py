"""Sum a product of tables along a plan: its total, and every single marginal, for many cases at once.

Every table ends with a batch axis, of size 1 where all cases share it. The batch axis is the last one,
so that numpy's inner loop runs over cases, however small the tables are. Only sums and products of
non-negative numbers are taken, so nothing cancels.
"""

from collections.abc import Collection, Sequence

import numpy as np

from leakdx.reasoning.factors import Plan, Scope, find_order, make_plan
from leakdx.reasoning.queries import Array, Marginals, Queries, Totals, of_cases


class Elimination(Queries):
    """Tables bound to the plan of their structure.

    Args:
        sizes: Number of values of each variable.
        scopes: The variables of each table.
        tables: Each with one axis for each variable of its scope and a batch axis, 1 or B long.
        order: In which the variables are eliminated; by default the best one found.
        own: Columns [size, B] of the last variables, which queries know nothing of.

    Raises:
        TooWideError: The plan would need too many cells.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        scopes: Sequence[Scope],
        tables: Sequence[Array],
        order: Sequence[int] | None = None,
        own: Sequence[Array] = (),
    ) -> None:
        structure = tuple(sizes), tuple(scopes)
        self.sizes = structure[0][: len(sizes) - len(own)]
        self._own = own
        self.plan: Plan = make_plan(*structure, find_order(*structure) if order is None else tuple(order))
        self._constant = np.ones(1)
        for scope, table in zip(scopes, tables, strict=True):
            if not scope:
                self._constant = self._constant * table
        turned = [t.transpose(*a, len(a)) for t, a in zip(tables, self.plan.axes, strict=True)]
        self._tables = [self._bind(step.tables, turned) for step in self.plan.steps]
        self._columns = [[(*shape, -1) for shape in step.columns] for step in self.plan.steps]
        self.constants = [self._constant, *own, *(table for table in self._tables if table is not None)]
        self.cells, self.largest = self.plan.cells, self.plan.largest

    @staticmethod
    def _bind(parts: Sequence[tuple[int, tuple[int, ...]]], tables: Sequence[Array]) -> Array | None:
        """The tables of one clique multiplied together."""
        bound = None
        for number, shape in parts:
            table = tables[number].reshape(*shape, -1)
            bound = table if bound is None else bound * table
        return bound

    def _chunk(
        self, unaries: Sequence[Array], cases: slice, wanted: Collection[int] | None, *, scaled: bool
    ) -> Marginals:
        """Forward; then, for marginals, backward: each clique is told what the rest says of its separator."""
        unaries = [*unaries, *(of_cases(column, cases) for column in self._own)]
        cliques: list[Array] = []
        messages: list[Array] = []
        mantissa, exponent = of_cases(self._constant, cases), np.zeros(1)
        for step, table, columns in zip(self.plan.steps, self._tables, self._columns, strict=True):
            clique = unaries[step.variables[0]].reshape(columns[0])
            for variable, column in zip(step.variables[1:], columns[1:], strict=True):
                clique = clique * unaries[variable].reshape(column)
            for sender, shape in step.messages:
                clique = clique * messages[sender].reshape(*shape, -1)
            if table is not None:
                clique = clique * of_cases(table, cases)
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
