"""What would change it: the smallest sets of answers, not yet given or given otherwise, that unseat the choice.

Every change is tried by diagnosing the truck with it, rules and all, so nothing is said that was not seen to be so.
How much is tried is counted in trucks diagnosed, never in seconds: the answer is the same on every machine.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from math import inf

import numpy as np
from msgspec import Struct, structs

from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.supposed import Change, changes, span, tried

PAIRS_TRIED = 400
Choice = str | tuple[str, ...]
"""A leading cause, or the actions of the best repair path."""


class Unseats(Struct, frozen=True):
    """Answers that together change the choice, none of them enough by itself.

    ``then``: what is chosen instead, with ``chance``: that it leaked first, or that the repair holds.
    ``minutes`` (low, high): until those not yet given are had. ``likely``: the chance that a single look shows this;
    None where it was answered already or is told, and for several together.
    """

    changed: tuple[Change, ...]
    then: Choice
    chance: float
    minutes: tuple[float, float]
    likely: float | None = None

    @property
    def is_otherwise(self) -> bool:
        """Whether it takes that something was answered wrongly."""
        return any(change.entry for change in self.changed)


class Unseating(Struct, frozen=True):
    """What would change the leader and the repair, cheapest first. ``tried`` trucks were diagnosed for it.

    ``pairs``, ``pairs_tried``: how many pairs of changes there are, and how many of them were tried.
    """

    leader: tuple[Unseats, ...]
    repair: tuple[Unseats, ...]
    tried: int
    pairs: int = 0
    pairs_tried: int = 0


class _Tried(Struct, frozen=True):
    """One change with what came of it. ``gain``: decibans by which the strongest rival came nearer, leader and path."""

    changed: tuple[Change, ...]
    leader: tuple[str, float]
    repair: tuple[tuple[str, ...], float]
    gap: float


def unseating(diagnosis: Diagnosis, most_pairs: int = PAIRS_TRIED, among: Sequence[Change] | None = None) -> Unseating:
    """Every single answer, and pairs of those that change nothing by themselves, the most promising first.

    A pair is only a smallest set where neither of its two changes the same choice alone, so those are left out.
    ``among``: only these answers; None: all that are possible.
    """
    alone = tuple(_try_all(diagnosis, ((change,) for change in (changes(diagnosis) if among is None else among))))
    now = _choices(diagnosis)
    quiet = [one for one in alone if one.leader[0] == now.leader[0] or one.repair[0] == now.repair[0]]
    pairs = [(a, b) for a, b in combinations(quiet, 2) if not _same_answer(a.changed[0], b.changed[0])]
    # The nearer each alone brought the rival, the more the two promise together.
    pairs.sort(key=lambda pair: (pair[0].gap + pair[1].gap, pair[0].changed, pair[1].changed))
    together = tuple(_try_all(diagnosis, ((a.changed[0], b.changed[0]) for a, b in pairs[:most_pairs])))
    found = _unseating(diagnosis, alone, together)
    return Unseating(found.leader, found.repair, found.tried, len(pairs), min(len(pairs), most_pairs))


def how_likely(diagnosis: Diagnosis, among: Iterable[Change]) -> Mapping[Change, float]:
    """The chance that a look still to be had shows this; what was answered already, or is told, has none."""
    looks = [change for change in among if not change.entry and change.id in diagnosis.knowledge.signs]
    signs = list(dict.fromkeys(change.id for change in looks))
    anything = np.ones((1, len(diagnosis.belief.causes), 3))
    found = {}
    for sign, seen in zip(signs, diagnosis.belief.outlook([(sign,) for sign in signs], anything), strict=True):
        found.update({(sign, *answer): float(p) for answer, p in zip(seen.answers, seen.probability, strict=True)})
    return {change: found[change.id, change.answer] for change in looks}


def _same_answer(one: Change, other: Change) -> bool:
    return one.id == other.id


def _try_all(diagnosis: Diagnosis, sets: Iterable[tuple[Change, ...]]) -> Iterator[_Tried]:
    for changed, made in tried(diagnosis, sets):
        yield _choices(made, changed, diagnosis)


def _choices(made: Diagnosis, changed: tuple[Change, ...] = (), before: Diagnosis | None = None) -> _Tried:
    causes, priced = made.causes, made.planner.priced
    best = priced.best_first()[0] if priced.paths else None
    repair = ((), 0.0) if best is None else (priced.paths[best].actions, float(priced.hold[best]))
    leader = causes[0]
    was = leader.id if before is None else before.causes[0].id
    standing = next(c.leaking_first for c in causes if c.id == was)
    rival = max((c.leaking_first for c in causes if c.id != was), default=0.0)
    gap = decibans(standing) - decibans(rival) if rival else inf
    return _Tried(changed, (leader.id, leader.leaking_first), repair, gap)


def _unseating(diagnosis: Diagnosis, alone: Sequence[_Tried], pairs: Sequence[_Tried] = ()) -> Unseating:
    now = _choices(diagnosis)
    leader, repair = (
        _smallest(diagnosis, [(t.changed, getattr(t, name)) for t in (*alone, *pairs)], getattr(now, name)[0])
        for name in ("leader", "repair")
    )
    likely = how_likely(diagnosis, (u.changed[0] for u in (*leader, *repair) if len(u.changed) == 1))

    def told(found: Sequence[Unseats]) -> tuple[Unseats, ...]:
        return tuple(structs.replace(u, likely=likely.get(u.changed[0])) if len(u.changed) == 1 else u for u in found)

    return Unseating(told(leader), told(repair), len(alone) + len(pairs))


def _smallest(
    diagnosis: Diagnosis, tried: Sequence[tuple[tuple[Change, ...], tuple[Choice, float]]], now: Choice
) -> tuple[Unseats, ...]:
    """Those that change the choice and hold no smaller one that does; the cheapest first, then the surest."""
    found: list[Unseats] = []
    enough: set[Change] = set()
    for changed, (then, chance) in tried:
        if then != now and enough.isdisjoint(changed):
            found.append(Unseats(changed, then, chance, span(diagnosis, changed)))
            if len(changed) == 1:
                enough.update(changed)
    return tuple(sorted(found, key=lambda u: (len(u.changed), u.is_otherwise, sum(u.minutes), -u.chance, u.changed)))
