"""The states of every cause in one case: absent, quiet or leaking, and which act, if any, ends it.

An act ends "present" and "leaking" together, by one coin for each act and cause, for all that follows.
So a state is a kind and the number of epochs that it lasts, and no coin needs a variable of its own.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from leakdx.reasoning.compiled import Array, Model
from leakdx.reasoning.evidence import ActEvidence

ABSENT, QUIET, LEAKING = 0, 1, 2


class States(Struct, frozen=True):
    """All states of all causes in one row of N, those of a cause together.

    ``owner``: the cause; ``kind``: ABSENT, QUIET or LEAKING when brought in; ``until``: in how many epochs,
    from the first, it is there; ``chance``: given that the cause is present (1 for absent); ``starts``:
    first state of each cause; ``spans``: (kind, until) of each state by cause.
    """

    owner: NDArray[np.intp]
    kind: NDArray[np.intp]
    until: NDArray[np.intp]
    chance: Array
    starts: NDArray[np.intp]
    spans: tuple[tuple[tuple[int, int], ...], ...]
    epochs: int

    @property
    def kind_now(self) -> NDArray[np.intp]:
        """Kind in the last epoch; a cured cause is absent."""
        return np.where(self.until == self.epochs, self.kind, ABSENT)

    def of(self, cause: int) -> slice:
        """The states of one cause."""
        end = self.starts[cause + 1] if cause + 1 < len(self.starts) else len(self.owner)
        return slice(int(self.starts[cause]), int(end))

    def sums(self, states: Array, chosen: NDArray[np.bool_]) -> Array:
        """Sum [N, B] over the ``chosen`` states of each cause: [C, B]."""
        return np.add.reduceat(states * chosen[:, None], self.starts, axis=0)

    def prior(self, log_odds: Array, model: Model) -> Array:
        """Weight of each state [N, B] from the log-odds of its base chance [C, B].

        A cause that others lead to has weight 1 for absent; whether it is there is then a table's matter.
        """
        there, not_there = chances(log_odds)
        pushed = list(model.parents)
        there[pushed] = not_there[pushed] = 1.0
        absent = (self.kind == ABSENT)[:, None]
        return np.where(absent, not_there[self.owner], there[self.owner] * self.chance[:, None])


def chances(log_odds: Array) -> tuple[Array, Array]:
    """(p, 1 - p) of log-odds, each to full precision."""
    with np.errstate(over="ignore"):
        return 1 / (1 + np.exp(-log_odds)), 1 / (1 + np.exp(log_odds))


def case_states(model: Model, acts: Sequence[ActEvidence]) -> States:
    """The states that the acts of a case leave possible."""
    cures: list[list[tuple[int, float]]] = [[] for _ in model.causes]
    for number, act in enumerate(acts):
        for id, chance in act.cures.items():
            for cause in model.causes_of(id):
                if chance > 0:
                    cures[cause].append((number, chance))
    epochs = len(acts) + 1
    rows: list[tuple[int, int, int, float]] = []
    starts = []
    for cause, leaks in enumerate(model.leaks):
        starts.append(len(rows))
        rows.append((cause, ABSENT, 0, 1.0))
        for until, chance in _endings(cures[cause], epochs):
            if leaks < 1:
                rows.append((cause, QUIET, until, (1 - leaks) * chance))
            rows.append((cause, LEAKING, until, leaks * chance))
    owner, kind, until_, chance_ = zip(*rows, strict=True)
    return States(
        np.array(owner, np.intp),
        np.array(kind, np.intp),
        np.array(until_, np.intp),
        np.array(chance_),
        np.array(starts, np.intp),
        tuple(tuple(row[1:3] for row in rows[start:end]) for start, end in pairwise([*starts, len(rows)])),
        epochs,
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
