"""What is sound but looks wrong: hints for whoever keeps the knowledge, each with its place.

What needs a posterior (how the mean count moves with an answer of the history) stands a floor higher.
"""

from collections.abc import Callable, Iterator, Mapping
from itertools import combinations, pairwise
from math import log10
from typing import Any

import msgspec
import msgspec.inspect as mi

from leakdx.knowledge.checks.shares import sum_of_shares
from leakdx.knowledge.convert import struct_type
from leakdx.knowledge.faults import Fault, in_order
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.model import Cause, Knowledge, Sign

_HOLDS = 0.88
"""Share of single repairs that hold where nothing else leaked: cure, closing and quiet causes together."""
TWINS_BELOW = 6.0
"""Decibans that all signs together are expected to give between two causes."""
LEAST = 1e-4
"""Chances are kept this far from 0 and 1 when two causes are compared."""
_KINDS_TO_USE = ("instruments", "cautions", "openings", "acts", "findings", "sources")


def lint(knowledge: Knowledge) -> tuple[Fault, ...]:
    """All hints, in the order of the files."""
    return in_order(found for look in LOOKS for found in look(knowledge))


def mean_count(knowledge: Knowledge) -> float:
    """Mean count of leaking causes per axle that is reported wet."""
    not_listed = knowledge.words.not_listed.share if knowledge.has_not_listed else 0.0
    return sum_of_shares(knowledge.causes.values(), not_listed) / 100


def holds_about(mean: float) -> float:
    """How often a right single repair holds at that mean count: ``mean - 1`` leak elsewhere too (own derivation)."""
    return _HOLDS * (2 - mean)


def _say_mean_count(knowledge: Knowledge) -> Iterator[Fault]:
    mean = mean_count(knowledge)
    wrong = f"the shares sum to {100 * mean:.1f}, so {mean:.3f} causes leak in an axle that is reported wet"
    right = (
        f"a right single repair then holds in about {100 * holds_about(mean):.0f} of 100, would that many come back?"
    )
    yield hint(knowledge.words.at, Hint.MEAN_COUNT, wrong, right)


def _unused_signs(knowledge: Knowledge) -> Iterator[Fault]:
    shown = {sign for cause in knowledge.causes.values() for sign in (*cause.shows, *cause.looks)}
    ruled = {
        sign
        for rule in knowledge.rules.values()
        for part in rule.when
        for sign in (part.sign, part.reading, *part.any_sign)
        if sign is not None
    }
    revealed = {sign for check in knowledge.checks.values() for sign in check.reveals}
    for id, sign in knowledge.signs.items():
        if sign.place:
            continue
        if id not in shown and id not in ruled:
            right = "let a cause show it, or take it out"
            yield hint(sign.at, Hint.UNUSED_SIGN, f"no cause shows '{id}' and no rule asks for it", right)
        if id not in revealed and sign.worked_out is None:
            right = "name it in the check that brings it to light, or take it out"
            yield hint(sign.at, Hint.NO_CHECK, f"no check reveals '{id}'", right)
    for id, group in knowledge.history.items():
        if id not in revealed and not group.fitted:
            right = "name it in the check that asks for it, or take it out"
            yield hint(group.at, Hint.NO_CHECK, f"no check asks for '{id}'", right)


def _twins(knowledge: Knowledge) -> Iterator[Fault]:
    for (first, a), (second, b) in combinations(knowledge.causes.items(), 2):
        if (a.zone, a.at_zone, a.also_zones) != (b.zone, b.at_zone, b.also_zones):
            continue
        decibans = separation(knowledge, a, b)
        if decibans < 0.01:
            right = "give one of them a sign that the other does not show, or join them"
            yield hint(b.at, Hint.NOT_TOLD_APART, f"no sign tells '{second}' from '{first}'", right)
        elif decibans < TWINS_BELOW:
            wrong = f"'{second}' and '{first}' are near twins: all signs together weigh {decibans:.1f} dB between them"
            yield hint(b.at, Hint.NEAR_TWINS, wrong, "they will hide each other, so sharpen a sign or join them")


def separation(knowledge: Knowledge, a: Cause, b: Cause) -> float:
    """Decibans expected between two causes that leak where every sign is answered, mean of both being true."""
    signs = dict.fromkeys((*a.shows, *a.looks, *b.shows, *b.looks))
    total = 0.0
    for id in signs:
        p, q = chances(knowledge, a, id), chances(knowledge, b, id)
        total += sum((x - y) * 10 * log10(x / y) for x, y in zip(p, q, strict=True)) / 2
    return total


