"""What causes ask of zones and signs, by the knowledge and the acts of a case alone, whatever was seen.

Each is worked out when it is first needed and kept as long as the states are: before any act, with the knowledge.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache
from typing import Generic, NamedTuple, TypeVar

import numpy as np

from leakdx.reasoning.compiled import Array, Model
from leakdx.reasoning.evidence import Evidence
from leakdx.reasoning.maxnode import Value, Values, closure
from leakdx.reasoning.states import LEAKING, QUIET, State, States, case_states

Key = tuple[str, ...]
"""("out", zone), ("run", zone, place), ("wet", place) or ("sign", id).

Beside nodes: ("bad", doubt), ("told", *key of a node), ("any", cause).
"""
Source = int | Key
"""The number of a cause's unit of states, or the node that a contribution comes from."""
S_co = TypeVar("S_co", bound=Source, covariant=True)
Epochs = tuple[int, ...]
Span = tuple[int, int]
"""Positions in a node's epochs (from, to)."""
Ranks = tuple[tuple[int, ...], ...]
"""For each epoch, rank -> the lowest rank that is as good as it, or -1 for it and all above it."""
NEVER: Span = (0, 0)


class Asks(NamedTuple, Generic[S_co]):
    """What a source asks of a node: ``table`` [its states or values, V]. Rows with the same ``row`` are the same."""

    source: S_co
    table: Array
    row: tuple[int, ...]

    @classmethod
    def of(cls, source: S_co, table: Array) -> "Asks[S_co]":  # type: ignore[misc]
        """Of a table whose rows are still to be compared."""
        found: dict[bytes, int] = {}
        return cls(source, table, tuple([found.setdefault(row.tobytes(), len(found)) for row in table]))


class Asked(NamedTuple, Generic[S_co]):
    """Values of a node and what is asked of it. ``whole``: no value that could be asked for was left out."""

    values: Values
    parents: tuple[Asks[S_co], ...]
    whole: bool = True


class Asking:
    """What each unit of a cause asks, in each of its states."""

    def __init__(self, model: Model, states: States) -> None:
        self.model = model
        self.states = states
        self._cause_of = states.drawn[1][states.owner]
        self._known_spans: dict[tuple[Epochs, bool], list[list[Span]]] = {}
        self._known_silent: dict[tuple[str, Epochs], Array] = {}
        self._known_zones: dict[tuple[str, Epochs], Asked[int]] = {}
        self._known_signs: dict[tuple[str, Epochs, Ranks], Asked[int]] = {}

    def zone(self, zone: str, epochs: Epochs) -> Asked[int]:
        """Of whether oil comes out of a zone."""
        found = self._known_zones.get((zone, epochs))
        if found is None:
            causes = self.model.zone_causes[zone]
            chances = [(cause, np.array([1 - strength, strength])) for cause, strength in causes]
            found = self._known_zones[zone, epochs] = self._asked(chances, epochs, leaking=True)
        return found

    def sign(self, id: str, epochs: Epochs, alike: Ranks) -> Asked[int]:
        """Of a written sign whose ranks are ``alike`` to what was seen."""
        found = self._known_signs.get((id, epochs, alike))
        if found is None:
            links = self.model.signs[id]
            whole = self._asked(links.parents, epochs, leaking=links.leaking)
            found = self._known_signs[id, epochs, alike] = _coarsened(whole, alike)
        return found

    def silent(self, id: str, epochs: Epochs) -> Array:
        """Chance [N, 1] that a state asks for nothing of a written sign in any of these epochs."""
        found = self._known_silent.get((id, epochs))
        if found is None:
            links = self.model.signs[id]
            active = self.states.active(epochs, links.leaking)
            found = self._known_silent[id, epochs] = np.where(active, links.none[self._cause_of], 1.0)[:, None]
        return found

    @cached_property
    def there(self) -> tuple[Asks[int], ...]:
        """Of each unit of a cause, whether it is there when brought in: no, yes."""
        tables = np.stack([~self.states.there, self.states.there], axis=1).astype(float)
        return tuple(Asks.of(unit, tables[self.states.of(unit)]) for unit in range(len(self.states.spans)))

    @cached_property
    def leads(self) -> Mapping[int, tuple[tuple[int, Asks[int]], ...]]:
        """Cause that others lead to -> each of those, and what it asks of whether that is there when brought in."""
        return {
            child: tuple((parent, self._leads(parent, strength)) for parent, strength in parents)
            for child, parents in self.model.parents.items()
        }

    def _leads(self, parent: int, strength: float) -> Asks[int]:
        there = self.there[parent]
        return there._replace(table=there.table @ np.array([[1.0, 0.0], [1 - strength, strength]]))

    def _asked(self, asks: Sequence[tuple[int, Array]], epochs: Epochs, *, leaking: bool) -> Asked[int]:
        """Of a node over ``epochs``.

        Args:
            asks: (cause, chance of asking for each rank).
            epochs: Of the node.
            leaking: A cause is active while it leaks, not while it is there.
        """
        spans = self._spans(epochs, leaking=leaking)
        of_units = []
        for cause, chance in asks:
            likely = tuple((rank, c) for rank, c in enumerate(chance.tolist()) if c > 0)
            of_units += [(unit, likely, spans[unit]) for unit in self.states.units_of(cause)]
        reached = {(rank, span) for _, likely, own in of_units for span in set(own) for rank, _ in likely}
        values, where = _reachable(frozenset(reached), len(epochs))
        parents = []
        for unit, likely, own in of_units:
            rows = dict[Span, list[float]]()
            for span in set(own):
                row = rows[span] = [0.0] * len(values)
                for rank, c in likely:
                    row[where[rank, span]] += c
            parents.append(Asks.of(unit, np.array([rows[span] for span in own])))
        return Asked(values, tuple(parents))

    def _spans(self, epochs: Epochs, *, leaking: bool) -> list[list[Span]]:
        """For each state of each unit, the positions in ``epochs`` in which it is there, or leaks."""
        found = self._known_spans.get((epochs, leaking))
        if found is None:
            least = LEAKING if leaking else QUIET
            found = [
                [_span(epochs, state) if state.kind >= least else NEVER for state in states]
                for states in self.states.spans
            ]
            self._known_spans[epochs, leaking] = found
        return found


