"""What is decided on the six causes of tests/data/six, why, and what is said with it."""

from functools import cache
from itertools import count
from pathlib import Path

import jsonschema
import msgspec
import numpy as np
import pytest
from msgspec.structs import replace

from leakdx.case import Case, Done, LogEntry, Observation, Reading, Sureness, Told
from leakdx.commands.schema import diagnosis_schema_text
from leakdx.errors import CaseError
from leakdx.knowledge.actions import Conclusion, Condition
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import Answers
from leakdx.reasoning.belief import Belief, Evidence
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.reasoning.workshop import rule

SIX = load_knowledge([Path(__file__).parents[1] / "data" / "six"])
Word = str | tuple[str, ...]
WET: Word = ("wet.carrier_joint", "yes")
OUTSIDE: tuple[Word, ...] = (WET, ("wet.pinion_seal", "no"), ("dust_caked_on_oil", "no"))
SPILL: tuple[Word, ...] = (
    WET, ("wet.pinion_seal", "no"), ("dust_caked_on_oil", "yes"), "washed", "driven",
    ("wet.carrier_joint", "no"), ("origin.carrier_joint", "no"), ("origin.pinion_seal", "no"),
)  # fmt: skip
CLAMP: tuple[Word, ...] = (
    *OUTSIDE, ("sealing_material", "sealant"), ("wet_soon_after_reseal", "yes"), ("breather_wont_blow", "no"),
    ("yoke_grooved", "no"), ("torque_pattern", "neighbours_low"), ("rust_dust_at_joint", "yes"),
)  # fmt: skip
PINION: tuple[Word, ...] = (("wet.carrier_joint", "no"), ("wet.pinion_seal", "yes"), ("yoke_grooved", "yes"))


def said(*words: Word, shop: str | None = None) -> Case:
    """A lone word is an act; ("read", value) the flatness; a pair a history answer or what a sign showed."""
    log: list[LogEntry] = []
    for number, word in zip(count(1), words, strict=False):
        if isinstance(word, str):
            log.append(Done(number=number, who="AB", act=word))
        elif word[0] == "read":
            log.append(Reading(number=number, who="AB", sign="housing_face_flatness", value=word[1], unit="in"))
        elif word[0] in SIX.history:
            log.append(Told(number=number, who="AB", group=word[0], answer=word[1]))
        else:
            sure: Sureness = "fairly" if word[2:] else "sure"
            log.append(Observation(number=number, who="AB", sign=word[0], answer=word[1], sure=sure))
    return Case(id="KD-0001", complaint=SIX.complaint, shop=shop, log=tuple(log))


@cache
def ruled(*more: Conclusion) -> Knowledge:
    """The six causes with these conclusions in any case."""
    extra = {f"r{i}": rule("act", [Condition(complaint="any")], c) for i, c in enumerate(more)}
    return replace(SIX, rules={**SIX.rules, **extra})


def barred(*actions: str) -> Knowledge:
    return ruled(*(Conclusion(forbid=a, scope="not at all", say="no") for a in actions))


RESEALS = ("reseal_with_sealant", "reseal_with_gasket")


# -- the decision ------------------------------------------------------------------------------------------


def test_nothing_seen_is_looked_into_further() -> None:
    made = diagnose(SIX, said())
    assert made.decision.do == "look_further"
    assert made.next_check is not None
    assert made.next_check.id == "where_is_it_wet"
    assert made.next_check.net_value > made.shop.floor_minutes * made.planner.rate
    assert sum(o.probability for o in made.next_check.outcomes) == pytest.approx(1)
    assert made.next_check.id not in {c.id for c in made.answers.other_checks}


def test_a_clear_leak_is_repaired_the_cheapest_way() -> None:
    made = diagnose(SIX, said(*CLAMP))
    assert (made.decision.do, made.next_check) == ("repair", None)
    best = made.answers.repairs[0]
    assert best.actions == ("reseal_with_sealant",)
    assert made.answers.clear_at.id == "uneven_torque"
    costs = [r.expected_cost for r in made.answers.repairs if r.actions]
    assert costs == sorted(costs)


def test_a_spill_that_stayed_dry_is_released() -> None:
    made = diagnose(SIX, said(*SPILL))
    assert made.decision.do == "release_and_recheck"
    assert str(made.shop.recheck_days) in made.decision.reason
    assert made.answers.repairs[0].actions == ()
    assert made.answers.causes[0].id == "old_spill"
    assert made.answers.causes[0].leaking < 0.01 < 0.9 < made.answers.causes[0].leaking_first


