"""Why: everything in an answer can be asked, down to entries of the log."""

import math
import re

import pytest
from msgspec.structs import replace

from leakdx.case import Case
from leakdx.errors import UsageError
from leakdx.explain.why import why_text
from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.diagnosis import diagnose
from tests.hostile import hostile
from tests.shipped import NAMES, diagnosis, flat, knowledge, parts, stopped


def why(name: str, thing: str | None = None, width: int = 80) -> str:
    return why_text(*parts(name), thing, width)


@pytest.mark.parametrize("name", NAMES)
def test_the_short_tree_names_the_leader_the_next_step_fit_and_every_order(name: str) -> None:
    made, answers = flat_tree(why(name)), diagnosis(name).answers
    assert f"Leading: {answers.causes[0].name}" in made
    assert answers.fit_to_drive.reason in made
    assert all(flat(hold.text) in made for hold in answers.holds)
    assert all(flat(ban.say) in made for ban in answers.forbidden)
    assert all(knowledge().name(ban.rule) in made for ban in answers.forbidden)
    for width in (60, 80):
        assert max(map(len, why(name, None, width).splitlines())) <= width


def flat_tree(text: str) -> str:
    """A tree as one line without its branches."""
    return flat("\n".join(line.lstrip("|` -") for line in text.splitlines()))


def test_everything_in_the_knowledge_can_be_asked() -> None:
    known = knowledge()
    kinds = (known.causes, known.repairs, known.checks, known.zones, known.families, known.signs, known.history,
             known.rules, known.findings, known.acts, known.openings, known.cautions)  # fmt: skip
    for id in [id for kind in kinds for id in kind] + ["not_listed"]:
        made = why("02", id)
        assert max(map(len, made.splitlines())) <= 80, id
        assert len(made.splitlines()) > 1, id


@pytest.mark.parametrize("name", NAMES)
def test_the_weights_shown_for_the_leader_add_up(name: str) -> None:
    leader = diagnosis(name).answers.causes[0]
    made = flat_tree(why(name, leader.id))
    section = made[made.index("what spoke") : made.index("together, from")]
    shown = [float(found) for found in re.findall(r"([+-][\d.]+) dB", section)]
    total = re.search(r"together, from (.+?) to (.+?) ([+-][\d.]+) dB", made)
    assert total is not None
    assert math.isclose(sum(shown), float(total[3]), abs_tol=0.05 * (len(shown) + 1) + 0.05)
    share = knowledge().causes[leader.id].share / 100
    rise = decibans(leader.leaking_first) - decibans(share)
    assert math.isclose(rise, float(total[3]), abs_tol=0.06)


def test_where_nothing_was_answered_no_answer_is_said_to_have_spoken() -> None:
    case = Case(id="NEW", complaint=knowledge().complaint)
    made = diagnose(knowledge(), case)
    said = flat_tree(why_text(knowledge(), case, made, made.answers.causes[0].id))
    assert "nothing was answered yet" in said
    assert "dB" not in said


def test_a_cause_says_what_tells_it_from_its_rival_and_what_cures_it() -> None:
    made = flat_tree(why("02", "old_residue"))
    assert "what tells it from sealed over oil" in made
    assert "old sealant or adhesive under the bead: yes [entry 14]" in made
    assert "cured by: Reseal with a one-piece gasket (surely)" in made
    assert "made likelier by" in made


def test_a_rule_that_does_not_hold_says_what_it_misses() -> None:
    made = flat_tree(why("02", "not_with_oiled_brakes"))
    assert made.startswith("Rule: Oil on the brakes")
    assert "it does not hold missing: oil on linings or drum: yes" in made


def test_what_a_rule_misses_although_the_log_says_it_is_said_to_be_over() -> None:
    made = flat_tree(why("03", "breather_blocked"))
    assert "missing: breather shut when blown through: yes (surely) - entry 3 says so, and it is so no longer" in made


