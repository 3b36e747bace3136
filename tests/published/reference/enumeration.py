"""Posteriors by adding up every joint state, coin by coin, for small knowledges. Slow and plain on purpose.

A *course* is what happened to one thing epoch by epoch: a tuple of ranks (signs) or of truths (places).
Coins are kept through the case, so a course is drawn once and never epoch by epoch.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from tests.published.reference.reader import Cause, Meaning, Story

ABSENT, QUIET, LEAKING = 0, 1, 2
Course = tuple[int, ...]
Spread = dict[Course, float]
"""Course -> probability."""
Reading = tuple[int, tuple[float, ...]]
"""An epoch, and the likelihood of each rank then."""
World = Mapping[str, Course]
"""Cause -> its state in each epoch."""


@dataclass(frozen=True)
class Posterior:
    """Chances per cause and zone, now and when brought in, and the weight of the evidence."""

    leaking: dict[str, float]
    leaking_first: dict[str, float]
    present: dict[str, float]
    present_first: dict[str, float]
    zones: dict[str, float]
    zones_first: dict[str, float]
    weight: float

    @property
    def by_cause(self) -> tuple[dict[str, float], ...]:
        """Leaking now, leaking first, present now, present first."""
        return self.leaking, self.leaking_first, self.present, self.present_first


def base_chance(base: Mapping[str, float], story: Story, cause: str) -> float:
    """The base chance of presence, shifted by the history's decibans on its odds."""
    if cause in story.impossible:
        return 0.0
    odds = base[cause] / (1 - base[cause]) * 10 ** (story.decibans.get(cause, 0.0) / 10)
    return odds / (1 + odds)


def first_states(meaning: Meaning, base: Mapping[str, float], story: Story) -> Iterator[tuple[dict[str, int], float]]:
    """Every joint first state of all causes, with its probability."""

    def extend(states: dict[str, int], chance: float, left: tuple[str, ...]) -> Iterator[tuple[dict[str, int], float]]:
        if not left:
            yield states, chance
            return
        cause = meaning.causes[left[0]]
        absent = 1 - base_chance(base, story, cause.id)
        for parent, strength in meaning.parents(cause.id).items():
            absent *= 1 - strength if states[parent] != ABSENT else 1
        if cause.id in story.impossible:
            absent = 1.0
        spread = (absent, (1 - absent) * (1 - cause.leaks), (1 - absent) * cause.leaks)
        for state, part in enumerate(spread):
            if part > 0:
                yield from extend({**states, cause.id: state}, chance * part, left[1:])

    return extend({}, 1.0, meaning.elders_first)


def worlds(meaning: Meaning, base: Mapping[str, float], story: Story) -> Iterator[tuple[World, float]]:
    """Every course of every cause through the acts of the case: one coin per (act, cause)."""
    for states, chance in first_states(meaning, base, story):
        spreads = [_cured(state, [cures.get(c, 0.0) for cures, _ in story.acts]) for c, state in states.items()]
        for courses in product(*(spread.items() for spread in spreads)):
            weight = chance
            for _, part in courses:
                weight *= part
            yield {c: course for c, (course, _) in zip(states, courses, strict=True)}, weight


def _cured(state: int, cures: Iterable[float]) -> Spread:
    spread: Spread = {(state,): 1.0}
    for cure in cures:
        after: Spread = {}
        for course, chance in spread.items():
            if course[-1] == ABSENT:
                _add(after, (*course, ABSENT), chance)
                continue
            _add(after, (*course, ABSENT), chance * cure)
            _add(after, (*course, course[-1]), chance * (1 - cure))
        spread = after
    return spread


def _add(spread: Spread, course: Course, chance: float) -> None:
    if chance > 0:
        spread[course] = spread.get(course, 0.0) + chance


def _highest(spread: Spread, other: Spread) -> Spread:
    """The course of the higher of two independent things, epoch by epoch."""
    both: Spread = {}
    for a, p in spread.items():
        for b, q in other.items():
            _add(both, tuple(map(max, a, b)), p * q)
    return both


