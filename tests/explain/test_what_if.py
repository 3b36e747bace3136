"""What if, why not and what would change it: said as the diagnoses are, and nothing is written down."""

import pytest
from msgspec.structs import replace

from leakdx.case import Observation
from leakdx.errors import UsageError
from leakdx.explain.what_changes import what_changes_text
from leakdx.explain.what_if import WhatIf, what_if, what_if_text
from leakdx.explain.why import why_not_text
from leakdx.interview.suppose import supposed
from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.supposed import Change
from leakdx.reasoning.unseat import Unseating, unseating
from tests.shipped import diagnosis, flat, knowledge

SKIN = "bead skin fold: yes"


def tried(name: str, *lines: str) -> tuple[Diagnosis, Diagnosis, WhatIf]:
    before = diagnosis(name)
    case, said = supposed(knowledge(), before.case, lines)
    after = diagnose(knowledge(), case)
    return before, after, what_if(before, after, said)


def test_an_answer_that_is_tried_is_the_diagnosis_with_it_and_is_not_written_down() -> None:
    entries = len(diagnosis("02").case.log)
    before, after, found = tried("02", SKIN)
    assert len(before.case.log) == entries
    seen = after.case.log[-1]
    assert isinstance(seen, Observation)
    assert (seen.sign, seen.answer) == ("bead_skin_fold", "yes")
    assert found.leader == (before.causes[0].id, after.causes[0].id)
    assert found.leader[0] != found.leader[1]
    for row in found.moved:
        now = next(c.leaking_first for c in after.causes if c.id == row.id)
        assert row.after == now
        assert row.decibans == pytest.approx(decibans(row.after) - decibans(row.before))


def test_it_says_what_would_change_and_what_would_stay() -> None:
    before, after, found = tried("02", SKIN)
    text = flat(what_if_text(before, after, found))
    assert f"{before.causes[0].name} -> {after.causes[0].name}" in text
    assert "IT WOULD STAY - fit to drive: not fit to drive" in text


def test_what_would_be_barred_and_dearer_is_said() -> None:
    text = flat(what_if_text(*tried("02", "oil on linings: yes")))
    assert "Barred driven on the road - not at all" in text
    assert "Renew oiled linings" in text


def test_nothing_moved_is_said_so() -> None:
    assert "IT WOULD CHANGE NOTHING THAT IS SHOWN HERE" in what_if_text(*tried("02", "wet.pinion_seal: no"))


def test_an_entry_can_be_left_out_and_an_act_be_done() -> None:
    before, after, found = tried("02", "without entry 14")
    assert found.tried == ("entry 14 is withdrawn",)
    assert after.causes[0].leaking_first < before.causes[0].leaking_first
    _, after, found = tried("12", "did washed")
    assert len(after.timeline.acts) == len(diagnosis("12").timeline.acts) + 1


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("crackle", "'crackle' can't be tried: there is no sign 'crackle'"),
        ("without all", "say which entry by its number, such as without 7"),
        ("without 99", "there is no entry 99 that stands"),
        ("did nothing", "there is no act or repair 'nothing'"),
        ("", "can't be tried"),
    ],
)
def test_what_cannot_be_tried_is_said_with_what_would_be_right(line: str, said: str) -> None:
    with pytest.raises(UsageError, match="can't be tried") as refused:
        supposed(knowledge(), diagnosis("02").case, [line])
    assert said in str(refused.value)


def test_why_not_a_cause_names_what_spoke_against_it_and_what_would_speak_for_it() -> None:
    text = flat(why_not_text(diagnosis("02"), "sealant_skinned").replace("|", " ").replace("`-", " "))
    made = diagnosis("02")
    worst = min(made.weights, key=lambda seen: seen.decibans.get("sealant_skinned", 0.0))
    assert f"{worst.name}: {worst.answer_name}" in text
    assert f"{worst.decibans['sealant_skinned']:+.1f} dB" in text
    after = tried("02", SKIN)[1]
    stands = next(c.leaking_first for c in after.causes if c.id == "sealant_skinned")
    assert f"{100 * stands:.0f} %, and it would lead" in text


@pytest.mark.parametrize(
    ("thing", "said"),
    [
        ("old_residue", "it is what leads; ask why, not why not"),
        ("reseal_with_sealant", "dearer than the cheapest"),
        ("reseal_with_gasket", "it is in the repair that is recommended; ask why, not why not"),
        ("replace_pinion_seal", "not recommended: no likely cause asks for it"),
        ("housing_face_flat", "it is the next check; ask why, not why not"),
        ("breather_look", "comes first: "),
        ("ask_sealing", "it was made, and nothing since has changed what it would show"),
        ("housing_face_beyond", "missing: housing face out of flat: measured beyond its limit"),
        ("replace_proved_porous_part", "it does not hold `- missing: proved: porous casting"),
        ("crack_line_seen", "no rule would conclude it; it is looked at or told"),
        ("driven", "not at all"),
    ],
)
def test_why_not_of_each_kind(thing: str, said: str) -> None:
    text = flat(why_not_text(diagnosis("02"), thing).replace("|", " "))
    assert said in text


def test_what_changes_is_grouped_by_what_it_would_be_then() -> None:
    made = diagnosis("02")
    text = flat(what_changes_text(made, unseating(made, 0, [Change(14, "residue_under_bead", "no")])))
    then = diagnose(
        knowledge(),
        replace(
            made.case,
            log=tuple(
                replace(e, answer="no") if isinstance(e, Observation) and e.number == 14 else e for e in made.case.log
            ),
        ),
    ).causes[0]
    assert f"then {then.name} old sealant or adhesive under the bead: no [entry 14 says otherwise]" in text
    assert f"leads with {100 * then.leaking_first:.0f} %" in text


def test_where_nothing_would_change_it_that_is_said() -> None:
    text = flat(what_changes_text(diagnosis("02"), Unseating((), (), 0)))
    assert text.count("No single answer would change that") == 2
