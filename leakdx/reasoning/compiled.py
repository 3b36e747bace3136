"""Knowledge as numbers: what the builders of factors need, with the words already looked up.

Causes are numbered in the order of the knowledge, "not listed here" last; it is given its weak links
here and is from then on a cause like any other.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct, structs
from numpy.typing import NDArray

from leakdx.knowledge.model import NOT_LISTED, Knowledge, Sign

Array = NDArray[np.float64]
Strength = tuple[int, float]
"""A cause's number and a probability."""


class SignLinks(Struct, frozen=True):
    """A written sign. ``parents``: (cause, chance of asking for each outcome, the first being "for none").

    ``stray``: chance of each outcome with nothing behind it. ``leaking``: hangs on leaking, not on present.
    ``none`` [C]: chance that a cause asks for nothing.
    """

    parents: tuple[tuple[int, Array], ...]
    stray: Array
    leaking: bool
    none: Array

    def asking(self, parents: tuple[tuple[int, Array], ...]) -> "SignLinks":
        """The same with other chances by its causes."""
        none = self.none.copy()
        for cause, asks in parents:
            none[cause] = asks[0]
        return structs.replace(self, parents=parents, none=none)


class PlaceLinks(Struct, frozen=True):
    """How well a place sign shows what is so: chance of "yes" given it, and of a stray "yes"."""

    link: float
    stray: Array


class Model(Struct, frozen=True, kw_only=True):
    """Compiled knowledge. ``log_odds``: [C] of the base chance that a cause is there, in natural units.

    ``zone_causes``: zone -> the causes that let oil out there. ``into``: place -> the zones with a path to
    it, a zone that is itself the place first, at strength 1. ``on_first_drive``: chance that what takes a
    path has come to its end by the drive after a wash.
    """

    knowledge: Knowledge
    causes: tuple[str, ...]
    index: Mapping[str, int]
    shares: Array
    leaks: Array
    log_odds: Array
    zones: tuple[str, ...]
    zone_causes: Mapping[str, tuple[Strength, ...]]
    into: Mapping[str, tuple[tuple[str, float], ...]]
    on_first_drive: float
    parents: Mapping[int, tuple[Strength, ...]]
    families: tuple[str, ...]
    members: Mapping[str, tuple[int, ...]]
    signs: Mapping[str, SignLinks]
    places: Mapping[str, PlaceLinks]

    @property
    def complaint(self) -> str:
        """The place that shares are stated for."""
        return self.knowledge.complaint

    def causes_of(self, cause_or_family: str) -> tuple[int, ...]:
        """Numbers of the causes meant by an id; "not listed here" only by its own."""
        if cause_or_family in self.index:
            return (self.index[cause_or_family],)
        return tuple(self.index[c] for c in self.knowledge.family_members[cause_or_family])

    def with_log_odds(self, log_odds: Array) -> "Model":
        """The same model with other base chances."""
        return structs.replace(self, log_odds=log_odds)


def compile_links(knowledge: Knowledge) -> Model:
    """Everything but the base chances, which stand at the shares until they are solved."""
    causes = (*knowledge.causes, *((NOT_LISTED,) if knowledge.has_not_listed else ()))
    index = {c: i for i, c in enumerate(causes)}
    shares = [c.share for c in knowledge.causes.values()]
    leaks = [knowledge.link(c.leaks) for c in knowledge.causes.values()]
    if knowledge.has_not_listed:
        shares.append(knowledge.words.not_listed.share)
        leaks.append(1.0)
    chances = np.array(shares) / 100
    soon = knowledge.words.on_first_drive
    return Model(
        knowledge=knowledge,
        causes=causes,
        index=index,
        shares=chances,
        leaks=np.array(leaks),
        log_odds=np.log(chances / (1 - chances)),
        zones=tuple(knowledge.zones),
        zone_causes=_zone_causes(knowledge, index),
        into=_paths_into(knowledge),
        on_first_drive=1.0 if soon is None else knowledge.link(soon),
        parents=_parents(knowledge, index),
        families=tuple(knowledge.families),
        members=_members(knowledge, index),
        signs=_signs(knowledge, index),
        places={
            kind: PlaceLinks(knowledge.link(strength.link), _yes_no(knowledge.stray(strength.stray)))
            for kind, strength in knowledge.words.place_signs.items()
        },
    )


