"""What an answer says for each way in which the doubted things it relies on may be bad.

A bad one gives each of its answers as often as it would come after the complaint alone, whatever is so.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import exp, log

import numpy as np

from leakdx.knowledge.model import Measure
from leakdx.reasoning.compiled import Model
from leakdx.reasoning.evidence import Evidence, Otherwise
from leakdx.reasoning.measurement import Read, measured_log_likelihood
from leakdx.reasoning.network import Network
from leakdx.reasoning.outlook import outlooks


def expected_answers(model: Model, complaint: str, sign: str) -> tuple[float, ...]:
    """Chance of each outcome of a sign by the complaint alone."""
    network = Network(model, Evidence(complaint, askable=(sign,)))
    (asked,) = outlooks(network, network.totals(), [(sign,)], np.ones((1, len(model.causes), 3)))
    return tuple(float(p) for p in asked.probability)


def doubted_answer(
    likelihood: Sequence[float], relies: Sequence[str], expected: Sequence[float]
) -> tuple[Otherwise, ...]:
    """An answer with this likelihood by outcome: with any of what it relies on bad it is but chance."""
    by_chance = _mean(likelihood, expected)
    return tuple(Otherwise(bad, (by_chance,) * len(likelihood)) for bad in _some_of(relies))


def doubted_readings(
    measure: Measure, values: Sequence[float | Read], relies: Sequence[Sequence[str]], expected: Sequence[float]
) -> tuple[tuple[float, ...], tuple[Otherwise, ...]]:
    """Likelihood (within, beyond) of readings of one true value, and with each set of what they rely on bad.

    Args:
        measure: Of the sign.
        values: The readings, in its unit.
        relies: For each reading, the doubts that bear on it.
        expected: Chance of within and beyond by the complaint alone.
    """
    logs = {bad: _log_likelihood(measure, values, relies, bad, expected) for bad in [(), *_some_of(_all(relies))]}
    top = max(max(pair) for pair in logs.values())
    scaled = {bad: tuple(exp(one - top) for one in pair) for bad, pair in logs.items()}
    return scaled[()], tuple(Otherwise(bad, says) for bad, says in scaled.items() if bad)


def _log_likelihood(
    measure: Measure,
    values: Sequence[float | Read],
    relies: Sequence[Sequence[str]],
    bad: Sequence[str],
    expected: Sequence[float],
) -> tuple[float, float]:
    pairs = list(zip(values, relies, strict=True))
    good = [value for value, own in pairs if not set(own) & set(bad)]
    within, beyond = measured_log_likelihood(measure, good) if good else (0.0, 0.0)
    for value, own in pairs:
        if set(own) & set(bad):
            alone = measured_log_likelihood(measure, [value])
            by_chance = max(alone) + log(_mean([exp(one - max(alone)) for one in alone], expected))
            within, beyond = within + by_chance, beyond + by_chance
    return within, beyond


def _all(relies: Sequence[Sequence[str]]) -> list[str]:
    return sorted({id for own in relies for id in own})


def _some_of(relies: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Every set of these but the empty one, each in order."""
    ids = sorted(relies)
    for count in range(1, len(ids) + 1):
        yield from combinations(ids, count)


def _mean(likelihood: Sequence[float], expected: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(likelihood, expected, strict=True))
