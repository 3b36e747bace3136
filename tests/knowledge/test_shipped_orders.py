"""What the shipped rules tell people: fit to drive, holds, demands and what to put right, each by a short log."""

import pytest

from leakdx.case import Case, Comeback, Done, Doubt, LogEntry, Observation, Reading, Told
from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.facts import given_facts
from leakdx.reasoning.gather import known_history
from leakdx.reasoning.orders import Orders
from leakdx.reasoning.rules import run_rules
from leakdx.reasoning.timeline import timeline

CLOSING_HOLDS = {"before_closing", "no_reseal_alone_at_a_comeback"}
Said = str | tuple[str, ...]
WASHED_AND_DRIVEN: tuple[Said, ...] = ("washed", "driven")
OPEN: tuple[Said, ...] = ("drained", "carrier_out")
CLOSED: tuple[Said, ...] = (*OPEN, "new_fasteners", "reseal_with_gasket", "refilled")


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return load_knowledge([shipped_folder()])


def orders(knowledge: Knowledge, *log: Said) -> Orders:
    """What the rules say of a log.

    An act; (sign or group, answer); (sign, answer, "fairly"); (sign, value, unit); ("doubt", tool, chance);
    ("comeback", place).
    """
    case = Case(
        id="ORDERS", complaint=knowledge.complaint, log=tuple(_entry(knowledge, n, s) for n, s in enumerate(log, 1))
    )
    meaning = timeline(knowledge, case)
    run = run_rules(knowledge, given_facts(knowledge, meaning))
    return Orders(knowledge, meaning, run, known_history(knowledge, meaning, run))


def _entry(knowledge: Knowledge, number: int, said: Said) -> LogEntry:
    if isinstance(said, str):
        return Done(number=number, who="AB", act=said)
    if said[0] == "doubt":
        return Doubt(number=number, who="AB", doubt=said[1], chance=float(said[2]))
    if said[0] == "comeback":
        return Comeback(number=number, who="AB", place=said[1])
    head, answer, *rest = said
    if rest == ["fairly"]:
        return Observation(number=number, who="AB", sign=head, answer=answer, sure="fairly")
    if rest:
        return Reading(number=number, who="AB", sign=head, value=answer, unit=rest[0])
    if head in knowledge.history:
        return Told(number=number, who="AB", group=head, answer=answer)
    return Observation(number=number, who="AB", sign=head, answer=answer)


