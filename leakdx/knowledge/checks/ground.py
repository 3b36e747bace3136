"""What the checks stand on: every entry, as far as it could be made, and where it was written."""

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from leakdx.knowledge.actions import Repair, Rule
from leakdx.knowledge.draft import Draft
from leakdx.knowledge.entry import (
    Link,
    Raw,
    Stray,
    Words,
)
from leakdx.knowledge.faults import Code, Fault
from leakdx.knowledge.model import ABNORMAL, NORMAL, Axle, Cause, Check, Group, Opening, Shop, Sign, Zone
from leakdx.knowledge.place_signs import place_sign_ids
from leakdx.mechanics.trade import Trade


class Ground:
    """One fault must not cause others: an entry with a fault of shape is here with blanks, and ``is_sound`` tells.

    Ids inside entries may be wrong: look them up with ``get``.
    """

    def __init__(self, draft: Draft, parts: Mapping[str, Any], unsound: frozenset[tuple[str, str]]) -> None:
        self.draft = draft
        self.unsound = unsound
        self.faults: list[Fault] = []
        self.words: Words | None = parts.get("words")
        self.trade: Trade | None = parts.get("trade")
        self.complaint: str | None = parts.get("complaint")
        self.has_not_listed: bool = parts.get("has_not_listed", True)
        self.zones: Mapping[str, Zone] = parts["zones"]
        self.causes: Mapping[str, Cause] = parts["causes"]
        self.signs: Mapping[str, Sign] = parts["signs"]
        self.history: Mapping[str, Group] = parts["history"]
        self.checks: Mapping[str, Check] = parts["checks"]
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
        """Whether every entry of the kind is sound, so that sums over them mean something."""
        return all(self.is_sound(kind, id) for id in self.draft.ids(kind))

    def is_sound(self, kind: str, id: str) -> bool:
        """Whether an entry has no fault of shape, so that what it lacks was left out on purpose."""
        return (kind, id) not in self.unsound

    @cached_property
    def place_ids(self) -> tuple[str, ...]:
        """Places, and zones that are one."""
        return (*self.draft.ids("places"), *(id for id, zone in self.zones.items() if zone.is_place))

    @cached_property
    def made_signs(self) -> frozenset[str]:
        """Ids of the signs that the loader makes."""
        active = [id for id, zone in self.zones.items() if zone.active]
        return frozenset(place_sign_ids(self.place_ids, active, {id: zone.paths for id, zone in self.zones.items()}))

    def outcomes(self, sign: str) -> tuple[str, ...] | None:
        """Answers of a sign; None where they are not known (no such sign, or it has a fault)."""
        if sign in self.signs and self.is_sound("signs", sign):
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