class _After:
    """A compiled knowledge and what was done since, as a key; another is the same only if it is of those very ones."""

    def __init__(self, model: Model, evidence: Evidence) -> None:
        self.model = model
        self.acts = evidence.acts
        self.redraws = evidence.redraws
        self.first_epoch = evidence.first_epoch
        self._key = id(model), id(evidence.acts), id(evidence.redraws), evidence.first_epoch

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _After) and self._key == other._key


def case_asking(model: Model, evidence: Evidence) -> Asking:
    """What causes ask in a case, kept for other evidence after the same acts."""
    return _asking(_After(model, evidence))


@lru_cache(maxsize=8)
def _asking(after: _After) -> Asking:
    return Asking(after.model, case_states(after.model, after.acts, after.redraws, after.first_epoch))


def _coarsened(asked: Asked[int], alike: Ranks) -> Asked[int]:
    """With ranks that are alike as one, and without those ruled out."""
    values, parents, _ = asked
    if all(low == rank for own in alike for rank, low in enumerate(own)):
        return asked
    mapped = [tuple(own[rank] for own, rank in zip(alike, value, strict=True)) for value in values]
    kept = tuple(sorted({value for value in mapped if -1 not in value}))
    if not kept or len(kept) == len(values):
        return asked
    onto = np.array([[value == one for one in kept] for value in mapped], float)
    left_out = [-1 in value for value in mapped]
    whole = not any(asks.table[:, left_out].any() for asks in parents)
    return Asked(kept, tuple(Asks.of(asks.source, asks.table @ onto) for asks in parents), whole)


def _span(epochs: Epochs, state: State) -> Span:
    """Positions in ``epochs`` in which a state is there."""
    start, end = bisect_left(epochs, state.start), bisect_left(epochs, state.until)
    return (start, end) if start < end else NEVER


@lru_cache(maxsize=512)
def _reachable(asked: frozenset[tuple[int, Span]], size: int) -> tuple[Values, Mapping[tuple[int, Span], int]]:
    """Values that a node over so many epochs can take, and which of them each (rank, span) asked for is."""
    asks_for = {one: _over(*one, size) for one in asked}
    values = closure({(0,) * size, *asks_for.values()})
    return values, {one: values.index(value) for one, value in asks_for.items()}


def _over(rank: int, span: Span, size: int) -> Value:
    start, end = span
    return (0,) * start + (rank,) * (end - start) + (0,) * (size - end)
