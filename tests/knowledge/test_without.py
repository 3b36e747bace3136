"""What is taken out is named nowhere afterwards, and nothing else is lost."""

import msgspec
import pytest
from msgspec.structs import replace

from leakdx.case import Case
from leakdx.knowledge.actions import Conclusion, Condition, Rule
from leakdx.knowledge.convert import struct_type
from leakdx.knowledge.draft import kinds
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.without import without
from leakdx.reasoning.diagnosis import diagnose
from tests.shipped import knowledge


def _names(known: Knowledge, id: str) -> bool:
    """Whether an id stands anywhere as a whole text, the tables of words apart."""
    return f'"{id}"'.encode() in msgspec.json.encode([getattr(known, kind) for kind in kinds()])


@pytest.mark.parametrize("kind", ["causes", "signs", "repairs", "zones", "acts", "cautions", "findings"])
def test_what_is_taken_out_is_named_nowhere(kind: str) -> None:
    known = knowledge()
    others = set().union(*(set(getattr(known, other)) for other in kinds() if other != kind))
    for id in getattr(known, kind):
        could_be_a_plain_word = "_" not in id
        if could_be_a_plain_word or id in others or id in (known.complaint, known.words.not_listed.zone):
            continue
        found = _names(without(known, [(kind, id)]), id)
        assert not found, id


def test_taking_out_nothing_changes_only_the_hash() -> None:
    known = knowledge()
    left = without(known, [])
    assert left.hash != known.hash
    assert replace(left, hash=known.hash) == known


def test_an_unknown_entry_is_refused() -> None:
    with pytest.raises(KeyError):
        without(knowledge(), [("causes", "no_such_cause")])


def _with_rule(rule: Rule) -> Knowledge:
    return replace(knowledge(), rules={"tried": rule})


def _a_rule(when: tuple[Condition, ...], then: tuple[Conclusion, ...]) -> Rule:
    return Rule(name="tried", mark="from memory", reason="tried here", stratum="act", when=when, then=then)


def test_a_rule_goes_with_a_premise_but_not_with_an_absence() -> None:
    first, second, *_ = knowledge().signs
    says = (Conclusion(fit="no", say="stop"),)
    asked = _a_rule((Condition(sign=first), Condition(sign=second)), says)
    assert not without(_with_rule(asked), [("signs", second)]).rules
    absent = _a_rule((Condition(sign=first), Condition(sign=second, absent=True)), says)
    assert without(_with_rule(absent), [("signs", second)]).rules["tried"].when == (Condition(sign=first),)


def test_one_of_several_signs_may_go_but_not_the_last() -> None:
    first, second, *_ = knowledge().signs
    either = _with_rule(_a_rule((Condition(any_sign=(first, second)),), (Conclusion(fit="no", say="stop"),)))
    assert without(either, [("signs", second)]).rules["tried"].when == (Condition(any_sign=(first,)),)
    assert not without(either, [("signs", first), ("signs", second)]).rules


def test_a_ban_for_a_cause_never_becomes_a_ban_for_any() -> None:
    sign, repair = next(iter(knowledge().signs)), next(iter(knowledge().repairs))
    first, second, *_ = knowledge().causes
    ban = Conclusion(forbid=repair, scope="not as the cure", of=(first,), say="not for this")
    alone = _with_rule(_a_rule((Condition(sign=sign),), (ban,)))
    assert not without(alone, [("causes", first)]).rules
    both = _with_rule(_a_rule((Condition(sign=sign),), (replace(ban, of=(first, second)),)))
    assert without(both, [("causes", first)]).rules["tried"].then[0].of == (second,)


def test_a_check_that_reveals_nothing_more_goes() -> None:
    known = knowledge()
    check, entry = next((id, c) for id, c in known.checks.items() if set(c.reveals) <= set(known.signs))
    left = without(known, [("signs", sign) for sign in entry.reveals])
    assert check not in left.checks


def test_what_is_left_still_diagnoses() -> None:
    known = knowledge()
    case = Case(id="T", complaint=known.complaint, log=())
    for cause in list(known.causes)[::7]:
        answers = diagnose(without(known, [("causes", cause)]), case).answers
        assert {c.id for c in answers.causes} == {c.id for c in diagnose(known, case).causes} - {cause}


def test_every_kind_of_entry_can_be_taken_out() -> None:
    """A field that is added to the model is looked through like the others, since its type says what it may name."""
    assert all(struct_type(cls).fields for cls in kinds().values())
    known = knowledge()
    for kind in kinds():
        id = next(iter(getattr(known, kind)))
        assert id not in getattr(without(known, [(kind, id)]), kind)
