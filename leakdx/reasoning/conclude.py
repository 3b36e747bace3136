"""From posterior chances to what a colleague would say: where, which family, which cause, how clear."""

import math
from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.answer import ClearAt, LikelySet, NoneOfThese
from leakdx.reasoning.ties import likeliest_first

CLEAR = 0.6
RAISED_DECIBANS = 3.0
CLOSE_DECIBANS = 6.0
MOST_BETWEEN = 3
FIRST_OF_UNDECIDED = 5
NONE_OF_THESE = 0.1
TINY = 1e-12
SETS_OF = 6
LARGEST_SET = 3
SETS_SHOWN = 5


def decibans(chance: float) -> float:
    """10 log10 of the odds; kept finite at 0 and 1."""
    kept = min(max(chance, TINY), 1 - TINY)
    return 10 * math.log10(kept / (1 - kept))


def clear_at(
    knowledge: Knowledge,
    causes: Mapping[str, float],
    families: Mapping[str, tuple[float, float]],
    zones: Mapping[str, tuple[float, float]],
) -> ClearAt:
    """The finest clear level. Families and zones come with their chance before this case's observations.

    A zone or family counts only when observations raised it: after "wet at the joint" alone the joint
    stands high, and nothing is known yet.
    """
    leader = max(causes, key=causes.__getitem__)
    if causes[leader] >= CLEAR:
        return ClearAt("cause", leader, knowledge.name(leader), causes[leader])
    family = _raised(families)
    if family is not None:
        return ClearAt("family", family, knowledge.name(family), families[family][0])
    zone = _raised(zones)
    if zone is not None:
        return ClearAt("zone", zone, knowledge.name(zone), zones[zone][0])
    return ClearAt("none", None, None, None)


def _raised(chances: Mapping[str, tuple[float, float]]) -> str | None:
    """The likeliest that stands clear and was raised by what was seen in this case."""
    clear = [
        id
        for id, (now, before) in chances.items()
        if now >= CLEAR and decibans(now) - decibans(before) > RAISED_DECIBANS
    ]
    return max(clear, key=lambda id: chances[id][0], default=None)


def undecided_between(causes: Sequence[tuple[str, float]]) -> tuple[str, ...]:
    """``causes`` likeliest first. Two or three within 6 dB of the first; else the first five; clear: none."""
    first = causes[0][1]
    if first >= CLEAR:
        return ()
    close = [c for c, p in causes if p > 0 and decibans(first) - decibans(p) <= CLOSE_DECIBANS]
    if 2 <= len(close) <= MOST_BETWEEN:
        return tuple(close)
    return tuple(c for c, _ in causes[:FIRST_OF_UNDECIDED])


def set_masks(leaking: NDArray[np.float64]) -> tuple[list[tuple[int, ...]], NDArray[np.float64]]:
    """Sets of the likeliest causes and their multipliers [S, C, 3]: exactly these leak, all others do not."""
    likely = [int(i) for i in likeliest_first(leaking)[:SETS_OF]]
    sets = [s for n in range(LARGEST_SET + 1) for s in combinations(sorted(likely), n)]
    masks = np.ones((len(sets), len(leaking), 3))
    masks[:, :, 2] = 0.0
    for row, members in enumerate(sets):
        for i in members:
            masks[row, i] = (0.0, 0.0, 1.0)
    return sets, masks


def likely_sets(
    causes: Sequence[str], sets: Sequence[tuple[int, ...]], chances: NDArray[np.float64]
) -> tuple[LikelySet, ...]:
    """The likeliest sets, first things first."""
    order = likeliest_first(chances)[:SETS_SHOWN]
    return tuple(LikelySet(tuple(causes[i] for i in sets[k]), float(chances[k])) for k in order)


def none_of_these(causes: Mapping[str, float]) -> NoneOfThese:
    """The honest answer to a truck that this knowledge does not know."""
    chance = causes.get(NOT_LISTED, 0.0)
    return NoneOfThese(chance > NONE_OF_THESE, chance)


def contributors(
    knowledge: Knowledge, cause: str, present: Mapping[str, float], raised_by: Mapping[str, Mapping[str, float]]
) -> tuple[str, ...]:
    """Parents of the cause that are more likely there than not, and history groups that raised it."""
    parents = [c for c, entry in knowledge.causes.items() if cause in entry.leads_to and present[c] > 0.5]
    history = [group for group, shifts in raised_by.items() if shifts.get(cause, 0.0) > 0]
    return tuple(parents + history)
