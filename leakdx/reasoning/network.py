"""The joint distribution of a case as tables bound to a plan, and the queries that everything else asks.

States of a cause that no table tells apart are one value of its variable; what tells them apart then is
their weight alone. A cause whose states are all alike to every table needs no variable.
"""

from collections.abc import Hashable, Iterator, Mapping, Sequence
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leakdx.reasoning.asking import Asks, Key
from leakdx.reasoning.assembly import Assembly
from leakdx.reasoning.compiled import Array, Model
from leakdx.reasoning.evidence import Evidence, HistoryEvidence
from leakdx.reasoning.maxnode import MaxNode, Parent, same
from leakdx.reasoning.nodes import Draft, Entered, Node, Tilt
from leakdx.reasoning.queries import Totals
from leakdx.reasoning.redraw import first_chances
from leakdx.reasoning.states import ABSENT, LEAKING, QUIET, chances

KINDS = tuple(product((ABSENT, QUIET, LEAKING), repeat=2))
"""(when brought in, now) of a cause that was drawn several times."""
NATURAL_PER_DECIBAN = np.log(10) / 10


class Posterior(NamedTuple):
    """``states`` [N, B] and, for each variable node, ``nodes`` [V, B]: probabilities given the evidence."""

    totals: Totals
    states: Array
    nodes: Mapping[Key, Array]