def _asks(active: Course, chances: Mapping[int, float]) -> Spread:
    """The ranks that a parent asks for, one kept coin for the whole case, seen while it is active."""
    spread: Spread = {}
    for rank, chance in chances.items():
        _add(spread, tuple(rank * on for on in active), chance)
    _add(spread, tuple(0 for _ in active), 1 - sum(chances.values()))
    return spread


def _strays(strays: tuple[float, ...], fresh: Iterable[bool]) -> Spread:
    """Strays through the epochs: drawn anew in those that are ``fresh``, kept from the one before in others."""
    spread: Spread = {(): 1.0}
    for anew in fresh:
        after: Spread = {}
        for course, chance in spread.items():
            if anew or not course:
                for rank, stray in enumerate(strays):
                    _add(after, (*course, rank), chance * stray)
            else:
                _add(after, (*course, course[-1]), chance)
        spread = after
    return spread


def fresh_strays(meaning: Meaning, story: Story, sign: str) -> list[bool]:
    """In which epochs a sign's stray is drawn anew: always for a leak sign, when renewed for a condition sign."""
    if sign not in meaning.signs or meaning.signs[sign].hangs_on == "leaking":
        return [True] * story.epochs
    return [True, *(sign in renewed for _, renewed in story.acts)]


def sign_courses(meaning: Meaning, story: Story, sign: str, world: World) -> Spread:
    """What would be seen of a written sign in every epoch, given what happened to the causes."""
    stated = meaning.signs[sign]
    spread = _strays(stated.strays, fresh_strays(meaning, story, sign))
    for cause in meaning.causes.values():
        if sign in cause.shows:
            spread = _highest(spread, _asks(_active(world[cause.id], stated.hangs_on), cause.shows[sign]))
    return spread


def _active(course: Course, hangs_on: str) -> Course:
    return tuple(int(state == LEAKING or (hangs_on == "present" and state == QUIET)) for state in course)


def zone_courses(causes: Iterable[Cause], zone: str, world: World) -> Spread:
    """Whether oil comes out at a zone in every epoch: an OR of the causes that leak there."""
    spread: Spread = {tuple(0 for _ in next(iter(world.values()))): 1.0}
    for cause in causes:
        if zone in cause.lets_out:
            spread = _highest(spread, _asks(_active(world[cause.id], "leaking"), {1: cause.lets_out[zone]}))
    return spread


def outs_worlds(meaning: Meaning, world: World) -> Iterator[tuple[World, float]]:
    """Every course of "oil comes out" at all zones, given what happened to the causes."""
    spreads = [zone_courses(meaning.causes.values(), zone, world) for zone in meaning.zones]
    for drawn in product(*(spread.items() for spread in spreads)):
        chance = 1.0
        for _, part in drawn:
            chance *= part
        yield {zone: course for zone, (course, _) in zip(meaning.zones, drawn, strict=True)}, chance


def places_weight(meaning: Meaning, story: Story, out: World) -> float:
    """P(reported wet at the complaint, and every place sign as seen), given where oil comes out."""
    seen = [("reported." + story.complaint, 0, (0.0, 1.0)), *(s for s in story.seen if s[0] not in meaning.signs)]
    asked = {sign.split(".")[-1] for sign, _, _ in seen}
    wetting = [z for z in meaning.zones.values() if any(out[z.id])]
    paths = [(zone.id, place, word) for zone in wetting for place, word in zone.paths.items() if place in asked]
    total = 0.0
    for coins in product((0, 1), repeat=len(paths)):
        weight = 1.0
        running: dict[tuple[str, str], Course] = {}
        for (zone, place, word), coin in zip(paths, coins, strict=True):
            weight *= word if coin else 1 - word
            running[zone, place] = tuple(coin * on for on in out[zone])
        total += weight * _place_signs(meaning, seen, out, running)
    return total


def _place_course(
    meaning: Meaning, node: tuple[str, ...], out: World, running: Mapping[tuple[str, str], Course]
) -> Course:
    """The course of ("origin", zone), ("trail", zone, place) or ("wet" / "reported", place)."""
    dry = tuple(0 for _ in next(iter(out.values())))
    if node[0] == "origin":
        return out[node[1]]
    if node[0] == "trail":
        return running.get((node[1], node[2]), dry)
    own = [out[node[1]]] if node[1] in meaning.zones and meaning.zones[node[1]].is_place else []
    reaching = [course for (_, place), course in running.items() if place == node[1]]
    return tuple(map(max, dry, dry, *own, *reaching))


