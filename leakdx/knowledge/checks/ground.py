"""What the checks stand on: every entry that could be made, every id that was written, and where."""

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from leakdx.knowledge.draft import Draft
from leakdx.knowledge.faults import Code, Fault
from leakdx.knowledge.model import (
    ABNORMAL,
    NORMAL,
    Axle,
    Cause,
    Group,
    Link,
    Opening,
    Raw,
    Repair,
    Rule,
    Shop,
    Sign,
    Stray,
    Words,
    Zone,
)
from leakdx.knowledge.place_signs import place_sign_ids
from leakdx.knowledge.reader import Fields


class Ground:
    """Entries with a fault of shape are missing here but their ids are known, so one fault does not cause others.

    Ids inside the entries may still be wrong: look them up with ``get``.
    """

    def __init__(self, draft: Draft, parts: Mapping[str, Any]) -> None:
        self.draft = draft
        self.faults: list[Fault] = []
        self.words: Words | None = parts.get("words")
        self.complaint: str | None = parts.get("complaint")
        self.has_not_listed: bool = parts.get("has_not_listed", True)
        self.zones: Mapping[str, Zone] = parts["zones"]
        self.causes: Mapping[str, Cause] = parts["causes"]
        self.signs: Mapping[str, Sign] = parts["signs"]
        self.history: Mapping[str, Group] = parts["history"]
        self.openings: Mapping[str, Opening] = parts["openings"]
        self.repairs: Mapping[str, Repair] = parts["repairs"]
        self.rules: Mapping[str, Rule] = parts["rules"]
        self.axles: Mapping[str, Axle] = parts["axles"]
        self.shops: Mapping[str, Shop] = parts["shops"]
        self.only_if: Mapping[str, Mapping[str, Any]] = {kind: parts[kind] for kind in ("causes", "checks", "repairs")}
        """Kinds whose entries have ``only_if``."""

    def fault(self, code: Code, wrong: str, right: str, kind: str, id: str, *path: str | int) -> None:
        """Notes a fault at a field of an entry; ``path`` leads to it through keys and list numbers."""
        spot = self.draft.spot(kind, id, *(str(step) for step in path))
        self.faults.append(Fault(spot, code, wrong, right))

    def is_whole(self, kind: str) -> bool:
        """Whether every entry of the kind could be made, so that sums over them mean something."""
        return len(getattr(self, kind)) == len(self.draft.ids(kind))

    @cached_property
    def place_ids(self) -> tuple[str, ...]:
        """Places, and zones that are one (a zone with a fault counts as one)."""
        zones = (id for id in self.draft.ids("zones") if id not in self.zones or self.zones[id].is_place)
        return (*self.draft.ids("places"), *zones)

    @cached_property
    def made_signs(self) -> frozenset[str]:
        """Ids of the signs that the loader makes."""
        active = [id for id in self.draft.ids("zones") if id not in self.zones or self.zones[id].active]
        paths = {id: self._path_ids(id) for id in self.draft.ids("zones")}
        return frozenset(place_sign_ids(self.place_ids, active, paths))

    def _path_ids(self, zone: str) -> tuple[str, ...]:
        value = self.draft.entries["zones"][zone].value
        paths = value.get("paths") if isinstance(value, Fields) else None
        return tuple(key.text for key, _ in paths.pairs) if isinstance(paths, Fields) else ()

    def outcomes(self, sign: str) -> tuple[str, ...] | None:
        """Answers of a sign; None where they are not known (no such sign, or it has a fault)."""
        if sign in self.signs:
            return self.signs[sign].outcomes
        return (NORMAL, ABNORMAL) if sign in self.made_signs else None

    def link(self, strength: Link) -> float | None:
        """Probability behind a link, None where its word is not known."""
        if isinstance(strength, Raw):
            return strength.value
        if strength in ("always", "surely"):
            return 1.0
        return None if self.words is None else self.words.links.get(strength)

    def stray(self, strength: Stray | None) -> float | None:
        """Probability behind a stray, None where its word is not known."""
        if strength is None:
            return 0.0
        if isinstance(strength, Raw):
            return strength.value
        return None if self.words is None else self.words.strays.get(strength)