class Network:
    """The joint distribution of a case. With ``entered``, of B cases at once, in the last axis of all.

    ``many``: it is asked for many cases at once and for nothing else.
    """

    def __init__(self, model: Model, evidence: Evidence, entered: Entered | None = None, *, many: bool = False) -> None:
        entered = entered or Entered.all(evidence)
        self.model = model
        self.draft = Draft(model, evidence, entered)
        self.states = self.draft.states
        by_draw, may_be = _base(model, evidence, entered)
        log_odds, possible = by_draw[self.states.drawn], may_be[self.states.drawn]
        self._there, self._not_there = chances(np.where(possible, log_odds, -np.inf))
        weights = self.states.prior(self._there, self._not_there, list(model.parents))
        self._possible: NDArray[np.bool_] = np.any(possible, axis=1)
        never = ~self._possible[self.states.owner] & self.states.there
        self._weights = np.where(never[:, None], 0.0, weights * self.draft.products)
        self._classify()
        self._bind(possible, many=many)

    @property
    def cells(self) -> int:
        """Cells of all cliques: what one query touches for one case."""
        return self._bound.cells

    @property
    def largest(self) -> int:
        """Cells of the largest clique."""
        return self._bound.largest

    # -- queries -----------------------------------------------------------------------------------------

    def totals(self, states: Array | None = None, nodes: Mapping[Key, Array] | None = None) -> Totals:
        """Probability of the evidence, up to a constant, times the mean of a product of multipliers.

        Args:
            states: [N, B] multipliers on the states of causes.
            nodes: Key -> [V, B] multipliers on the values of nodes that have a variable.
        """
        if states is not None and states.shape[1] == 0:
            return Totals(np.empty(0), np.empty(0))
        _, sums, unaries = self._unaries(states, nodes or {})
        return self._with_free(self._bound.way(unaries).totals(unaries), sums)

    def posterior(self, states: Array | None = None, nodes: Mapping[Key, Array] | None = None) -> Posterior:
        """All single marginals, with the same multipliers."""
        weights, sums, unaries = self._unaries(states, nodes or {})
        found = self._bound.way(unaries, marginals=True).marginals(unaries, {*self._rows, *self._variables.values()})
        classes = np.ones((len(sums), max(sums.shape[1], found.totals.mantissa.shape[0])))
        for variable, rows in self._rows.items():
            classes[rows] = found.single[variable]
        within = weights / np.where(sums == 0, 1.0, sums)[self._class_of]
        of_nodes = {key: found.single[v] for key, v in self._variables.items()}
        return Posterior(self._with_free(found.totals, sums), within * classes[self._class_of], of_nodes)

    def sums(self, found: Posterior, kinds: Sequence[int], *, first: bool = False) -> Array:
        """P(a cause is of these kinds) [C, B], now or when brought in, whichever of its draws makes it so."""
        states = self.states
        chosen = np.isin(states.kind if first else states.kind_now, kinds)
        by_cause = states.sums(found.states, chosen)[: len(self.model.causes)]
        for cause in states.units:
            of_kinds = [pair[0 if first else 1] in kinds for pair in KINDS]
            by_cause[cause] = found.nodes["any", self.model.causes[cause]][of_kinds].sum(axis=0)
        return by_cause

    def by_kind(self, now: Array | None = None, first: Array | None = None) -> tuple[Array, dict[Key, Array]]:
        """Multipliers on states and nodes for ``totals``, from [B, C, 3] by kind now and when brought in."""
        states = self.states
        of_states, nodes = np.ones((len(states.owner), 1)), dict[Key, Array]()
        cause_of = states.drawn[1][states.owner]
        alone = ~np.isin(cause_of, list(states.units))[:, None]
        for multipliers, kinds, side in ((now, states.kind_now, 1), (first, states.kind, 0)):
            if multipliers is None:
                continue
            of_states = of_states * np.where(alone, np.ascontiguousarray(multipliers[:, cause_of, kinds].T), 1.0)
            for cause in states.units:
                key = ("any", self.model.causes[cause])
                nodes[key] = nodes.get(key, 1.0) * multipliers[:, cause, [pair[side] for pair in KINDS]].T
        return of_states, nodes

    def _unaries(self, states: Array | None, nodes: Mapping[Key, Array]) -> tuple[Array, Array, list[Array]]:
        """Weights of states, their sums by class, and one column for each variable."""
        weights = self._weights if states is None else self._weights * states
        sums = np.add.reduceat(weights[self._by_class], self._class_starts, axis=0)
        unaries = list(self._columns)
        for variable, rows in self._rows.items():
            unaries[variable] = sums[rows]
        for key, multiplier in nodes.items():
            variable = self._variables[key]
            unaries[variable] = unaries[variable] * multiplier
        return weights, sums, unaries

    def _with_free(self, totals: Totals, sums: Array) -> Totals:
        """Causes without a variable only scale the total."""
        return Totals(totals.mantissa * np.multiply.reduce(sums[self._free], axis=0), totals.exponent)

    # -- building ----------------------------------------------------------------------------------------

    def _classify(self) -> None:
        """Put states of a cause that no table tells apart into one class; an impossible cause has but one."""
        rows: list[list[tuple[Hashable, ...]]] = [[] for _ in self.states.spans]
        for unit in (u for units in self.states.units.values() for u in units):
            span = self.states.of(unit)
            rows[unit].append(tuple(zip(self.states.kind[span], self.states.kind_now[span], strict=True)))
        for child, leads in self._leads():
            rows[child].append(self.draft.asking.there[child].row)
            for parent, lead in leads:
                rows[parent].append(lead.row)
        for node in self.draft.nodes.values():
            for asks in node.parents:
                if isinstance(asks.source, int) and self._possible[asks.source]:
                    rows[asks.source].append(asks.row)
        for tilt in self.draft.tilts:
            if tilt.cause is not None and self._possible[tilt.cause]:
                rows[tilt.cause].append(Asks.of(tilt.cause, tilt.table).row)
        class_of: list[int] = []
        self._first_state: list[list[int]] = []
        count = 0
        for states, of_unit in zip(self.states.spans, rows, strict=True):
            found: dict[tuple[Hashable, ...], int] = {}
            apart = zip(*of_unit, strict=True) if of_unit else [()] * len(states)
            own = [found.setdefault(row, len(found)) for row in apart]
            class_of += [count + c for c in own]
            self._first_state.append([own.index(c) for c in range(max(own) + 1)])
            count += max(own) + 1
        self._class_of = np.array(class_of, np.intp)
        self._by_class = np.argsort(self._class_of, kind="stable")
        self._class_starts = np.searchsorted(self._class_of[self._by_class], np.arange(count))

    def _leads(self) -> Iterator[tuple[int, list[tuple[int, Asks[int]]]]]:
        """Causes that others lead to, with those and what they ask; the impossible neither leads nor is led to."""
        for child, leads in self.draft.asking.leads.items():
            if self._possible[child]:
                yield child, [(parent, asks) for parent, asks in leads if self._possible[parent]]

    def _bind(self, possible: NDArray[np.bool_], *, many: bool) -> None:
        """Give out variables, lay down the tables, and find the plan."""
        assembly = Assembly()
        self._causes: dict[int, int] = {}
        self._taken = [np.array(states, np.intp) for states in self._first_state]
        self._rows: dict[int, slice] = {}
        free = []
        first = 0
        for cause, classes in enumerate(self._first_state):
            if len(classes) > 1:
                self._causes[cause] = assembly.variable(len(classes))
                self._rows[self._causes[cause]] = slice(first, first + len(classes))
            else:
                free.append(first)
            first += len(classes)
        self._free = np.array(free, np.intp)
        self._variables: dict[Key, int] = self._doubts(assembly)
        for child, leads in self._leads():
            self._add_presence(assembly, child, [self._parent(asks) for _, asks in leads], possible[child])
        for node in self.draft.nodes.values():
            self._add_node(assembly, node)
        for tilt in self.draft.tilts:
            self._add_tilt(assembly, tilt)
        for cause, units in self.states.units.items():
            self._add_any(assembly, cause, units)
        self._bound = assembly.bound(many=many)
        self._columns = assembly.columns

    def _add_node(self, assembly: Assembly, node: Node) -> None:
        asked = [asks for asks in node.parents if not isinstance(asks.source, int) or asks.source in self._causes]
        parents = tuple(map(self._parent, asked))
        if not node.variable:
            assembly.add_node(MaxNode(node.values, parents, node.end, self._bad(node.doubts)))
            return
        own = assembly.variable(len(node.values), None if node.doubts else node.end)
        self._variables[node.key] = own
        assembly.add_node(MaxNode(node.values, parents, same(len(node.values)), (own,)))
        if node.doubts:
            # What was seen is told apart by value and by what is bad, so that what is asked next can be.
            cells = node.end.size // node.end.shape[-1]
            told = assembly.variable(cells, node.end.reshape(cells, -1))
            self._variables["told", *node.key] = told
            apart = np.eye(cells).reshape(*node.end.shape[:-1], cells, 1)
            assembly.add((own, *self._bad(node.doubts), told), apart)

    def _doubts(self, assembly: Assembly) -> dict[Key, int]:
        """A variable for each doubt that bears on something: good, bad."""
        bearing = {id for node in self.draft.nodes.values() for id in node.doubts}
        bearing.update(id for tilt in self.draft.tilts for id in tilt.doubts)
        return {
            ("bad", doubt.id): assembly.variable(2, np.array([[1 - doubt.chance], [doubt.chance]]), shared=True)
            for doubt in self.draft.evidence.doubts
            if doubt.id in bearing
        }

    def _bad(self, doubts: Sequence[str]) -> tuple[int, ...]:
        return tuple(self._variables["bad", id] for id in doubts)

    def _add_tilt(self, assembly: Assembly, tilt: Tilt) -> None:
        if tilt.cause is None:
            assembly.add(self._bad(tilt.doubts), tilt.table[0])
        elif tilt.cause in self._causes:
            of_classes = tilt.table[self._first_state[tilt.cause]]
            assembly.add((self._causes[tilt.cause], *self._bad(tilt.doubts)), of_classes)

    def _add_presence(
        self, assembly: Assembly, child: int, pushes: Sequence[Parent], possible: NDArray[np.bool_]
    ) -> None:
        """A cause that others lead to: there if one of them made it, else with its base chance."""
        pushed = possible.astype(float)
        end = np.array([[self._not_there[child], self._there[child]], [1 - pushed, pushed]])
        kinds = [self.draft.asking.there[child].row[state] for state in self._first_state[child]]
        assembly.add_node(MaxNode(((0,), (1,)), tuple(pushes), end[:, kinds], (self._causes[child],)))

    def _add_any(self, assembly: Assembly, cause: int, units: Sequence[int]) -> None:
        """What a cause drawn several times is by all its draws together: the worst, when brought in and now."""
        bound = [unit for unit in units if unit in self._causes]
        own = assembly.variable(len(KINDS))
        self._variables["any", self.model.causes[cause]] = own
        kinds = [self._kinds(unit) for unit in bound]
        table = np.zeros((*(len(of_unit) for of_unit in kinds), len(KINDS), 1))
        for classes in product(*(range(len(of_unit)) for of_unit in kinds)):
            chosen = [of_unit[c] for of_unit, c in zip(kinds, classes, strict=True)] or [(ABSENT, ABSENT)]
            worst = max(first for first, _ in chosen), max(now for _, now in chosen)
            table[(*classes, KINDS.index(worst), 0)] = 1.0
        assembly.add((*(self._causes[unit] for unit in bound), own), table)

    def _kinds(self, unit: int) -> list[tuple[int, int]]:
        """Of each class of a unit, its kind when brought in and now."""
        states = [int(self.states.starts[unit]) + first for first in self._first_state[unit]]
        return [(int(self.states.kind[s]), int(self.states.kind_now[s])) for s in states]

    def _parent(self, asks: Asks[int | Key]) -> Parent:
        """What is asked, by class of states."""
        if isinstance(asks.source, int):
            return Parent(self._causes[asks.source], asks.table.take(self._taken[asks.source], axis=0))
        return Parent(self._variables[asks.source], asks.table)