FIT: list[tuple[str, str, tuple[Said, ...]]] = [
    ("not_judged", "nothing is known", ()),
    ("no", "an oiled brake", (("brake_oiled", "yes"),)),
    ("no", "an oiled brake, only fairly sure", (("brake_oiled", "yes", "fairly"),)),
    ("no", "wet at the wheel and the brake not looked at", (("wet.wheel_seal", "yes"),)),
    ("recheck", "wheel wet, brake dry", (("wet.wheel_seal", "yes"), ("brake_oiled", "no"), ("leak_grade", "film"))),
    ("no", "oil first at the wheel and the brake not looked at", (("origin.wheel_seal", "yes"), ("level_low", "no"))),
    ("no", "neighbours slack", (("torque_pattern", "neighbours_low"), ("leak_grade", "film"), ("level_low", "no"))),
    ("no", "all slack", (("torque_pattern", "all_low"),)),
    ("recheck", "one slack", (("torque_pattern", "one_low"), ("leak_grade", "film"))),
    ("recheck", "all slack, then tightened", (("torque_pattern", "all_low"), "tightened", ("leak_grade", "film"))),
    ("recheck", "all slack, then closed anew", (("torque_pattern", "all_low"), *CLOSED, ("leak_grade", "film"))),
    ("no", "closed anew, back, and slack", (*CLOSED, ("comeback", "carrier_joint"), ("torque_pattern", "all_low"))),
    ("no", "sealant curing", (*OPEN, "reseal_with_sealant")),
    ("no", "back, and sealant curing again", (*CLOSED, ("comeback", "carrier_joint"), *OPEN, "reseal_with_sealant")),
    ("no", "a line, only fairly sure", (("crack_line_seen", "yes", "fairly"),)),
    ("no", "a line fairly surely cleared", (("crack_line_seen", "yes"), ("penetrant_line", "no", "fairly"))),
    ("not_judged", "a line surely cleared by penetrant", (("crack_line_seen", "yes"), ("penetrant_line", "no"))),
    ("no", "a stream at a good level", (("leak_grade", "stream"), ("level_low", "no"))),
    ("no", "drops and the level not read", (("leak_grade", "drop_falls"),)),
    ("recheck", "drops and the level in range", (("leak_grade", "drop_falls"), ("level_low", "no"))),
    ("recheck", "a seep", (("leak_grade", "drop_forms"),)),
    ("no", "low and a seep", (("leak_grade", "film"), ("level_low", "yes"))),
    ("no", "topped up to get here", ("topped_up",)),
    ("recheck", "low, inspected and filled", (("level_low", "yes"), "inspect_after_low_level")),
    ("no", "metal on the magnet beside a seep", (("metal_in_oil", "yes"), ("leak_grade", "film"))),
    ("no", "play in a wheel end", (("wheel_play", "yes"),)),
    ("no", "too hot by hand", (("housing_temperature", "yes"),)),
    ("no", "the carrier is out", OPEN),
    ("no", "drained", ("drained",)),
    ("no", "sealant that cures", (*OPEN, "reseal_with_sealant")),
    ("recheck", "another unit's fluid", (("fluid_kind", "thin_oil"), ("leak_grade", "film"))),
    ("recheck", "seen to come out at the joint", (*WASHED_AND_DRIVEN, ("origin.carrier_joint", "yes"))),
    ("recheck", "seen to come out at the holes", (*WASHED_AND_DRIVEN, ("origin.fastener_holes", "yes"))),
    ("recheck", "seen to come out at the breather", (*WASHED_AND_DRIVEN, ("origin.breather", "yes"))),
    ("recheck", "reported wet, the level in range", (("level_low", "no"),)),
    ("recheck", "the pinion wet, the level in range", (("wet.pinion_seal", "yes"), ("level_low", "no"))),
    ("recheck", "came in washed and dry", (("arrived", "washed"), ("wet.carrier_joint", "no"), ("level_low", "no"))),
    ("yes", "came in washed, driven and dry", (("arrived", "washed"), "driven", ("wet.carrier_joint", "no"))),
    ("not_judged", "came in washed, level unread", (("arrived", "washed"), ("wet.carrier_joint", "no"))),
    ("no", "read too hot", (("housing_temperature", "130", "degC"),)),
    ("recheck", "read at the limit of heat", (("housing_temperature", "122", "degC"),)),
    ("yes", "washed, driven and surely dry", (*WASHED_AND_DRIVEN, ("wet.carrier_joint", "no"))),
    ("not_judged", "washed, driven and fairly surely dry", (*WASHED_AND_DRIVEN, ("wet.carrier_joint", "no", "fairly"))),
    ("yes", "a seep that did not come back", (("leak_grade", "film"), *WASHED_AND_DRIVEN, ("wet.carrier_joint", "no"))),
    ("no", "dry joint and an oiled brake", (*WASHED_AND_DRIVEN, ("wet.carrier_joint", "no"), ("brake_oiled", "yes"))),
]  # fmt: skip


@pytest.mark.parametrize(("answer", "story", "log"), FIT, ids=[f"{answer}: {story}" for answer, story, _ in FIT])
def test_fit_to_drive(knowledge: Knowledge, answer: str, story: str, log: tuple[Said, ...]) -> None:
    fit = orders(knowledge, *log).fit_to_drive()
    assert fit.answer == answer, f"{story}: {fit.reason} ({fit.by})"


def test_every_fit_no_of_the_truck_itself_also_forbids_the_road(knowledge: Knowledge) -> None:
    for id, rule in knowledge.rules.items():
        if any(said.fit == "no" for said in rule.then) and rule.name != "Sealant curing":
            assert any(said.forbid == "driven" for said in rule.then), id


HELD = {
    "washed": {"where_wet", "fluid_look", "breather_look"},
    "drained": {"level_on_arrival"},
    "topped_up": {"level_on_arrival"},
    "tightened": {"torque_audit"},
    "carrier_out": {"torque_audit", "breather_blow", "level_on_arrival"},
}


def test_what_a_joint_that_came_back_looks_like_is_looked_at_before_a_wash(knowledge: Knowledge) -> None:
    back = orders(knowledge, *CLOSED, ("comeback", "carrier_joint"))
    assert "before_washing" in [hold.rule for hold in back.holds()]


@pytest.mark.parametrize("act", HELD)
def test_what_destroys_evidence_is_held_until_it_is_recorded(knowledge: Knowledge, act: str) -> None:
    holds = [hold for hold in orders(knowledge).holds() if act in hold.before]
    assert {check for hold in holds for check in hold.record} == HELD[act]


