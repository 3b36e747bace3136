"""What evidence can be had and what it speaks for: causes that no check tells apart, looks that vote twice.

Nothing here needs a posterior: two causes are compared as if each alone leaked.
"""

from collections.abc import Collection, Iterator, Mapping
from itertools import combinations
from math import log10

from leakdx.knowledge.faults import Fault
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.lint import LEAST, TWINS_BELOW, chances, separation
from leakdx.knowledge.model import Cause, Check, Knowledge

TELLS = 1.0
"""Decibans below which all that checks can bring to light does not count as telling two causes apart."""
_SAME_LOOK = 0.8
"""A sign that every cause of a zone shows at least this often ("mostly") says what the zone says."""
_SELDOM = 0.35

Vote = tuple[str, str]


def told_by_checks(knowledge: Knowledge) -> Iterator[Fault]:
    """Pairs of causes that no check, or hardly any, tells apart. Twins by their signs are said elsewhere."""
    for (first, a), (second, b) in combinations(knowledge.causes.items(), 2):
        if told_by_history(knowledge, a, b):
            continue
        signs = obtainable(knowledge, a, b)
        decibans = weight_between(knowledge, a, b, signs)
        same_zone = (a.zone, a.at_zone, a.also_zones) == (b.zone, b.at_zone, b.also_zones)
        if decibans < TELLS and not (same_zone and separation(knowledge, a, b) < 0.01):
            wrong = f"no check tells '{second}' from '{first}': what they bring to light weighs {decibans:.1f} dB"
            yield hint(b.at, Hint.NO_CHECK_TELLS, wrong, "let a check reveal a sign that only one of them shows")
        elif TELLS <= decibans < TWINS_BELOW and not (same_zone and separation(knowledge, a, b) < TWINS_BELOW):
            wrong = f"all checks together weigh {decibans:.1f} dB between '{second}' and '{first}'"
            right = (
                "were one of them missing here the other would stand for it, so look for a sharper check or join them"
            )
            yield hint(b.at, Hint.HIDES_ANOTHER, wrong, right)


def told_by_history(knowledge: Knowledge, a: Cause, b: Cause) -> bool:
    """Whether some question of history leaves only one of the two possible."""
    return any(not set(a.only_if[group]) & set(b.only_if[group]) for group in a.only_if.keys() & b.only_if.keys())


def obtainable(knowledge: Knowledge, a: Cause, b: Cause) -> Collection[str]:
    """Signs that some check reveals which can be made on a truck that could have either cause."""
    found: dict[str, None] = {}
    for check in knowledge.checks.values():
        if _makes_sense(check, a) and _makes_sense(check, b):
            found.update(dict.fromkeys(sign for sign in check.reveals if sign in knowledge.signs))
    return found


def _makes_sense(check: Check, cause: Cause) -> bool:
    return all(set(answers) & set(cause.only_if.get(group, answers)) for group, answers in check.only_if.items())


def weight_between(knowledge: Knowledge, a: Cause, b: Cause, signs: Collection[str]) -> float:
    """Decibans expected between two causes from these signs: written ones together, of place signs the best one.

    Where it is wet, where it comes out and which way it ran are one thing seen thrice.
    """
    written = [s for s in dict.fromkeys((*a.shows, *a.looks, *b.shows, *b.looks)) if s in signs]
    total = sum(_weight(chances(knowledge, a, s), chances(knowledge, b, s)) for s in written)
    places = [s for s in signs if knowledge.signs[s].place]
    best = max((_weight(_at(knowledge, a, s), _at(knowledge, b, s)) for s in places), default=0.0)
    return total + best


def _weight(p: list[float], q: list[float]) -> float:
    return sum((x - y) * 10 * log10(x / y) for x, y in zip(p, q, strict=True)) / 2


def _at(knowledge: Knowledge, cause: Cause, id: str) -> list[float]:
    """Chance of no and yes of a place sign where this cause alone leaks."""
    kind, *where = knowledge.signs[id].place
    strength = next(s for name, s in knowledge.words.place_signs.items() if name == kind)
    so = _wet(knowledge, cause, where[0]) if kind == "wet" else _out(knowledge, cause, where[0])
    if kind == "trail":
        so *= knowledge.words.transfers[knowledge.zones[where[0]].paths[where[1]]]
    yes = 1 - (1 - so * knowledge.link(strength.link)) * (1 - knowledge.stray(strength.stray))
    yes = min(max(yes, LEAST), 1 - LEAST)
    return [1 - yes, yes]


def _out(knowledge: Knowledge, cause: Cause, zone: str) -> float:
    if zone == cause.zone:
        return knowledge.link(cause.at_zone)
    return knowledge.link(cause.also_zones[zone]) if zone in cause.also_zones else 0.0


def _wet(knowledge: Knowledge, cause: Cause, place: str) -> float:
    dry = 1.0
    for id, zone in knowledge.zones.items():
        if id == place and zone.is_place:
            dry *= 1 - _out(knowledge, cause, id)
        elif place in zone.paths:
            dry *= 1 - _out(knowledge, cause, id) * knowledge.words.transfers[zone.paths[place]]
    return 1 - dry