def test_a_cause_without_a_permitted_repair_is_asked_about_with_the_rules_that_stand_against_it() -> None:
    made = diagnose(barred(*RESEALS), said(*CLAMP))
    assert (made.decision.do, made.next_check) == ("stop_and_ask", None)
    assert "under- or uneven torque" in made.decision.reason
    assert made.decision.rules == ("r0", "r1")


def test_a_knowledge_without_a_repair_for_the_leader_says_so() -> None:
    repairs = {
        id: replace(entry, cures={}) if any("uneven_torque" in SIX.members(target) for target in entry.cures) else entry
        for id, entry in SIX.repairs.items()
    }
    made = diagnose(replace(SIX, repairs=repairs), said(*CLAMP))
    assert made.decision.do == "stop_and_ask"
    assert made.decision.reason == "The knowledge has no repair for under- or uneven torque."


def test_where_every_repair_is_barred_the_maker_is_asked() -> None:
    made = diagnose(barred(*SIX.repairs), said(*OUTSIDE))
    assert not made.plan.uncurable
    assert made.decision.do == "stop_and_ask"
    assert made.decision.rules == tuple(f"r{i}" for i in range(len(SIX.repairs)))


def test_a_joint_that_is_open_and_may_not_be_closed_is_asked_about() -> None:
    made = diagnose(barred(*RESEALS), said(*OUTSIDE, ("bead_peels_clean", "no")))
    assert "carrier_out" in made.means.open_now
    assert made.plan.priced.paths == ()
    assert made.decision.do == "stop_and_ask"
    assert {"r0", "r1"} <= set(made.decision.rules)
    assert made.answers.repairs == ()


def test_what_is_not_listed_here_is_asked_about() -> None:
    words = replace(SIX.words, not_listed=replace(SIX.words.not_listed, share=70.0))
    unknown = replace(SIX, words=words)
    looked = diagnose(unknown, said())
    assert (looked.decision.do, looked.answers.could_be_none_of_these.warn) == ("look_further", True)
    groups = [(group, "unsure") for group in SIX.history]
    made = diagnose(unknown, said(*groups, *((sign, "unsure") for sign in looked.offer.askable())))
    assert (made.decision.do, made.next_check) == ("stop_and_ask", None)
    assert made.answers.could_be_none_of_these.warn
    assert made.decision.rules == ()


def test_with_the_joint_open_a_look_into_it_is_worth_its_own_minutes() -> None:
    """The shop's floor is there against asking on; nobody opens the joint once more for what was not looked at."""
    shops = {id: replace(shop, floor_minutes=10_000.0) for id, shop in SIX.shops.items()}
    dear = replace(SIX, shops=shops)
    assert diagnose(dear, said(*OUTSIDE)).decision.do == "repair"
    made = diagnose(dear, said(*OUTSIDE, ("bead_peels_clean", "no")))
    assert made.decision.do == "look_further"
    assert made.next_check is not None
    assert (made.next_check.id, made.next_check.opens) == ("open_joint_look", ())
    assert made.next_check.net_value > 0
    assert made.answers.other_checks == ()


def test_a_repair_waits_for_the_check_that_it_stands_on() -> None:
    first = replace(SIX.repairs["replace_pinion_seal"], first_hold=("sealed_with",))
    k = replace(SIX, repairs={**SIX.repairs, "replace_pinion_seal": first})
    waiting = diagnose(k, said(*PINION, ("breather_wont_blow", "no")))
    assert waiting.decision.do == "look_further"
    assert "stands on" in waiting.decision.reason
    assert waiting.next_check is not None
    assert waiting.next_check.id == "sealed_with"
    assert first.name in waiting.next_check.why
    settled = diagnose(k, said(*PINION, ("breather_wont_blow", "no"), ("wet_soon_after_reseal", "unsure")))
    assert (settled.decision.do, settled.next_check) == ("repair", None)


# -- the floor ---------------------------------------------------------------------------------------------


