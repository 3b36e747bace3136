"""Small knowledges made in Python, a few words each, for tests of the belief."""

from collections.abc import Mapping, Sequence
from typing import Any

from leakdx.knowledge.actions import Repair
from leakdx.knowledge.entry import (
    NotListedWords,
    PlaceSign,
    Raw,
    Words,
)
from leakdx.knowledge.model import NOT_LISTED, Cause, Check, Family, Knowledge, Opening, Result, Shop, Sign, Zone
from leakdx.knowledge.model import Place as PlaceEntry
from leakdx.knowledge.place_signs import place_signs
from leakdx.marks import FROM_MEMORY
from leakdx.reasoning.evidence import SignEvidence
from leakdx.reasoning.repair import Means

JOINT = "joint"
SAID: dict[str, Any] = {"mark": FROM_MEMORY, "reason": "for a test"}


def raw(value: float) -> Raw:
    """A number in place of a word."""
    return Raw(value, FROM_MEMORY, "for a test")


def links(strengths: Mapping[str, float]) -> dict[str, Raw]:
    """Numbers in place of words."""
    return {id: raw(value) for id, value in strengths.items()}


def cause(
    share: float = 10.0,
    *,
    leaks: float = 1.0,
    zone: str = JOINT,
    at_zone: float = 1.0,
    family: str = "all",
    also: Mapping[str, float] | None = None,
    shows: Mapping[str, float] | None = None,
    looks: Mapping[str, Mapping[str, float]] | None = None,
    leads_to: Mapping[str, float] | None = None,
) -> Cause:
    """A cause; its share in percent."""
    return Cause(
        name="a cause",
        mark=FROM_MEMORY,
        reason="for a test",
        plain="a cause",
        family=family,
        share=share,
        leaks=raw(leaks),
        zone=zone,
        at_zone=raw(at_zone),
        also_zones=links(also or {}),
        shows=links(shows or {}),
        looks={sign: links(words) for sign, words in (looks or {}).items()},
        leads_to=links(leads_to or {}),
    )


def sign(stray: float, *, hangs_on: str = "leaking") -> Sign:
    """A sign that is so or not."""
    return Sign(name="a sign", mark=FROM_MEMORY, reason="for a test", hangs_on=hangs_on, stray=raw(stray))  # type: ignore[arg-type]


def look(strays: Mapping[str, float | None], *, hangs_on: str = "present") -> Sign:
    """A look with ordered results; the first has no stray."""
    results = {id: Result(name=id, stray=None if value is None else raw(value)) for id, value in strays.items()}
    return Sign(name="a look", mark=FROM_MEMORY, reason="for a test", hangs_on=hangs_on, results=results)  # type: ignore[arg-type]


def zone(paths: Mapping[str, float] | None = None, *, is_place: bool = True, active: bool = True) -> tuple[Any, ...]:
    """A zone to be: (paths, is_place, active)."""
    return (dict(paths or {}), is_place, active)