def _zone_causes(knowledge: Knowledge, index: Mapping[str, int]) -> dict[str, tuple[Strength, ...]]:
    """Not listed first, since it touches every zone."""
    found: dict[str, list[Strength]] = {zone: [] for zone in knowledge.zones}
    if knowledge.has_not_listed:
        words = knowledge.words.not_listed
        for id, zone in knowledge.zones.items():
            if id == words.zone:
                found[id].append((index[NOT_LISTED], knowledge.link(words.joint)))
            elif id in words.also:
                found[id].append((index[NOT_LISTED], knowledge.link(words.also[id])))
            elif zone.active and id not in words.nowhere:
                found[id].append((index[NOT_LISTED], words.elsewhere))
    for id, cause in knowledge.causes.items():
        found[cause.zone].append((index[id], knowledge.link(cause.at_zone)))
        for zone_id, word in cause.also_zones.items():
            if zone_id == cause.zone:
                continue
            found[zone_id].append((index[id], knowledge.link(word)))
    return {zone: tuple(strengths) for zone, strengths in found.items()}


def _paths_into(knowledge: Knowledge) -> dict[str, tuple[tuple[str, float], ...]]:
    found: dict[str, list[tuple[str, float]]] = {place: [] for place in (*knowledge.zones, *knowledge.places)}
    for id, zone in knowledge.zones.items():
        if zone.is_place:
            found[id].append((id, 1.0))
    for id, zone in knowledge.zones.items():
        for place, word in zone.paths.items():
            found[place].append((id, knowledge.words.transfers[word]))
    return {place: tuple(paths) for place, paths in found.items()}


def _parents(knowledge: Knowledge, index: Mapping[str, int]) -> dict[int, tuple[Strength, ...]]:
    found: dict[int, list[Strength]] = {}
    for id, cause in knowledge.causes.items():
        for child, word in cause.leads_to.items():
            found.setdefault(index[child], []).append((index[id], knowledge.link(word)))
    return {child: tuple(parents) for child, parents in found.items()}


def _members(knowledge: Knowledge, index: Mapping[str, int]) -> dict[str, tuple[int, ...]]:
    members = {f: tuple(index[c] for c in causes) for f, causes in knowledge.family_members.items()}
    if knowledge.has_not_listed:
        own = knowledge.words.not_listed.family
        members[own] = (*members[own], index[NOT_LISTED])
    return members


def _signs(knowledge: Knowledge, index: Mapping[str, int]) -> dict[str, SignLinks]:
    """Written signs; not listed is the first parent of each."""
    written = {id: sign for id, sign in knowledge.signs.items() if not sign.place}
    parents: dict[str, list[tuple[int, Array]]] = {id: [] for id in written}
    if knowledge.has_not_listed:
        for id, sign in written.items():
            abnormal = len(sign.outcomes) - 1
            asks = np.full(abnormal, knowledge.words.not_listed.elsewhere / abnormal)
            parents[id].append((index[NOT_LISTED], with_none(asks)))
    for cause_id, cause in knowledge.causes.items():
        for id, word in cause.shows.items():
            parents[id].append((index[cause_id], _yes_no(knowledge.link(word))))
        for id, words in cause.looks.items():
            abnormal_outcomes = written[id].outcomes[1:]
            asks = np.array([knowledge.link(words[o]) if o in words else 0.0 for o in abnormal_outcomes])
            parents[id].append((index[cause_id], with_none(asks)))
    found = {}
    for id, sign in written.items():
        none = np.ones(len(index))
        for parent, asked in parents[id]:
            none[parent] = asked[0]
        leaking = sign.hangs_on == "leaking"
        found[id] = SignLinks(tuple(parents[id]), with_none(_strays(knowledge, sign)), leaking, none)
    return found


def _strays(knowledge: Knowledge, sign: Sign) -> Array:
    """Chance of each abnormal outcome with nothing behind it."""
    if sign.results:
        return np.array([knowledge.stray(result.stray) for result in list(sign.results.values())[1:]])
    return np.array([knowledge.stray(sign.stray)])


def with_none(chances: Array) -> Array:
    """Chances of the abnormal outcomes, with what is left for the normal one in front."""
    return np.concatenate([[max(0.0, 1.0 - chances.sum())], chances])  # rounding may leave a hair below nought


def _yes_no(chance: float) -> Array:
    return np.array([1.0 - chance, chance])