def test_scraping_is_held_by_the_reading_of_the_seal_that_is_there(knowledge: Knowledge) -> None:
    records = {
        seal: {
            check
            for hold in orders(knowledge, ("sealing_material", seal), *OPEN).holds()
            if "scraped" in hold.before
            for check in hold.record
        }
        for seal in ("sealant", "gasket")
    }
    assert records == {"sealant": {"bead_reading"}, "gasket": {"gasket_reading"}}


def test_one_reading_at_the_limit_holds_and_a_second_one_settles(knowledge: Knowledge) -> None:
    once = (*OPEN, ("housing_face_flatness", "0.005", "in"))
    assert "measure_housing_again" in [hold.rule for hold in orders(knowledge, *once).holds()]
    twice = (*once, ("housing_face_flatness", "0.005", "in"))
    assert "measure_housing_again" not in [hold.rule for hold in orders(knowledge, *twice).holds()]


def test_too_close_never_lifts_a_stop(knowledge: Knowledge) -> None:
    told = orders(knowledge, *OPEN, ("housing_face_flatness", "0.006", "in"), ("housing_face_flatness", "0.0045", "in"))
    assert ("reseal_with_gasket", ("restore_housing_face",)) in [(f.action, f.other) for f in told.forbidden()]


@pytest.mark.parametrize("sign", ["housing_face_flatness", "carrier_face_flatness"])
def test_readings_on_both_sides_of_the_limit_are_said_to_disagree_until_one_is_withdrawn(
    knowledge: Knowledge, sign: str
) -> None:
    both = (*OPEN, (sign, "0.002", "in"), (sign, "0.009", "in"))
    assert "entries_disagree" in [caution.id for caution in orders(knowledge, *both).cautions()]
    assert [h for h in orders(knowledge, *both).holds() if h.rule.endswith("_again")]
    one = orders(knowledge, *OPEN, (sign, "0.009", "in"))
    assert "entries_disagree" not in [caution.id for caution in one.cautions()]


WAITS: list[tuple[str, tuple[Said, ...]]] = [
    ("wheel_end_look", (("wet.wheel_seal", "yes"),)),
    ("level_on_arrival", (("leak_grade", "drop_falls"),)),
    ("penetrant_test", (("crack_line_seen", "yes"),)),
]


@pytest.mark.parametrize(("check", "log"), WAITS, ids=str)
def test_what_fit_to_drive_waits_on_stands_with_the_rule_that_decides_it(
    knowledge: Knowledge, check: str, log: tuple[Said, ...]
) -> None:
    said = orders(knowledge, *log)
    assert said.fit_to_drive().answer == "no"
    assert [hold.record for hold in said.holds() if hold.rule == said.fit_to_drive().by] == [(check,)]


def test_a_leak_that_a_later_dry_look_overtakes_is_not_said_any_more(knowledge: Knowledge) -> None:
    leaks = (*WASHED_AND_DRIVEN, ("origin.carrier_joint", "yes"))
    assert orders(knowledge, *leaks).fit_to_drive().by == "recheck_proved_leak"
    dry = orders(knowledge, *leaks, *WASHED_AND_DRIVEN, ("wet.carrier_joint", "no"))
    assert dry.fit_to_drive().answer == "yes"


def test_wet_as_found_and_no_oil_out_of_the_joint_after_a_wash_and_a_drive_is_dry(knowledge: Knowledge) -> None:
    found = (("wet.carrier_joint", "yes"), *WASHED_AND_DRIVEN, ("origin.carrier_joint", "no"))
    assert orders(knowledge, *found).fit_to_drive().answer == "yes"
    pinion = orders(knowledge, ("wet.pinion_seal", "yes"), *found)
    assert pinion.fit_to_drive().answer != "yes"


@pytest.mark.parametrize("face", ["housing", "carrier"])
def test_readings_on_either_side_of_the_limit_stop_and_hold_but_prove_nothing(knowledge: Knowledge, face: str) -> None:
    sign = f"{face}_face_flatness"
    told = orders(knowledge, *OPEN, (sign, "0.005", "in"), (sign, "0.006", "in"))
    assert f"no_gasket_on_a_bad_{face}_face" in [ban.rule for ban in told.forbidden()]
    assert f"measure_{face}_again" in [hold.rule for hold in told.holds()]
    assert f"{face}_face_out_of_flat" not in told.established()
    plain = orders(knowledge, *OPEN, (sign, "0.008", "in"))
    assert f"{face}_face_out_of_flat" in plain.established()