def chances(knowledge: Knowledge, cause: Cause, id: str) -> list[float]:
    """Chance of each outcome of a sign where this cause alone leaks, the normal one first."""
    sign = knowledge.signs[id]
    asked = dict(cause.looks.get(id, {}))
    if id in cause.shows:
        asked[sign.outcomes[1]] = cause.shows[id]
    links = [knowledge.link(asked[outcome]) if outcome in asked else 0.0 for outcome in sign.outcomes]
    strays = [_stray(knowledge, sign, outcome) for outcome in sign.outcomes]
    links[0], strays[0] = 1 - sum(links), 1 - sum(strays)
    up_to = [sum(links[:upper]) * sum(strays[:upper]) for upper in range(len(links) + 1)]
    return [min(max(high - low, LEAST), 1 - LEAST) for low, high in pairwise(up_to)]


def _stray(knowledge: Knowledge, sign: Sign, outcome: str) -> float:
    if outcome == sign.outcomes[0]:
        return 0.0
    return knowledge.stray(sign.results[outcome].stray if sign.results else sign.stray)


def _unused_words(knowledge: Knowledge) -> Iterator[Fault]:
    used = named(knowledge)
    for table in ("links", "strays", "shifts", "transfers"):
        words = used.get(f"words.{table}", set())
        heads = {word.rsplit(" ", 1)[0] for word in words} if table == "shifts" else words
        for word in getattr(knowledge.words, table):
            if word not in heads:
                yield hint(
                    knowledge.words.at, Hint.UNUSED_WORD, f"nothing uses the word '{word}' of {table}", "take it out"
                )


def _unused_entries(knowledge: Knowledge) -> Iterator[Fault]:
    used = named(knowledge)
    marks = used.get("marks", set())
    for kind in _KINDS_TO_USE:
        names = marks if kind == "sources" else used.get(kind, set())
        for id, entry in getattr(knowledge, kind).items():
            if id not in names:
                yield hint(entry.at, Hint.UNUSED_ENTRY, f"nothing names '{id}' of {kind}", "use it or take it out")


def _never_stated(knowledge: Knowledge) -> Iterator[Fault]:
    stated = {part.finding for rule in knowledge.rules.values() for part in rule.then}
    for id, rule in knowledge.rules.items():
        for part in rule.when:
            if part.finding is not None and part.finding not in stated:
                wrong = f"'{id}' stands on the finding '{part.finding}', which no rule states"
                yield hint(
                    rule.at, Hint.NEVER_STATED, wrong, "write the rule that states it, or take the condition out"
                )


def _no_repair(knowledge: Knowledge) -> Iterator[Fault]:
    cured = {c for repair in knowledge.repairs.values() for meant in repair.cures for c in knowledge.members(meant)}
    for id, cause in knowledge.causes.items():
        if id not in cured:
            wrong = f"no repair cures '{id}', so where it leads nothing but asking the axle maker is left"
            yield hint(cause.at, Hint.NO_REPAIR, wrong, "let a repair cure it, or write one")


def named(knowledge: Knowledge) -> Mapping[str, set[str]]:
    """kind -> ids (or words, or marks) of it that some entry names."""
    found: dict[str, set[str]] = {}
    for field in struct_type(Knowledge).fields:
        _walk(getattr(knowledge, field.name), field.type, found)
    return found


def _walk(value: Any, type_: mi.Type, found: dict[str, set[str]]) -> None:
    """Follows a value along its type and notes every reference on the way."""
    if isinstance(type_, mi.Metadata):
        for kind in (type_.extra or {}).get("ref", ()):
            found.setdefault(kind, set()).add(value)
        _walk(value, type_.type, found)
    elif isinstance(type_, mi.UnionType):
        for option in type_.types:
            bare = option.type if isinstance(option, mi.Metadata) else option
            if isinstance(bare, mi.StructType) == isinstance(value, msgspec.Struct) and value is not None:
                _walk(value, option, found)
    elif isinstance(type_, mi.StructType):
        for field in type_.fields:
            _walk(getattr(value, field.name), field.type, found)
    elif isinstance(type_, mi.DictType):
        for key, inner in value.items():
            _walk(key, type_.key_type, found)
            _walk(inner, type_.value_type, found)
    elif isinstance(type_, mi.VarTupleType):
        for inner in value:
            _walk(inner, type_.item_type, found)


LOOKS: tuple[Callable[[Knowledge], Iterator[Fault]], ...] = (
    _say_mean_count,
    _unused_signs,
    _twins,
    _unused_words,
    _unused_entries,
    _never_stated,
    _no_repair,
)