def test_a_rule_that_holds_goes_down_to_the_log() -> None:
    made = flat_tree(why("02", "measure_housing_again"))
    assert "it holds" in made
    assert "[entry 15, CD, 2026-04-14 14:00: 0.005 in]" in made


def test_a_forbidden_repair_says_by_which_rule_and_from_which_entries() -> None:
    made = flat_tree(why("10", "reseal_with_sealant"))
    assert "not recommended: a rule bars it altogether" in made
    assert "No sealant where a gasket is used" in made
    assert "[entry " in made


def test_the_parts_of_a_repairs_cost_add_up() -> None:
    made = flat_tree(why("02", "reseal_with_gasket"))
    section = made[made.index("holds:") : made.index("expected cost")]
    amounts = [float(a.replace(",", "")) for a in re.findall(r"([\d,]+) USD", section)]
    whole = re.search(r"expected cost ([\d,]+) USD", made)
    assert whole is not None
    assert math.isclose(sum(amounts), float(whole[1].replace(",", "")), abs_tol=25)
    assert 'first "flatness of the housing face" (done)' in made


def test_a_check_says_what_each_result_would_change_and_one_not_offered_says_why() -> None:
    check = diagnosis("08").answers.next_check
    assert check is not None
    made = flat_tree(why("08", check.id))
    assert "the next check" in made
    assert "leads to:" in made
    assert "best then:" in made
    assert "not offered now: it was made" in flat_tree(why("02", "carrier_face_flat"))
    assert "not offered now" in flat_tree(why("08", "trail_look"))


def test_a_sign_not_looked_at_says_so_and_who_could_look() -> None:
    made = flat_tree(why("08", "breather_no_flow"))
    assert "could not be reached" in made
    assert 'looked at by: "blow through the breather"' in made


def test_stop_and_ask_has_its_rules() -> None:
    made = flat_tree(why_text(*stopped(), None))
    assert "Decision: stop and ask the axle maker" in made
    assert "rule: A cracked or leaking casting is not welded shut" in made


def test_names_synonyms_and_spaces_will_do() -> None:
    by_id = why("02", "reseal_with_gasket")
    for word in ("Reseal with a one-piece gasket", "regasket", "reseal with gasket", "RESEAL WITH GASKET"):
        assert why("02", word) == by_id


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("old_resdue", "old_residue"),
        ("pinon seal worn", "pinion_seal_worn"),
        ("housing_face_flt", "housing_face_flat"),
    ],
)
def test_an_unknown_name_suggests_the_nearest(typed: str, meant: str) -> None:
    with pytest.raises(UsageError, match=f"did you mean '{meant}'"):
        why("02", typed)


@pytest.mark.parametrize("typed", ["", " ", "\x1b[2J", "x" * 5000, "<script>", "%s{0}"])
def test_nonsense_gets_one_short_sentence(typed: str) -> None:
    with pytest.raises(UsageError) as caught:
        why("02", typed)
    assert "\x1b" not in str(caught.value)
    assert len(str(caught.value)) < 250


def test_hostile_text_does_no_harm() -> None:
    case = hostile(diagnosis("01").case)
    made = why_text(knowledge(), case, diagnose(knowledge(), case), "pinion_proved")
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]", made)
    assert max(map(len, made.splitlines())) <= 80


def test_without_rules_there_is_still_a_why() -> None:
    bare = replace(knowledge(), rules={}, hash="")
    case = diagnosis("01").case
    made = why_text(bare, case, diagnose(bare, case), None)
    assert "Leading: pinion seal worn" in made
    assert "rule:" not in made


@pytest.mark.parametrize(("thing", "head", "below"), [
    ("fit to drive", "Fit to drive", "oil on linings or drum: yes"),
    ("holds", "Holds", "Look before washing"),
    ("next check", "Repair: ", "oil level on arrival"),
])  # fmt: skip
def test_parts_of_the_answer_can_be_asked_by_the_words_that_head_them(thing: str, head: str, below: str) -> None:
    text = why_text(*parts("05"), thing)
    assert text.startswith(head)
    assert below in flat(text)