PAST: list[tuple[str, tuple[Said, ...]]] = [
    ("before_washing", ("washed",)),
    ("before_washing", (("arrived", "washed"),)),
    ("before_washing", CLOSED),
    ("before_draining", ("drained",)),
    ("before_tightening", ("tightened",)),
    ("before_tightening", OPEN),
    ("before_opening", OPEN),
]


@pytest.mark.parametrize(("rule", "log"), PAST, ids=str)
def test_a_hold_does_not_outlive_the_deed_that_ends_its_evidence(
    knowledge: Knowledge, rule: str, log: tuple[Said, ...]
) -> None:
    assert rule in [hold.rule for hold in orders(knowledge).holds()]
    assert rule not in [hold.rule for hold in orders(knowledge, *log).holds()]


def test_a_joint_that_came_in_washed_is_neither_opened_nor_sealed_before_a_drive(knowledge: Knowledge) -> None:
    washed = orders(knowledge, ("arrived", "washed"))
    waiting = {f.action for f in washed.forbidden() if f.other == ("driven",)}
    assert waiting >= {"carrier_out", "reseal_with_gasket", "reseal_with_sealant", "trail_look"}
    driven = orders(knowledge, ("arrived", "washed"), "driven")
    assert [f for f in driven.forbidden() if f.other == ("driven",)] == []


def test_no_seal_is_renewed_on_an_axle_that_cannot_breathe_until_it_can(knowledge: Knowledge) -> None:
    shut = (("breather_no_flow", "yes"),)
    waiting = {f.action for f in orders(knowledge, *shut).forbidden() if f.other == ("clear_breather",)}
    seals = {"reseal_with_gasket", "reseal_with_sealant", "replace_pinion_seal", "replace_wheel_seal"}
    more = {"replace_through_shaft_seal", "reseal_power_divider_cover", "reseal_lock_actuator"}
    assert waiting == seals | more
    cleared = orders(knowledge, *shut, "clear_breather")
    assert [f for f in cleared.forbidden() if f.other == ("clear_breather",)] == []
    assert "clear_breather" not in [s.id for s in cleared.put_right()]


def test_foreign_fluid_keeps_the_joint_shut_only_while_no_second_leak_is_seen(knowledge: Knowledge) -> None:
    foreign = (("fluid_kind", "black_oil"),)
    assert "no_opening_for_foreign_fluid" in [f.rule for f in orders(knowledge, *foreign).forbidden()]
    second = orders(knowledge, *foreign, *WASHED_AND_DRIVEN, ("origin.carrier_joint", "yes"))
    assert "no_opening_for_foreign_fluid" not in [f.rule for f in second.forbidden()]


def test_a_proved_crack_is_replaced_in_every_path_and_never_welded(knowledge: Knowledge) -> None:
    told = orders(knowledge, ("penetrant_line", "yes"))
    assert [s.id for s in told.required()] == ["replace_cracked_part"]
    assert ("weld_casting", "not at all") in [(f.action, f.scope) for f in told.forbidden()]


def test_what_was_told_and_what_was_found_are_said_to_disagree(knowledge: Knowledge) -> None:
    told = orders(knowledge, ("sealing_material", "gasket"), *OPEN, ("bead_peels_clean", "yes"))
    assert "entries_disagree" in [caution.id for caution in told.cautions()]
    agreed = orders(knowledge, ("sealing_material", "sealant"), *OPEN, ("bead_peels_clean", "yes"))
    assert "entries_disagree" not in [caution.id for caution in agreed.cautions()]


@pytest.mark.parametrize("breathes", [("breather_no_flow", "yes"), ("level_high", "yes")])
def test_a_seal_that_is_pushed_is_not_proved_to_have_failed(knowledge: Knowledge, breathes: Said) -> None:
    at_pinion = (*WASHED_AND_DRIVEN, ("origin.pinion_seal", "yes"))
    assert "pinion_seal_worn" in orders(knowledge, ("breather_no_flow", "no"), *at_pinion).established()
    assert "pinion_seal_worn" not in orders(knowledge, breathes, *at_pinion).established()
    assert "pinion_seal_worn" not in orders(knowledge, *at_pinion).established()