def _base(model: Model, evidence: Evidence, entered: Entered) -> tuple[Array, NDArray[np.bool_]]:
    """Log-odds of base chances after history, and whether the cause is possible at all: both [draws, C, B].

    Summed in the order of groups, so that the order of entry does not show in the last digit.
    """
    told = sorted(zip(evidence.history, entered.history, strict=True), key=lambda pair: (pair[0].group, pair[0].draw))
    possible = np.ones((1 + len(evidence.redraws), len(model.causes), entered.history.shape[1]), bool)
    for item, is_in in told:
        for id in item.impossible:
            possible[_draw(evidence, item, id), model.index[id]] &= ~is_in
    drawn = [np.repeat(model.log_odds[:, None], possible.shape[2], axis=1)]
    drawn += [first_chances(model, redraw, possible[n]) for n, redraw in enumerate(evidence.redraws, start=1)]
    log_odds = np.stack(drawn)
    for item, is_in in told:
        for id, decibans in item.decibans.items():
            for cause in model.causes_of(id):
                draw = _draw(evidence, item, model.causes[cause])
                log_odds[draw, cause] += is_in * decibans * NATURAL_PER_DECIBAN
    return log_odds, possible


def _draw(evidence: Evidence, item: HistoryEvidence, cause: str) -> int:
    """The draw of a cause that a history answer speaks of."""
    return item.draw if item.draw and cause in evidence.redraws[item.draw - 1].causes else 0
