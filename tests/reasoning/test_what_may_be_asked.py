"""What may be asked of a truck, on a small knowledge: its state, its answers, its rules, and what comes first."""

from itertools import count
from typing import Any

import pytest
from msgspec.structs import replace

from leakdx.case import Done, LogEntry, Observation, Told
from leakdx.knowledge.model import Act, Knowledge, Opening
from leakdx.reasoning.answer import Forbidden, Hold
from leakdx.reasoning.offer import Offer
from leakdx.reasoning.timeline import timeline
from tests.reasoning.workshop import MARKED, truck, workshop

DONE = ("washed", "driven", "drained", "polished", "reseal", "new_seal")


def garage() -> Knowledge:
    """The workshop, where crust shows residue, pits show skin, and polishing ends skin, renews pits and hides crust."""
    k = workshop()
    causes = {
        **k.causes,
        "residue": replace(k.causes["residue"], shows={"crust": "mostly"}),
        "skin": replace(k.causes["skin"], shows={"pits": "mostly"}, looks={"torque": {"one_low": "seldom"}}),
    }
    acts = {**k.acts, "polished": Act(name="polished", cures={"skin": "mostly"}, hides=("level",), **MARKED)}
    checks = {
        **k.checks,
        "ask_sealing": replace(k.checks["look_level"], reveals=("sealing",)),
        "paste_only": replace(k.checks["look_level"], only_if={"sealing": ("paste",)}),
    }
    return replace(k, causes=causes, acts=acts, checks=checks)


K = garage()


def offer(*words: str | tuple[str, str], k: Knowledge = K, **fields: Any) -> Offer:
    """A lone word is an act, a pair a history answer or what a sign showed."""
    log: list[LogEntry] = []
    for number, word in zip(count(1), words, strict=False):
        if isinstance(word, str):
            log.append(Done(number=number, who="AB", act=word))
        elif word[0] in k.history:
            log.append(Told(number=number, who="AB", group=word[0], answer=word[1]))
        else:
            log.append(Observation(number=number, who="AB", sign=word[0], answer=word[1]))
    line = timeline(k, truck(*log))
    history = {told.group: told.answer for told in line.history}
    plain: dict[str, Any] = {"history": history, "forbidden": (), "fit": "yes", "derived": (), "findings": ()}
    return Offer(k, line, **{**plain, **fields})


def ban(action: str, scope: str = "not at all", *other: str) -> Forbidden:
    return Forbidden(action, "a_rule", scope, "", (), other)


# -- answers -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("answer", ["yes", "no", "unsure", "can't reach", "not fitted"])
def test_what_was_answered_in_this_epoch_is_not_asked_again(answer: str) -> None:
    assert offer().checks()["look_crust"] == ("crust",)
    assert "look_crust" not in offer(("crust", answer)).checks()
    assert "crust" not in offer(("crust", answer)).askable()


def test_a_check_asks_what_is_left_of_it() -> None:
    assert offer().checks()["look_where"] == ("wet.joint", "wet.seal")
    assert offer(("wet.joint", "yes")).checks()["look_where"] == ("wet.seal",)


def test_what_an_act_may_have_changed_is_asked_again_and_nothing_else() -> None:
    seen = [("crust", "yes"), ("pits", "yes"), ("torque", "even")]
    assert not {"crust", "pits", "torque"} & set(offer(*seen).askable())
    # Polishing may have ended skin, of which pits and the torque pattern are signs, not residue.
    assert {"crust", "pits", "torque"} & set(offer(*seen, "polished").askable()) == {"pits"}
    # Pits are seen with the joint apart, which spoils the torque pattern.
    assert "torque" in offer(("torque", "even"), "polished").askable()


def test_what_a_renewed_part_shows_is_asked_again() -> None:
    renewing = replace(K.acts["polished"], cures={}, renews=("crust",))
    k = replace(K, acts={**K.acts, "polished": renewing})
    assert "crust" in offer(("crust", "yes"), "polished", k=k).askable()


def test_unsure_holds_for_its_epoch_and_an_act_since_opens_the_question() -> None:
    assert "pits" not in offer(("pits", "unsure")).askable()
    assert "pits" in offer(("pits", "unsure"), "polished").askable()


def test_out_of_reach_until_something_is_opened() -> None:
    assert "level" not in offer(("level", "can't reach")).askable()
    assert "level" in offer(("level", "can't reach"), "washed").askable()


def test_what_rules_have_derived_is_not_asked() -> None:
    assert "crust" not in offer(derived=("crust",)).askable()


# -- the state of the truck --------------------------------------------------------------------------------


def test_places_say_nothing_between_the_wash_and_the_drive() -> None:
    before = offer(("wet.joint", "yes"))
    assert "wet.joint" not in before.askable()
    washed = offer(("wet.joint", "yes"), "washed").checks()
    assert "look_where" not in washed
    # Looking again drives the truck first.
    assert washed["look_again"] == ("origin.joint",)
    driven = offer(("wet.joint", "yes"), "washed", "driven").checks()
    assert driven["look_where"] == ("wet.joint", "wet.seal")


def test_what_an_act_hides_waits_for_the_drive() -> None:
    assert "level" in offer().askable()
    assert "level" not in offer("polished").askable()
    assert "level" in offer("polished", "driven").askable()


def test_what_was_spoiled_is_not_asked() -> None:
    assert "crust" in offer().askable()
    assert "crust" not in offer("washed").askable()
    assert "torque" not in offer(("pits", "no")).askable()


