"""Doubt by adding up: every way in which doubted things may be good or bad, each enumerated for itself.

While one of the things that an answer relies on is bad, the answer comes as often as after the complaint alone,
whatever is so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import product

from tests.published.reference import enumeration
from tests.published.reference.enumeration import Posterior, Row
from tests.published.reference.reader import Meaning, Story

Seen = tuple[str, int, tuple[float, ...]]


def by_chance(meaning: Meaning, base: Mapping[str, float], story: Story, seen: Seen) -> float:
    """How likely an answer is after the complaint alone."""
    alone = Story(story.complaint)
    weight = enumeration.posterior(meaning, base, alone).weight
    told = enumeration.posterior(meaning, base, replace(alone, seen=((seen[0], 0, seen[2]),)))
    return told.weight / weight


def posterior(
    meaning: Meaning, base: Mapping[str, float], story: Story, doubts: Mapping[str, float], relies: Sequence[set[str]]
) -> Posterior:
    """Every marginal. ``doubts``: thing -> chance that it is bad; ``relies``: of each answer, the things it needs."""
    chances = [by_chance(meaning, base, story, seen) for seen in story.seen]
    found: list[Row] = []
    for states in product((False, True), repeat=len(doubts)):
        weight = 1.0
        for is_bad, chance in zip(states, doubts.values(), strict=True):
            weight *= chance if is_bad else 1 - chance
        bad = {thing for thing, is_bad in zip(doubts, states, strict=True) if is_bad}
        good = tuple(seen for seen, needs in zip(story.seen, relies, strict=True) if not needs & bad)
        for by_itself, needs in zip(chances, relies, strict=True):
            weight *= by_itself if needs & bad else 1.0
        rows = enumeration.rows(meaning, base, replace(story, seen=good))
        found += [(world, out, part * weight) for world, out, part in rows]
    return enumeration.summed(meaning, found)