# -- one look, one vote ----------------------------------------------------------------------------------


def votes_twice(knowledge: Knowledge) -> Iterator[Fault]:
    """Observations that reach a cause on two ways, as if two people had seen them."""
    yield from _look_and_place(knowledge)
    yield from _look_and_rule(knowledge)
    yield from _look_and_history(knowledge)


def _look_and_place(knowledge: Knowledge) -> Iterator[Fault]:
    """A check whose one look answers both where it comes out and a sign that says no more than that."""
    said: set[str] = set()
    for check_id, check in knowledge.checks.items():
        for sign in check.reveals:
            if sign in knowledge.history or knowledge.signs[sign].place or sign in said:
                continue
            zone = _zone_said(knowledge, sign)
            places = [s for s in check.reveals if s in knowledge.signs and knowledge.signs[s].place[1:2] == (zone,)]
            if zone is not None and places:
                said.add(sign)
                wrong = f"'{check_id}' answers '{places[0]}' and '{sign}' in one look, and both say that '{zone}' leaks"
                right = "leave the place to the place sign, and let the other say how it looks there"
                yield hint(knowledge.signs[sign].at, Hint.VOTES_TWICE, wrong, right)


def _zone_said(knowledge: Knowledge, sign: str) -> str | None:
    """The one zone whose leaking this sign stands for: all its causes show it mostly, hardly any other does."""
    if knowledge.signs[sign].hangs_on != "leaking":
        return None
    strength = {id: _strength(knowledge, cause, sign) for id, cause in knowledge.causes.items()}
    zones = {knowledge.causes[id].zone for id, link in strength.items() if link >= _SELDOM}
    if len(zones) != 1:
        return None
    (zone,) = zones
    inside = [link for id, link in strength.items() if knowledge.causes[id].zone == zone]
    return zone if all(link >= _SAME_LOOK for link in inside) else None


def _strength(knowledge: Knowledge, cause: Cause, sign: str) -> float:
    words = [cause.shows[sign]] if sign in cause.shows else list(cause.looks.get(sign, {}).values())
    return sum(knowledge.link(word) for word in words)


def _look_and_rule(knowledge: Knowledge) -> Iterator[Fault]:
    """A rule that concludes a sign of a cause from another sign of the same cause: both are entered."""
    spoken_for = _causes_by_sign(knowledge)
    for id, rule in knowledge.rules.items():
        seen = [s for c in rule.when if not c.absent for s in (c.sign, *c.any_sign) if s is not None]
        for conclusion in rule.then:
            if conclusion.sign is None:
                continue
            for sign in seen:
                if _both_places(knowledge, sign, conclusion.sign):
                    continue
                twice = spoken_for.get(sign, frozenset()) & spoken_for.get(conclusion.sign, frozenset())
                if sign != conclusion.sign and twice:
                    wrong = f"'{id}' concludes '{conclusion.sign}' from '{sign}', and both are signs of '{min(twice)}'"
                    right = "let it conclude a finding instead, or take one of the two links out"
                    yield hint(rule.at, Hint.VOTES_TWICE, wrong, right)


def _both_places(knowledge: Knowledge, *signs: str) -> bool:
    """Which of the wet places is the source is more than that each is wet: no second vote."""
    return all(knowledge.signs[sign].place for sign in signs)


def _look_and_history(knowledge: Knowledge) -> Iterator[Fault]:
    """A check whose one look answers a sign of a cause and a question of history that shifts the same cause."""
    for check_id, check in knowledge.checks.items():
        groups = [g for g in check.reveals if g in knowledge.history]
        signs = [s for s in check.reveals if s in knowledge.signs]
        for group in groups:
            shifted = _shifted(knowledge, group)
            for sign in signs:
                twice = shifted & knowledge.shown_by.get(sign, frozenset())
                if twice:
                    wrong = (
                        f"'{check_id}' answers '{group}' and '{sign}' in one look, and both speak for '{min(twice)}'"
                    )
                    right = "ask and look in two checks, or keep the shift or the link but not both"
                    yield hint(check.at, Hint.VOTES_TWICE, wrong, right)


def _shifted(knowledge: Knowledge, group: str) -> frozenset[str]:
    """Causes that some answer of a group makes likelier or less likely."""
    answers = knowledge.history[group].answers.values()
    return frozenset(cause for a in answers for whom in a.shifts for cause in knowledge.members(whom))


def _causes_by_sign(knowledge: Knowledge) -> Mapping[str, frozenset[str]]:
    """Every sign, place signs too -> the causes it is a sign of."""
    found = dict(knowledge.shown_by)
    for id, sign in knowledge.signs.items():
        if sign.place:
            zones = _zones_behind(knowledge, sign.place)
            found[id] = frozenset(c for c, cause in knowledge.causes.items() if zones & {cause.zone, *cause.also_zones})
    return found


def _zones_behind(knowledge: Knowledge, place: tuple[str, ...]) -> set[str]:
    if place[0] != "wet":
        return {place[1]}
    return {id for id, zone in knowledge.zones.items() if id == place[1] or place[1] in zone.paths}