def test_not_fit_to_drive_bars_checks_that_drive() -> None:
    assert "look_again" not in offer(fit="no").checks()
    assert {"look_where", "look_crust"} <= offer(fit="no").checks().keys()
    for fit in ("yes", "recheck", "not_judged"):
        assert "look_again" in offer(fit=fit).checks()
    # A drive that lies behind us is not asked for.
    assert "look_again" in offer("washed", "driven", fit="no").checks()


@pytest.mark.parametrize("barred", ["look_again", "clean", "washed", "driven_since", "driven"])
def test_what_is_barred_bars_the_checks_that_need_it(barred: str) -> None:
    assert "look_again" not in offer(forbidden=(ban(barred),)).checks()
    assert "look_crust" in offer(forbidden=(ban(barred),)).checks()


def test_what_is_open_already_need_not_be_permitted() -> None:
    assert "open_it" not in offer(forbidden=(ban("apart"),)).checks()
    assert offer(("pits", "no"), forbidden=(ban("apart"),)).checks()["open_it"] == ("flatness",)


def test_not_before_bars_until_it_is_done() -> None:
    waiting = (ban("open_it", "not before", "look_level", "washed"),)
    assert "open_it" not in offer(forbidden=waiting).checks()
    assert "open_it" not in offer(("level", "no"), forbidden=waiting).checks()
    assert "open_it" in offer(("level", "no"), "washed", forbidden=waiting).checks()
    assert "open_it" in offer(forbidden=(ban("open_it", "not as the cure"),)).checks()


def test_what_the_access_needs_must_be_permitted_too() -> None:
    deep = Opening(name="deep", minutes=(1.0, 1.0), needs=("apart",), **MARKED)
    k = replace(K, openings={**K.openings, "deep": deep})
    k = replace(k, checks={"down": replace(K.checks["look_level"], access=("deep",))})
    assert offer(k=k).allows("down")
    assert not offer(k=k, forbidden=(ban("apart"),)).allows("down")


def test_a_check_for_another_build_is_not_offered_and_one_not_known_is() -> None:
    assert offer().allows("paste_only")
    assert offer(("sealing", "paste")).allows("paste_only")
    assert not offer(("sealing", "sheet")).allows("paste_only")


# -- what comes first --------------------------------------------------------------------------------------


def hold(before: tuple[str, ...], *record: str) -> Hold:
    return Hold("Write it down first.", before, record, "a_rule")


@pytest.mark.parametrize("before", ["apart", "clean", "washed", "reseal"])
def test_a_hold_before_an_opening_its_act_or_a_repair_comes_first(before: str) -> None:
    holds = (hold(("new_seal",), "look_level"), hold((before,), "look_crust"))
    assert offer().first_to_record(("apart", "clean"), ("reseal",), holds) == holds[1]
    assert offer().first_to_record((), ("fill_up",), holds) is None


def test_a_hold_asks_for_what_is_not_written_down_yet() -> None:
    two = hold(("apart",), "look_crust", "look_level", "ask_sealing")
    assert offer().to_record(two) == ("look_crust", "look_level", "ask_sealing")
    assert offer(("crust", "unsure"), ("sealing", "paste")).to_record(two) == ("look_level",)
    done = offer(("crust", "no"), ("level", "no"), ("sealing", "unsure"))
    assert done.to_record(two) == ()
    assert done.first_to_record(("apart",), (), (two,)) is None


def test_what_cannot_be_made_keeps_nobody_waiting() -> None:
    one = hold(("apart",), "look_crust")
    assert offer(("crust", "can't reach")).to_record(one) == ()
    assert offer("washed").to_record(one) == ()
    assert offer(forbidden=(ban("look_crust"),)).to_record(one) == ()
    assert offer(("crust", "can't reach")).first_to_record(("apart",), (), (one,)) is None


def test_a_repair_demands_checks_that_can_be_made_with_the_joint_shut() -> None:
    firsts = {"reseal": ("open_it", "look_level", "look_crust"), "new_seal": ("look_level",)}
    repairs = {r: replace(e, first_hold=firsts.get(r, ())) for r, e in K.repairs.items()}
    k = replace(K, repairs=repairs)
    assert offer(k=k).to_confirm(("new_seal", "reseal"), ("apart",)) == ("look_level", "look_crust")
    assert offer(("level", "no"), k=k).to_confirm(("reseal",), ("apart",)) == ("look_crust",)
    assert offer(k=k).to_confirm(("fill_up",), ("apart",)) == ()
    # With the joint open, its look is at hand.
    assert offer(k=k).to_confirm(("reseal",), ())[0] == "open_it"


def test_a_check_waits_for_a_finding_or_is_moot_with_it() -> None:
    look = K.checks["look_level"]
    checks = {
        **K.checks,
        "once": replace(look, once_found=("a", "b")),
        "unless": replace(look, unless_found=("a", "b")),
    }
    k = replace(K, checks=checks)
    assert [offer(k=k, findings=found).allows("once") for found in ((), ("b",), ("c",))] == [False, True, False]
    assert [offer(k=k, findings=found).allows("unless") for found in ((), ("b",), ("c",))] == [True, False, True]


def test_a_sign_is_moot_once_another_look_gave_that_answer() -> None:
    signs = {**K.signs, "crust": replace(K.signs["crust"], unless_seen={"level": ("yes",)})}
    k = replace(K, signs=signs)
    asked = [("crust" in offer(*words, k=k).askable()) for words in ((), (("level", "no"),), (("level", "yes"),))]
    assert asked == [True, True, False]
