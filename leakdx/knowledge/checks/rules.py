"""Conditions and conclusions of rules, and the order in which rules may stand on each other."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from leakdx.knowledge.actions import STRATA, Conclusion, Condition, Rule
from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code

_PREMISES = (
    "sign", "any_sign", "reading", "arc", "history", "finding", "act", "open", "complaint", "doubted", "returned",
    "established", "excluded",
)  # fmt: skip
_WITH_ANSWERS = ("sign", "any_sign", "reading", "history")

_COMPANIONS: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "finding": ((), ()),
    "sign": (("is",), ()),
    "history": (("is",), ()),
    "establish": ((), ()),
    "exclude": ((), ()),
    "forbid": (("scope", "say"), ("of", "other")),
    "hold": (("before",), ("record",)),
    "require": ((), ()),
    "put_right": (("say",), ()),
    "caution": ((), ()),
    "fit": (("say",), ()),
}
"""Subject of a conclusion -> fields it needs, fields it may have besides ``say``."""

_SCOPE_NEEDS = {"not before": "other", "unless together with": "other"}

_Fact = tuple[str, str, str | None]
"""What a condition stands on or a conclusion states: kind, id, answer (None: any, or it has none)."""

_STATED = {
    "finding": "finding",
    "sign": "sign",
    "history": "history",
    "establish": "established",
    "exclude": "excluded",
}
"""Subject of a conclusion -> subject of the conditions that stand on it."""


def _said(of: Struct) -> list[str]:
    """The fields that are written, by the names they are written with."""
    return [name.rstrip("_") for name in of.__struct_fields__ if getattr(of, name) not in (None, (), False)]


def check_conditions(ground: Ground) -> None:
    """Exactly one subject each, answers only where there are some, and readings of measured signs only."""
    for id, rule in ground.rules.items():
        for number, condition in enumerate(rule.when):
            said = _said(condition)
            subjects = [field for field in said if field in _PREMISES]
            if len(subjects) != 1:
                _not_one(ground, id, "when", number, subjects, _PREMISES)
                continue
            if "is" in said and subjects[0] not in _WITH_ANSWERS:
                wrong = f"a condition on '{subjects[0]}' has no answers"
                ground.fault(Code.COMPANION, wrong, "leave 'is' out", "rules", id, "when", number, "is")
            sign = ground.signs.get(condition.reading or "")
            if sign is not None and sign.measure is None and ground.is_sound("signs", condition.reading or ""):
                wrong = f"'{condition.reading}' is not measured"
                right = "write 'sign' in place of 'reading', or give it a measure"
                ground.fault(Code.MEASURE, wrong, right, "rules", id, "when", number, "reading")


def check_conclusions(ground: Ground) -> None:
    """Exactly one subject each, with the fields that it needs and no others."""
    for id, rule in ground.rules.items():
        for number, conclusion in enumerate(rule.then):
            said = _said(conclusion)
            subjects = [field for field in said if field in _COMPANIONS]
            if len(subjects) != 1:
                _not_one(ground, id, "then", number, subjects, tuple(_COMPANIONS))
                continue
            _check_companions(ground, id, number, subjects[0], said, conclusion)


def _check_companions(
    ground: Ground, rule: str, number: int, subject: str, said: Sequence[str], conclusion: Conclusion
) -> None:
    needed, allowed = _COMPANIONS[subject]
    more = _SCOPE_NEEDS.get(conclusion.scope or "")
    for field in (*needed, *((more,) if more and subject == "forbid" else ())):
        if field not in said:
            wrong = f"'{subject}' lacks the field '{field}' beside it"
            ground.fault(Code.COMPANION, wrong, "write it", "rules", rule, "then", number, subject)
    for field in said:
        if field not in (subject, "say", *needed, *allowed):
            wrong = f"'{field}' does not belong beside '{subject}'"
            right = "leave it out, or write the conclusion that it belongs to"
            ground.fault(Code.COMPANION, wrong, right, "rules", rule, "then", number, field)


def _not_one(ground: Ground, rule: str, field: str, number: int, subjects: Sequence[str], known: Sequence[str]) -> None:
    have = f"names {' and '.join(subjects)} at once" if subjects else "names nothing"
    right = "split it in two" if subjects else f"name one of {', '.join(known)}"
    what = "condition" if field == "when" else "conclusion"
    ground.fault(Code.ONE_SUBJECT, f"{what} {number + 1} of '{rule}' {have}", right, "rules", rule, field, number)


def check_strata(ground: Ground) -> None:
    """A rule stands on nothing that a later stratum states, and on no absence that its own may end."""
    stated: dict[tuple[str, str], list[tuple[str, str | None, Rule]]] = {}
    sound = {id: rule for id, rule in ground.rules.items() if ground.is_sound("rules", id)}
    for id, rule in sound.items():
        for kind, of, answer in _facts_of(rule.then):
            stated.setdefault((kind, of), []).append((id, answer, rule))
    for id, rule in sound.items():
        for number, condition in enumerate(rule.when):
            for kind, of, answer in _facts_of_condition(condition):
                for other, stated_answer, by in stated.get((kind, of), ()):
                    if answer is None or stated_answer is None or answer == stated_answer:
                        _check_pair(ground, id, rule, number, condition, other, by, of)


def _check_pair(
    ground: Ground, id: str, rule: Rule, number: int, condition: Condition, other: str, by: Rule, of: str
) -> None:
    own, theirs = STRATA.index(rule.stratum), STRATA.index(by.stratum)
    if theirs > own:
        wrong = f"'{id}' ({rule.stratum}) stands on '{of}', which '{other}' states later ({by.stratum})"
        right = f"move '{id}' to {by.stratum} or later"
    elif condition.absent and theirs == own:
        wrong = f"'{id}' asks that '{of}' is absent, but '{other}' states it in the same stratum ({by.stratum})"
        right = f"move '{id}' to a later stratum than '{other}'"
    else:
        return
    ground.fault(Code.STRATUM, wrong, right, "rules", id, "when", number)


def _facts_of(conclusions: Sequence[Conclusion]) -> Iterator[_Fact]:
    for conclusion in conclusions:
        for field, kind in _STATED.items():
            of = getattr(conclusion, field)
            if of is not None:
                yield kind, of, conclusion.is_


def _facts_of_condition(condition: Condition) -> Iterator[_Fact]:
    for kind in _STATED.values():
        of = getattr(condition, kind)
        if of is not None:
            yield from ((kind, of, answer) for answer in condition.is_ or (None,))
    yield from (("sign", of, answer) for of in condition.any_sign for answer in condition.is_ or (None,))