def _place_signs(
    meaning: Meaning,
    seen: list[tuple[str, int, tuple[float, ...]]],
    out: World,
    running: Mapping[tuple[str, str], Course],
) -> float:
    """P(what was seen), given the courses of zones, paths and wet places: one kept link coin per sign."""
    weight = 1.0
    for sign in dict.fromkeys(s for s, _, _ in seen):
        node = tuple(sign.split("."))
        on = _place_course(meaning, node, out, running)
        readings = tuple((epoch, chances) for s, epoch, chances in seen if s == sign)
        weight *= _place_sign(on, meaning.place_signs[node[0]], readings)
    return weight


@lru_cache(maxsize=4096)
def _place_sign(on: Course, strength: tuple[float, float], seen: tuple[Reading, ...]) -> float:
    """P(what was seen of one place sign), given its course; ``strength``: (link, stray)."""
    link, stray = strength
    return likely(_highest(_asks(on, {1: link}), _strays((1 - stray, stray), [True] * len(on))), seen)


def likely(spread: Spread, seen: Iterable[Reading]) -> float:
    """Expected likelihood of what was seen, over the courses of one sign."""
    readings = list(seen)
    total = 0.0
    for course, chance in spread.items():
        for epoch, chances in readings:
            chance *= chances[course[epoch]]
        total += chance
    return total


def signs_weight(meaning: Meaning, story: Story, world: World) -> float:
    """P(every written sign as seen), given what happened to the causes."""
    weight = 1.0
    for sign in dict.fromkeys(s for s, _, _ in story.seen if s in meaning.signs):
        spread = sign_courses(meaning, story, sign, world)
        weight *= likely(spread, ((epoch, chances) for s, epoch, chances in story.seen if s == sign))
    return weight


Row = tuple[World, World, float]
"""What happened to the causes, where oil came out, and the probability of it together with all that was seen."""


def rows(meaning: Meaning, base: Mapping[str, float], story: Story) -> list[Row]:
    """Every way that what was seen can have come about."""
    found: list[Row] = []
    by_out: dict[tuple[Course, ...], float] = {}
    for world, chance in worlds(meaning, base, story):
        signs = chance * signs_weight(meaning, story, world)
        for out, part in outs_worlds(meaning, world) if signs > 0 else ():
            key = tuple(out.values())
            if key not in by_out:
                by_out[key] = places_weight(meaning, story, out)
            found.append((world, out, signs * part * by_out[key]))
    return found


def posterior(meaning: Meaning, base: Mapping[str, float], story: Story) -> Posterior:
    """Every marginal, by full enumeration."""
    return summed(meaning, rows(meaning, base, story))


def summed(meaning: Meaning, found: Iterable[Row]) -> Posterior:
    """Every marginal of the rows."""
    leaking, leaked, present, was_present = (dict.fromkeys(meaning.causes, 0.0) for _ in range(4))
    zones, zones_first = (dict.fromkeys(meaning.zones, 0.0) for _ in range(2))
    total = 0.0
    for world, out, weight in found:
        total += weight
        for cause, course in world.items():
            leaking[cause] += weight * (course[-1] == LEAKING)
            leaked[cause] += weight * (course[0] == LEAKING)
            present[cause] += weight * (course[-1] != ABSENT)
            was_present[cause] += weight * (course[0] != ABSENT)
        for zone, course in out.items():
            zones[zone] += weight * course[-1]
            zones_first[zone] += weight * course[0]
    now, first, there, was_there, out_now, out_first = (
        {k: v / total for k, v in part.items()} for part in (leaking, leaked, present, was_present, zones, zones_first)
    )
    return Posterior(now, first, there, was_there, out_now, out_first, total)


def expect(found: Iterable[Row], now: Mapping[str, Sequence[float]]) -> float:
    """E[product over causes of ``now[cause][state in the last epoch]``] under the posterior."""
    total = product_sum = 0.0
    for world, _, weight in found:
        total += weight
        for cause, multipliers in now.items():
            weight *= multipliers[world[cause][-1]]
        product_sum += weight
    return product_sum / total
