"""The signs that nobody writes: wet at a place, oil coming out first at a zone, a trail between them."""

from collections.abc import Iterable, Iterator, Mapping

from leakdx.knowledge.entry import (
    Words,
)
from leakdx.knowledge.model import Place, Sign, Zone

_PLACED = ("somewhere", "under", "below", "above", "behind", "at", "all")
_ARTICLES = ("the", "a", "an", "another")


PREFIXES = ("wet.", "origin.", "trail.")


def wet_sign(place: str) -> str:
    """The sign "seen wet at PLACE"."""
    return f"wet.{place}"


def place_sign_ids(places: Iterable[str], active: Iterable[str], paths: Mapping[str, Iterable[str]]) -> Iterator[str]:
    """The ids of the signs made for these places, active zones and paths."""
    yield from map(wet_sign, places)
    yield from (f"origin.{zone}" for zone in active)
    yield from (f"trail.{zone}.{place}" for zone, tos in paths.items() for place in tos)


def place_signs(words: Words, zones: Mapping[str, Zone], places: Mapping[str, Place]) -> dict[str, Sign]:
    """``wet.PLACE``, ``origin.ZONE`` and ``trail.ZONE.PLACE``; mark and reason are those of the zone or place."""
    return {".".join(sign.place): sign for sign in _made(words, zones, places)}


def _made(words: Words, zones: Mapping[str, Zone], places: Mapping[str, Place]) -> Iterator[Sign]:
    everywhere: dict[str, Zone | Place] = {**{id: zone for id, zone in zones.items() if zone.is_place}, **places}
    for id, place in everywhere.items():
        where = _at(place.name)
        yield _sign(words, place, f"wet {where}", f"Is it wet {where}?", "wet", id)
    for id, zone in zones.items():
        if zone.active:
            where = _at(zone.name)
            yield _sign(words, zone, f"oil comes out first {where}", f"Does oil come out first {where}?", "origin", id)
    for id, zone in zones.items():
        for to, transfer in zone.paths.items():
            start = f"from {_the(zone.name)}" if zone.active else f"({zone.name})"
            way = f"oil {transfer} {start} to {_the(everywhere[to].name)}"
            yield _sign(words, zone, way, f"Do film and streaks show that {way}?", "trail", id, to)


def _sign(words: Words, owner: Zone | Place, name: str, question: str, *place: str) -> Sign:
    return Sign(
        name=name,
        question=question,
        mark=owner.mark,
        reason=owner.reason,
        at=owner.at,
        hangs_on="leaking",
        stray=words.place_signs[place[0]].stray,  # type: ignore[index]  # one of its four keys
        place=place,
    )


def _the(name: str) -> str:
    first = name.split(" ", 1)[0]
    return name if first in (*_ARTICLES, *_PLACED) else f"the {name}"


def _at(name: str) -> str:
    return name if name.split(" ", 1)[0] in _PLACED else f"at {_the(name)}"
