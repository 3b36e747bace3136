"""The states of every cause in one case: absent, quiet or leaking, and which act, if any, ends it.

An act ends "present" and "leaking" together, by one coin for each act and cause, for all that follows.
So a state is a kind and the epochs in which it is there, and no coin needs a variable of its own. A cause
that a new closing draws afresh has a unit of states for each draw, with coins of its own; any other has one.
"""

from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from leakdx.reasoning.compiled import Array, Model
from leakdx.reasoning.evidence import ActEvidence, Redraw

ABSENT, QUIET, LEAKING = 0, 1, 2


class State(NamedTuple):
    """What one draw of a cause came to, and the epochs from ``start`` to before ``until`` in which it is there."""

    kind: int
    start: int
    until: int

    def at(self, epoch: int) -> int:
        """Its kind in an epoch; what is not there is absent."""
        return self.kind if self.start <= epoch < self.until else ABSENT


class States(Struct, frozen=True):
    """All states of all units in one row of N, those of a unit together.

    Units 0 to C - 1 are the causes, as they were first drawn; later draws follow. ``owner``: the unit;
    ``kind``, ``kind_now``: ABSENT, QUIET or LEAKING when brought in and in the last epoch; ``lasts`` [N, 3]: what
    it came to, and from and until when; ``there``: by its own draw; ``chance``: given that (1 for absent);
    ``starts``: first state of each unit; ``spans``: the states of each unit; ``units``: cause -> its units, where it
    has several; ``drawn``: draws and causes of all units.
    """

    owner: NDArray[np.intp]
    kind: NDArray[np.intp]
    kind_now: NDArray[np.intp]
    lasts: NDArray[np.intp]
    there: NDArray[np.bool_]
    chance: Array
    starts: NDArray[np.intp]
    spans: tuple[tuple[State, ...], ...]
    units: Mapping[int, tuple[int, ...]]
    drawn: tuple[NDArray[np.intp], NDArray[np.intp]]

    def of(self, unit: int) -> slice:
        """The states of one unit."""
        end = self.starts[unit + 1] if unit + 1 < len(self.starts) else len(self.owner)
        return slice(int(self.starts[unit]), int(end))

    def units_of(self, cause: int) -> tuple[int, ...]:
        """The units of a cause."""
        return self.units.get(cause, (cause,))

    def active(self, epochs: Collection[int], leaking: bool) -> NDArray[np.bool_]:
        """Which states are there, or with ``leaking`` leak, in any of these epochs: [N]."""
        kind, start, until = self.lasts.T
        while_there = [(start <= epoch) & (epoch < until) for epoch in epochs]
        found: NDArray[np.bool_] = np.logical_or.reduce(while_there) & (kind >= (LEAKING if leaking else QUIET))
        return found

    def sums(self, states: Array, chosen: NDArray[np.bool_]) -> Array:
        """Sum [N, B] over the ``chosen`` states of each unit: [U, B]."""
        return np.add.reduceat(states * chosen[:, None], self.starts, axis=0)

    def prior(self, there: Array, not_there: Array, led_to: Sequence[int]) -> Array:
        """Weight of each state [N, B] from the base chance of its unit to be there, and not to be: [U, B] each.

        A cause that others lead to has weight 1 for absent; whether it is there at first is then a table's matter.
        """
        at_first = there.copy()
        otherwise = not_there.copy()
        at_first[led_to] = otherwise[led_to] = 1.0
        return np.where(self.there[:, None], at_first[self.owner] * self.chance[:, None], otherwise[self.owner])


def chances(log_odds: Array) -> tuple[Array, Array]:
    """(p, 1 - p) of log-odds, each to full precision."""
    with np.errstate(over="ignore"):
        return 1 / (1 + np.exp(-log_odds)), 1 / (1 + np.exp(log_odds))


def case_states(model: Model, acts: Sequence[ActEvidence], redraws: Sequence[Redraw] = (), first: int = 0) -> States:
    """The states that the acts and closings of a case leave possible. ``first``: the epoch when brought in."""
    cures: list[list[tuple[int, float]]] = [[] for _ in model.causes]
    for number, act in enumerate(acts):
        for id, chance in act.cures.items():
            for cause in model.causes_of(id):
                if chance > 0:
                    cures[cause].append((number, chance))
    epochs = len(acts) + 1
    drawn = [(0, cause, 0) for cause in range(len(model.causes))]
    drawn += [(n, model.index[c], r.epoch) for n, r in enumerate(redraws, start=1) for c in r.causes]
    rows: list[tuple[int, State, float]] = []
    starts = []
    units: dict[int, tuple[int, ...]] = {}
    for unit, (_, cause, start) in enumerate(drawn):
        leaks = float(model.leaks[cause])
        starts.append(len(rows))
        units[cause] = (*units.get(cause, ()), unit)
        rows.append((unit, State(ABSENT, start, epochs), 1.0))
        for until, chance in _endings([cure for cure in cures[cause] if cure[0] >= start], epochs):
            if leaks < 1:
                rows.append((unit, State(QUIET, start, until), (1 - leaks) * chance))
            rows.append((unit, State(LEAKING, start, until), leaks * chance))
    owner, states, chance_ = zip(*rows, strict=True)
    return States(
        np.array(owner, np.intp),
        np.array([state.at(first) for state in states], np.intp),
        np.array([state.at(epochs - 1) for state in states], np.intp),
        np.array(states, np.intp),
        np.array([state.kind != ABSENT for state in states], bool),
        np.array(chance_),
        np.array(starts, np.intp),
        tuple(states[begin:end] for begin, end in pairwise([*starts, len(rows)])),
        {cause: own for cause, own in units.items() if len(own) > 1},
        (np.array([draw for draw, _, _ in drawn], np.intp), np.array([cause for _, cause, _ in drawn], np.intp)),
    )


def _endings(cures: Sequence[tuple[int, float]], epochs: int) -> list[tuple[int, float]]:
    """(number of epochs that it lasts, chance) for each act that may be the first to cure it, and for none."""
    left = 1.0
    endings = []
    for act, chance in cures:
        endings.append((act + 1, left * chance))
        left *= 1 - chance
    if left > 0:
        endings.append((epochs, left))
    return endings
