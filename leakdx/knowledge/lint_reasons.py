"""Reasons that give none: too short to say anything, or one text pasted into entry after entry."""

from collections.abc import Iterator, Mapping
from typing import Any

import msgspec

from leakdx.knowledge.faults import Fault
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.model import Knowledge

FEWEST_WORDS = 4
PASTED = 3
"""Entries with the very same reason from which on it counts as pasted."""
_Named = tuple[str, str, str]
"""(what it is a reason of, where that stands, the reason)"""


def thin_reasons(knowledge: Knowledge) -> Iterator[Fault]:
    """Reasons of fewer than four words, and those that stand word for word in three entries or more."""
    found = list(_reasons(knowledge))
    same: dict[str, list[_Named]] = {}
    for name, at, reason in found:
        same.setdefault(_plain(reason), []).append((name, at, reason))
        if len(reason.split()) < FEWEST_WORDS:
            wrong = f"the reason of '{name}' is '{reason}'"
            yield hint(at, Hint.THIN_REASON, wrong, "say in one sentence why a technician should believe it")
    for entries in same.values():
        if len(entries) >= PASTED:
            others = ", ".join(name for name, _, _ in entries[:PASTED])
            wrong = f"the same reason stands {len(entries)} times ({others}{' ...' if len(entries) > PASTED else ''})"
            yield hint(entries[0][1], Hint.THIN_REASON, wrong, "give each the reason that is its own")


def _plain(reason: str) -> str:
    return " ".join(reason.lower().split()).rstrip(".")


def _reasons(knowledge: Knowledge) -> Iterator[_Named]:
    for field in knowledge.__struct_fields__:
        entries = getattr(knowledge, field)
        if isinstance(entries, Mapping):
            for id, entry in entries.items():
                if not getattr(entry, "place", ()):  # made by the loader
                    yield from _of(id, getattr(entry, "at", ""), entry)
    yield from _of("words", knowledge.words.at, knowledge.words)
    if knowledge.trade is not None:
        yield from _of("trade", knowledge.trade.at, knowledge.trade)


def _of(name: str, at: str, value: Any) -> Iterator[_Named]:
    """The reasons in an entry and in what it holds (answers, measured numbers, values of an axle)."""
    if isinstance(value, msgspec.Struct):
        reason = getattr(value, "reason", None)
        if isinstance(reason, str) and at:
            yield name, at, reason
        for field in value.__struct_fields__:
            yield from _of(name, at, getattr(value, field))
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _of(f"{name}: {key}", at, inner)
    elif isinstance(value, tuple):
        for inner in value:
            yield from _of(name, at, inner)
