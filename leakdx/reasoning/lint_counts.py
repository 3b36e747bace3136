"""How many causes are expected to leak once a history answer is told, and once two are told.

Shares hold for all axles reported wet together. An answer that lifts many causes a little lifts the count
of causes, and with it how seldom a right single repair seems to hold, without anybody having meant that.
"""

from collections.abc import Iterator
from itertools import combinations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from leakdx.knowledge.faults import Fault
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.compiled import Model
from leakdx.reasoning.evidence import Evidence, HistoryEvidence
from leakdx.reasoning.gather import answer_evidence
from leakdx.reasoning.network import Network
from leakdx.reasoning.nodes import Entered
from leakdx.reasoning.states import LEAKING

MOST = 1.5
"""Mean count above which an answer says more than anybody meant: two such trucks in three would have a second leak."""

Told = tuple[tuple[str, str], ...]
"""(group, answer) pairs told together."""


class MeanCount(Struct, frozen=True):
    """Mean count of leaking causes among axles reported wet, once ``told``; () is the complaint alone."""

    told: Told
    mean: float


def mean_counts(knowledge: Knowledge, model: Model) -> tuple[MeanCount, ...]:
    """For the complaint alone, each answer, and each pair of answers to different questions."""
    answers = [(group, answer) for group, entry in knowledge.history.items() for answer in entry.answers]
    items = tuple(answer_evidence(knowledge, i + 1, g, a) for i, (g, a) in enumerate(answers))
    told = [(), *_told(len(answers), answers)]
    entered = np.zeros((len(items), len(told)), bool)
    for column, numbers in enumerate(told):
        entered[list(numbers), column] = True
    means = _expected(model, knowledge.complaint, items, entered)
    return tuple(
        MeanCount(tuple(answers[n] for n in numbers), float(mean)) for numbers, mean in zip(told, means, strict=True)
    )


def lifts_the_count(knowledge: Knowledge, model: Model) -> Iterator[Fault]:
    """Single answers of the history after which too many causes are expected to leak at once."""
    for count in mean_counts(knowledge, model):
        if len(count.told) == 1 and count.mean > MOST:
            ((group, answer),) = count.told
            wrong = f"once '{group}: {answer}' is told {count.mean:.2f} causes are expected to leak, above {MOST}"
            right = "shift fewer causes by it, or less, so that what rises is balanced by what falls"
            yield hint(knowledge.history[group].at, Hint.LIFTS_THE_COUNT, wrong, right)


def _told(count: int, answers: list[tuple[str, str]]) -> Iterator[tuple[int, ...]]:
    yield from ((n,) for n in range(count))
    yield from (pair for pair in combinations(range(count), 2) if answers[pair[0]][0] != answers[pair[1]][0])


def _expected(
    model: Model,
    complaint: str,
    items: tuple[HistoryEvidence, ...],
    entered: NDArray[np.bool_],
) -> NDArray[np.float64]:
    """Sum of P(leaking) over all causes, for each column of ``entered``."""
    network = Network(model, Evidence(complaint, items), Entered(entered, np.zeros((0, entered.shape[1]), bool)))
    leaking = network.states.sums(network.posterior().states, network.states.kind == LEAKING)
    return np.asarray(leaking.sum(axis=0))