def knowledge(
    causes: Mapping[str, Cause],
    signs: Mapping[str, Sign] | None = None,
    *,
    zones: Mapping[str, tuple[Any, ...]] | None = None,
    places: Sequence[str] = (),
    reported: tuple[float, float] = (0.95, 0.001),
    wet: tuple[float, float] = (0.95, 0.001),
    origin: tuple[float, float] = (0.95, 0.001),
    trail: tuple[float, float] = (0.95, 0.001),
    on_first_drive: float | None = None,
    not_listed: tuple[float, float, float] | None = None,
    complaint: str = JOINT,
    hash: str = "",
) -> Knowledge:
    """A knowledge without rules. ``not_listed``: (share in percent, link to the joint, elsewhere)."""
    zones = zones or {JOINT: zone()}
    transfers: dict[str, float] = {}
    entries: dict[str, Zone] = {}
    for id, (paths, is_place, active) in zones.items():
        words = {place: f"{id} to {place}" for place in paths}
        transfers |= {words[place]: strength for place, strength in paths.items()}
        entries[id] = Zone(
            name=id, mark=FROM_MEMORY, reason="for a test", paths=words, is_place=is_place, active=active
        )
    place_entries = {id: PlaceEntry(name=id, mark=FROM_MEMORY, reason="for a test") for id in places}
    share, to_joint, elsewhere = not_listed or (1.0, 0.5, 0.05)
    words_ = Words(
        links={},
        strays={},
        shifts={},
        transfers=transfers,
        place_signs={
            kind: PlaceSign(raw(strength[0]), raw(strength[1]))  # type: ignore[misc]
            for kind, strength in {"reported": reported, "wet": wet, "origin": origin, "trail": trail}.items()
        },
        not_listed=NotListedWords("not listed", "unlisted", share, JOINT, raw(to_joint), elsewhere),
        on_first_drive=None if on_first_drive is None else raw(on_first_drive),
        mark=FROM_MEMORY,
        reason="for a test",
    )
    families = {c.family: None for c in causes.values()} | ({"unlisted": None} if not_listed else {})
    empty: dict[str, Any] = {}
    return Knowledge(
        hash=hash,
        words=words_,
        sources=empty,
        zones=entries,
        places=place_entries,
        families={f: Family(name=f, mark=FROM_MEMORY, reason="for a test") for f in families},
        causes=causes,
        signs={**(signs or {}), **place_signs(words_, entries, place_entries)},
        history=empty,
        instruments=empty,
        cautions=empty,
        openings=empty,
        acts=empty,
        checks=empty,
        repairs=empty,
        findings=empty,
        rules=empty,
        axles=empty,
        shops=empty,
        complaint=complaint,
        has_not_listed=not_listed is not None,
    )


def yes(sign: str, epoch: int = 0, entry: int = 1) -> SignEvidence:
    """A sure yes."""
    return SignEvidence(entry, sign, epoch, (0.0, 1.0))


def no(sign: str, epoch: int = 0, entry: int = 1) -> SignEvidence:
    """A sure no."""
    return SignEvidence(entry, sign, epoch, (1.0, 0.0))


def repair(
    cures: Mapping[str, float] | None = None, *, minutes: float = 0.0, hours: float = 0.0, **fields: Any
) -> Repair:
    """A repair action that takes so many minutes of work and hours of waiting."""
    return Repair(
        name="a repair",
        plain="a repair",
        cures=links(cures or {}),
        minutes=(minutes, minutes),
        elapsed_hours=(hours, hours),
        proof="dry",
        recheck="look again",
        **fields,
        **SAID,
    )


def opening(minutes: float = 0.0, *, hours: float = 0.0, needs: tuple[str, ...] = ()) -> Opening:
    """An opening that takes so many minutes of work and hours of waiting."""
    return Opening(name="an opening", minutes=(minutes, minutes), elapsed_hours=hours, needs=needs, **SAID)


def check(*reveals: str, minutes: float = 0.0, **fields: Any) -> Check:
    """A check that takes so many minutes."""
    return Check(
        name="a check", question="so?", how=("look",), minutes=(minutes, minutes), reveals=reveals, **fields, **SAID
    )


def shop(**fields: Any) -> Shop:
    """A shop in which a minute of labour costs 1 and one of the truck's time 1 as well."""
    plain: dict[str, Any] = {
        "name": "a shop",
        "currency": "$",
        "labour_rate": 60.0,
        "downtime_rate": 60.0,
        "comeback_cost": 800.0,
        "stop_and_ask_price": 2500.0,
        "second_visit_minutes": 30.0,
        "floor_minutes": 30.0,
        "quiet_starts": 0.15,
        "new_leak": {"gasket": 0.03, "sealant": 0.06},
        "recheck_days": 14,
    }
    return Shop(**{**plain, **fields}, **SAID)


def means(k: Knowledge, shop_: Shop | None = None, **fields: Any) -> Means:
    """What may be done to a closed truck of which nothing is told and for which no rule speaks."""
    nothing: dict[str, Any] = {
        "causes": (*k.causes, *([NOT_LISTED] if k.has_not_listed else [])),
        "history": {},
        "forbidden": (),
        "required": (),
        "put_right": (),
        "open_now": frozenset(),
    }
    return Means(knowledge=k, shop=shop_ or shop(), **{**nothing, **fields})