@pytest.mark.parametrize("closing", ["reseal_with_gasket", "reseal_with_sealant"])
def test_the_second_time_asks_for_measurements_and_the_third_for_another_question(
    knowledge: Knowledge, closing: str
) -> None:
    first, second, third = (
        orders(knowledge, ("came_back", answer)) for answer in ("first_time", "once", "again_and_again")
    )
    alone = {"housing_face_flat", "carrier_face_flat", "dowel_look"}
    for told, is_barred in ((first, False), (second, True), (third, True)):
        assert (alone in [set(ban.other) for ban in told.forbidden() if ban.action == closing]) == is_barred
    held = [{check for h in told.holds() if {closing, "carrier_out"} & set(h.before) for check in h.record}
            for told in (first, second, third)]  # fmt: skip
    assert held[0] < held[2]
    assert {"casting_look", "dowel_look", "origin_look", "breather_blow"} <= held[2]
    assert [h for h in second.holds() if closing in h.before and h.record == ("torque_audit",)]


def test_a_measured_comeback_may_be_closed(knowledge: Knowledge) -> None:
    measured = (("housing_face_flatness", "0.002", "in"), ("carrier_face_flatness", "0.002", "in"))
    told = orders(knowledge, ("came_back", "once"), *OPEN, *measured, ("dowel_state", "tight"))
    assert "no_reseal_alone_at_a_comeback" not in [ban.rule for ban in told.forbidden()]


@pytest.mark.parametrize("spent", ["fastener_stretched", "bottomed_marks", "thread_oily"])
def test_spent_fasteners_are_not_tightened_even_on_a_gasket(knowledge: Knowledge, spent: str) -> None:
    gasket = ("sealing_material", "gasket")
    assert "retorque_in_place" not in [ban.action for ban in orders(knowledge, gasket).forbidden()]
    told = orders(knowledge, gasket, (spent, "yes"))
    assert {"retorque_in_place", "tightened"} <= {b.action for b in told.forbidden() if b.scope == "not at all"}


@pytest.mark.parametrize("shown", ["casting_weep", "penetrant_dots", "crack_line_seen"])
def test_metal_that_leaks_is_never_welded(knowledge: Knowledge, shown: str) -> None:
    told = orders(knowledge, (shown, "yes"))
    assert ("weld_casting", "not at all") in [(ban.action, ban.scope) for ban in told.forbidden()]


def test_what_ran_low_is_not_only_filled_up(knowledge: Knowledge) -> None:
    low = orders(knowledge, ("level_low", "yes"))
    assert ("correct_level", ("inspect_after_low_level",)) in [(ban.action, ban.other) for ban in low.forbidden()]
    inspected = orders(knowledge, ("level_low", "yes"), "inspect_after_low_level")
    assert "correct_level" not in [ban.action for ban in inspected.forbidden()]


DOUBTED: list[tuple[str, str, str, tuple[Said, ...]]] = [
    ("torque_wrench", "carrier_out", "torque_audit", (("torque_pattern", "all_low"),)),
    ("straight_edge", "restore_housing_face", "housing_face_flat", (*OPEN, ("housing_face_flatness", "0.009", "in"))),
    ("straight_edge", "restore_carrier_face", "carrier_face_flat", (*OPEN, ("carrier_face_flatness", "0.009", "in"))),
    ("penetrant", "replace_cracked_part", "penetrant_test", (("penetrant_line", "yes"),)),
    ("thermometer", "find_overheat_cause", "hot_reading", (("housing_temperature", "130", "degC"),)),
]


@pytest.mark.parametrize(("tool", "action", "check", "log"), DOUBTED, ids=str)
def test_what_rests_on_a_doubted_tool_is_looked_at_again_before_it_is_acted_on(
    knowledge: Knowledge, tool: str, action: str, check: str, log: tuple[Said, ...]
) -> None:
    def held(*said: Said) -> list[str]:
        return [h.rule for h in orders(knowledge, *said).holds() if action in h.before and h.record == (check,)]

    new = set(held(*log, ("doubt", tool, "0.4"))) - set(held(*log))
    assert new
    assert not set(held(*log, ("doubt", tool, "0"))) & new


def test_a_doubted_wash_is_done_again_before_anything_is_opened(knowledge: Knowledge) -> None:
    def held(*said: Said) -> bool:
        return any(h.rule == "doubted_wash" and "carrier_out" in h.before for h in orders(knowledge, *said).holds())

    looked = (*WASHED_AND_DRIVEN, ("origin.carrier_joint", "yes"))
    doubted = (*looked, ("doubt", "washed", "0.4"))
    assert not held(*looked)
    assert held(*doubted)
    assert held(*doubted, *WASHED_AND_DRIVEN)
    assert not held(*doubted, *looked)