def weighed(net_value: float, *, uncurable: tuple[str, ...] = (), hold: float = 0.9) -> Diagnosis:
    """A clear leak with one check left that is worth so much."""
    asked = diagnose(SIX, said()).plan.checks[0]
    made = diagnose(SIX, said(*CLAMP))
    priced = replace(made.plan.priced, hold=np.full(len(made.plan.priced.paths), hold))
    plan = replace(
        made.plan, priced=priced, checks=(replace(asked, net_value=net_value, with_more=-np.inf),), uncurable=uncurable
    )
    made.__dict__["plan"] = plan  # a cached value, so this is what everything reads
    return made


@pytest.mark.parametrize(
    ("net_value", "uncurable", "hold", "do"),
    [
        (101.0, (), 0.9, "look_further"),  # the floor: half an hour at 140 + 60
        (99.0, (), 0.9, "repair"),
        (1.0, ("uneven_torque",), 0.9, "look_further"),
        (-1.0, ("uneven_torque",), 0.9, "stop_and_ask"),
        (1.0, (), 0.4, "look_further"),
        (-1.0, (), 0.4, "repair"),
    ],
)
def test_a_check_pays_above_the_floor_or_above_nothing_while_no_good_repair_is_in_sight(
    net_value: float, uncurable: tuple[str, ...], hold: float, do: str
) -> None:
    made = weighed(net_value, uncurable=uncurable, hold=hold)
    assert made.decision.do == do
    assert (made.next_check is not None) == (do == "look_further")
    if do == "repair":
        assert ("come back" in made.decision.reason) == (hold < 0.5)


# -- what comes first --------------------------------------------------------------------------------------


def test_what_a_hold_wants_written_down_comes_before_the_check_that_opens() -> None:
    told: tuple[Word, ...] = (
        *OUTSIDE, ("sealing_material", "sealant"), ("wet_soon_after_reseal", "unsure"),
        ("breather_wont_blow", "unsure"), ("yoke_grooved", "unsure"),
    )  # fmt: skip
    free = diagnose(SIX, said(*told, ("torque_pattern", "unsure"), ("rust_dust_at_joint", "unsure")))
    assert free.next_check is not None
    opened = free.next_check.opens
    assert opened
    k = ruled(Conclusion(hold="Audit the torque first.", before=opened, record=("torque_audit",)))
    held = diagnose(k, said(*told))
    assert held.decision.do == "look_further"
    assert held.next_check is not None
    assert held.next_check.id == "torque_audit"
    recorded = diagnose(k, said(*told, ("torque_pattern", "unsure"), ("rust_dust_at_joint", "unsure")))
    assert recorded.next_check is not None
    assert recorded.next_check.opens == opened


def test_what_a_hold_wants_before_the_repair_is_asked_first() -> None:
    k = ruled(Conclusion(hold="Blow through the breather first.", before=("carrier_out",), record=("breather_look",)))
    without_breather = [w for w in CLAMP if w[0] not in ("breather_wont_blow", "yoke_grooved")]
    made = diagnose(k, said(*without_breather))
    assert made.next_check is not None
    assert made.next_check.id == "breather_look"
    done = diagnose(k, said(*CLAMP))
    assert (done.decision.do, done.next_check) == ("repair", None)


def test_what_fit_to_drive_waits_on_is_looked_at_first() -> None:
    look = Conclusion(hold="Read the breather.", before=("driven",), record=("breather_look",))
    not_yet = Conclusion(fit="no", say="The breather has not been looked at.")
    safe = {**SIX.rules, "safe": rule("act", [Condition(complaint="any")], not_yet, look)}
    waits = diagnose(replace(SIX, rules=safe), said(WET))
    assert waits.next_check is not None
    assert waits.next_check.id == "breather_look"
    assert waits.next_check.why == "Read the breather."
    apart = {**SIX.rules, "held": rule("act", [Condition(complaint="any")], look)}
    free = diagnose(replace(SIX, rules=apart), said(WET))
    assert free.next_check is not None
    assert free.next_check.id != "breather_look"
    looked = diagnose(replace(SIX, rules=safe), said(WET, ("breather_wont_blow", "no")))
    assert looked.next_check is not None
    assert looked.next_check.id != "breather_look"


# -- weights -----------------------------------------------------------------------------------------------

LONG: tuple[Word, ...] = (
    ("wet_soon_after_reseal", "yes", "fairly"), WET, ("yoke_grooved", "unsure"), ("breather_wont_blow", "yes"),
    ("sealing_material", "both"), "washed", "driven", ("origin.carrier_joint", "yes"), ("torque_pattern", "one_low"),
    ("read", "0.0045"), ("read", "0.006"),
)  # fmt: skip