SOON: list[tuple[str, tuple[str, ...]]] = [
    ("at_once", ("torque_audit", "head_marks_look")),
    ("weeks", ("torque_audit", "ask_how_closed")),
    ("months", ("torque_audit", "feeler_at_line", "witness_line")),
]


@pytest.mark.parametrize(("after", "asked"), SOON, ids=str)
def test_how_soon_it_failed_says_what_is_asked_before_it_comes_apart(
    knowledge: Knowledge, after: str, asked: tuple[str, ...]
) -> None:
    told = orders(knowledge, ("last_repair", "gasket"), ("failed_after", after))
    own = [hold for hold in told.holds() if hold.text.startswith("Wet again within")]
    assert [hold.record for hold in own] == [asked]
    assert "carrier_out" in own[0].before
    assert "no_reseal_alone_at_a_comeback" in [ban.rule for ban in told.forbidden()]


def test_what_another_shop_closed_is_not_asked_how_it_was_closed(knowledge: Knowledge) -> None:
    log = (("last_repair", "gasket"), ("failed_after", "weeks"), ("torque_pattern", "even"))

    def asked(*more: Said) -> bool:
        return any("ask_how_closed" in hold.record for hold in orders(knowledge, *log, *more).holds())

    assert asked()
    assert asked(("opened_by", "own_shop"))
    assert not asked(("opened_by", "other_shop"))


def test_the_drive_is_held_again_however_often_it_was_driven(knowledge: Knowledge) -> None:
    log = (*WASHED_AND_DRIVEN, ("wet.carrier_joint", "no"), ("origin.wheel_seal", "yes"))
    assert "driven" in [before for hold in orders(knowledge, *log).holds() for before in hold.before]


def test_what_is_held_before_closing_falls_when_it_is_closed_either_way_and_stands_when_it_is_open_again(
    knowledge: Knowledge,
) -> None:
    def held(*said: Said) -> set[str]:
        return {hold.rule for hold in orders(knowledge, *said).holds()} & CLOSING_HOLDS

    came_back: tuple[Said, ...] = (("came_back", "once"), *OPEN)
    assert held(*came_back) == CLOSING_HOLDS
    assert held(*came_back, "reseal_with_gasket") == set()
    assert held(*came_back, "reseal_with_sealant") == set()
    assert held(*came_back, "reseal_with_gasket", "carrier_out") == CLOSING_HOLDS


def test_new_fasteners_are_used_ones_once_the_carrier_is_out_again(knowledge: Knowledge) -> None:
    def barred(*said: Said) -> bool:
        return any(ban.rule == "no_used_fasteners" for ban in orders(knowledge, *said).forbidden())

    done: tuple[Said, ...] = (*OPEN, "new_fasteners", "reseal_with_gasket")
    assert barred(*OPEN)
    assert not barred(*done)
    assert barred(*done, "carrier_out")
    assert not barred(*done, "carrier_out", "new_fasteners")


def test_an_inspection_without_a_finding_is_asked_what_was_seen(knowledge: Knowledge) -> None:
    def held(*said: Said) -> bool:
        return any("oil_look" in hold.record and "driven" in hold.before for hold in orders(knowledge, *said).holds())

    assert not held(("level_low", "no"))
    assert held("inspect_after_low_level")
    assert not held("inspect_after_low_level", ("metal_in_oil", "no"), ("oil_burnt", "no"))


def test_what_held_a_year_is_no_comeback(knowledge: Knowledge) -> None:
    held = orders(knowledge, ("came_back", "once"), ("last_repair", "sealant"), ("failed_after", "held_long"))
    assert "no_reseal_alone_at_a_comeback" not in [ban.rule for ban in held.forbidden()]


def test_what_was_tightened_and_is_wet_again_is_not_tightened_again(knowledge: Knowledge) -> None:
    told = orders(knowledge, ("sealing_material", "gasket"), ("last_repair", "tightened"))
    assert ("retorque_in_place", "not at all") in [(ban.action, ban.scope) for ban in told.forbidden()]


def test_a_new_seal_that_is_wet_again_asks_for_the_breather_and_the_level(knowledge: Knowledge) -> None:
    told = orders(knowledge, ("last_repair", "seal_replaced"), ("failed_after", "weeks"))
    held = {check for hold in told.holds() if "replace_pinion_seal" in hold.before for check in hold.record}
    assert {"breather_blow", "level_on_arrival"} <= held