def log_odds(belief: Belief) -> dict[str, float]:
    first = belief.leaking_first
    return dict(zip(belief.causes, 10 * np.log10(first / (1 - first)), strict=True))


def test_weights_sum_to_the_change_since_the_complaint() -> None:
    made = diagnose(SIX, said(*LONG))
    before = log_odds(Belief(made.belief.model, Evidence(SIX.complaint)))
    after = log_odds(made.belief)
    for cause in made.belief.causes:
        assert sum(row.decibans[cause] for row in made.weights) == pytest.approx(after[cause] - before[cause], abs=1e-8)
    assert [row.entry for row in made.weights] == sorted(row.entry for row in made.weights)


def test_a_weight_says_what_was_answered_how_surely_and_when() -> None:
    rows = {(row.id, row.epoch): row for row in diagnose(SIX, said(*LONG)).weights}
    assert {id for id, epoch in rows if epoch == 1} == {
        "origin.carrier_joint", "torque_pattern", "housing_face_flatness",
    }  # fmt: skip
    soon, pattern = rows["wet_soon_after_reseal", 0], rows["torque_pattern", 1]
    assert (soon.entry, soon.answer, soon.sure) == (1, "yes", "fairly")
    assert (pattern.answer, pattern.answer_name, pattern.sure) == ("one_low", "one low", "sure")
    assert rows["housing_face_flatness", 1].answer == "0.006 in"
    assert rows["sealing_material", 0].answer_name == "sealant on a gasket"


def test_what_a_rule_derived_is_weighed_in_the_epoch_of_what_it_rests_on() -> None:
    fretted = rule("locate", [Condition(sign="bead_peels_clean", is_=("yes",))],
                   Conclusion(sign="rust_dust_at_joint", is_="yes"))  # fmt: skip
    k = replace(SIX, rules={**SIX.rules, "fretted": fretted})
    rows = {row.id: row for row in diagnose(k, said(("bead_peels_clean", "yes"), "washed", WET)).weights}
    found = rows["rust_dust_at_joint"]
    assert (found.entry, found.answer, found.sure, found.epoch) == (1, "yes", "by rule", 0)
    assert (rows["sealing_material"].answer, rows["sealing_material"].sure) == ("sealant", "by rule")
    assert rows["sealing_material"].decibans["old_residue"] == pytest.approx(0, abs=1e-9)


# -- what is said ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("k", "words"),
    [
        (SIX, ()),
        (SIX, CLAMP),
        (SIX, SPILL),
        (SIX, LONG),
        (barred(*RESEALS), CLAMP),
        (barred(*SIX.repairs), OUTSIDE),
        (barred(*RESEALS), (*OUTSIDE, ("bead_peels_clean", "no"))),
        # Nothing may close the joint, and yet a hold wants a look inside before anything is driven.
        (ruled(*(Conclusion(forbid=r, scope="not at all", say="no") for r in RESEALS),
               Conclusion(hold="Look inside.", before=("washed",), record=("open_joint_look",))), OUTSIDE),
    ],
)  # fmt: skip
def test_the_answer_is_json_that_fits_its_schema_and_reads_back(k: Knowledge, words: tuple[Word, ...]) -> None:
    answers = diagnose(k, said(*words)).answers
    text = msgspec.json.encode(answers)
    jsonschema.validate(msgspec.json.decode(text), msgspec.json.decode(diagnosis_schema_text()))
    assert msgspec.json.decode(text, type=Answers) == answers


def test_the_order_of_answers_to_different_questions_changes_nothing_but_the_weights() -> None:
    one, other = diagnose(SIX, said(*CLAMP)).answers, diagnose(SIX, said(*reversed(CLAMP))).answers
    assert replace(one, observations=()) == replace(other, observations=())


def test_the_shop_that_the_case_names_decides() -> None:
    rich = replace(SIX.shops["home_shop"], floor_minutes=0.0)
    k = replace(SIX, shops={**SIX.shops, "other": rich})
    assert diagnose(k, said()).shop == SIX.shops["home_shop"]
    assert diagnose(k, said(shop="other")).shop == rich
    with pytest.raises(CaseError, match="no shop 'elsewhere'; known are home_shop, other"):
        diagnose(k, said(shop="elsewhere"))
