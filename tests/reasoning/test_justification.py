"""Why, why not, and what the rules tell people: each with the rule and what it stood on."""

from collections.abc import Mapping
from typing import Any

import pytest

from leakdx.case import Done, LogEntry, Observation, Reading
from leakdx.knowledge.actions import Conclusion, Condition, Rule
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import FitToDrive, Forbidden, Hold, Said
from leakdx.reasoning.facts import Fact, given_facts
from leakdx.reasoning.justification import WhyNot, about, justification_graph, things_about, why, why_not
from leakdx.reasoning.orders import NOT_JUDGED, Orders
from leakdx.reasoning.rules import RuleRun, run_rules
from leakdx.reasoning.timeline import timeline
from tests.reasoning.workshop import rule, truck, workshop

CRUSTY = Condition(sign="crust", is_=("yes",))
PITTED = Condition(sign="pits", is_=("yes",))
NO_LEVEL = Condition(sign="level", is_=("yes",), absent=True)
FOUND = Fact("finding", "finding0")
BAN = Conclusion(forbid="reseal", scope="not at all", say="it would not hold")


def saw(number: int, sign: str, answer: str = "yes") -> Observation:
    return Observation(number=number, who="AB", sign=sign, answer=answer)


def did(number: int, act: str) -> Done:
    return Done(number=number, who="AB", act=act)


def run_of(knowledge: Knowledge, *log: LogEntry) -> RuleRun:
    return run_rules(knowledge, given_facts(knowledge, timeline(knowledge, truck(*log))))


def orders_of(rules: Mapping[str, Rule], *log: LogEntry) -> Orders:
    knowledge = workshop(rules)
    return Orders(knowledge, timeline(knowledge, truck(*log)), run_of(knowledge, *log), {})


def crusty_says(**conclusion: Any) -> dict[str, Rule]:
    return {"says": rule("act", [CRUSTY], Conclusion(**conclusion))}


CHAIN = {
    "by_crust": rule("measure", [CRUSTY, NO_LEVEL], Conclusion(finding="finding0")),
    "by_pits": rule("measure", [PITTED], Conclusion(finding="finding0")),
    "stop": rule("act", [Condition(finding="finding0")], BAN),
}


def test_the_graph_runs_from_observation_through_rules_to_what_is_said() -> None:
    run = run_of(workshop(CHAIN), saw(1, "crust"))
    graph = justification_graph(run)
    roles = {node: attributes["role"] for node, attributes in graph.nodes.items()}
    assert (roles[NO_LEVEL], roles[BAN]) == ("absent", "said")
    first, second = run.firings
    seen = Fact("sign", "crust", "yes")
    assert set(graph.edges) == {(seen, first), (NO_LEVEL, first), (first, FOUND), (FOUND, second), (second, BAN)}
    assert (roles[seen], roles[FOUND], roles[first]) == ("observation", "finding", "firing")


def test_why_is_the_tree_of_all_reasons() -> None:
    run = run_of(workshop(CHAIN), saw(1, "crust"), saw(2, "pits"))
    tree = why(justification_graph(run), run, BAN)
    (stop,) = tree.because
    (found,) = stop.premises
    assert (stop.rule, found.thing, found.entries) == ("stop", FOUND, ())
    assert [reason.rule for reason in found.because] == ["by_crust", "by_pits"]
    by_crust = found.because[0]
    assert by_crust.absent == (NO_LEVEL,)
    assert (by_crust.premises[0].thing, by_crust.premises[0].entries) == (Fact("sign", "crust", "yes"), (1,))


def test_why_of_rules_that_stand_on_each_other_ends() -> None:
    rules = {
        "start": rule("measure", [CRUSTY], Conclusion(finding="finding0")),
        "there": rule("measure", [Condition(finding="finding0")], Conclusion(finding="finding1")),
        "back": rule("measure", [Condition(finding="finding1")], Conclusion(finding="finding0")),
    }
    run = run_of(workshop(rules), saw(1, "crust"))
    tree = why(justification_graph(run), run, FOUND)
    assert [reason.rule for reason in tree.because] == ["start", "back"]
    (other,) = tree.because[1].premises
    assert other.because == ()


def test_why_of_what_is_not_so_is_refused() -> None:
    run = run_of(workshop(CHAIN), saw(1, "level"))
    with pytest.raises(KeyError):
        why(justification_graph(run), run, FOUND)


def test_why_not_names_the_nearest_rule_and_what_it_lacks() -> None:
    knowledge = workshop(CHAIN)
    run = run_of(knowledge, saw(1, "crust"), saw(2, "level"))
    level = Fact("sign", "level", "yes")
    assert why_not(knowledge, run.facts, FOUND) == WhyNot("by_crust", (), (level,))
    assert why_not(knowledge, run.facts, "by_pits") == WhyNot("by_pits", (PITTED,), ())
    assert why_not(knowledge, run.facts, "reseal") == WhyNot("stop", (Condition(finding="finding0"),), ())
    assert why_not(knowledge, run.facts, BAN) == why_not(knowledge, run.facts, "reseal")
    assert why_not(knowledge, run.facts, "new_seal") is None
    assert why_not(knowledge, run_of(knowledge, saw(1, "pits")).facts, FOUND) == WhyNot("by_pits", (), ())


def test_things_are_found_by_what_they_speak_of() -> None:
    run = run_of(workshop(CHAIN), saw(1, "crust"))
    assert things_about(run, "finding0") == (FOUND,)
    assert things_about(run, "reseal") == (BAN,)
    assert about(Conclusion(fit="no", say="no")) is None


def test_the_strongest_answer_says_whether_it_may_be_driven() -> None:
    rules = {
        "dry": rule("act", [], Conclusion(fit="yes", say="dry")),
        "seeps": rule("act", [CRUSTY], Conclusion(fit="recheck", say="it seeps")),
        "cracked": rule("act", [PITTED], Conclusion(fit="no", say="a line")),
        "also": rule("act", [PITTED], Conclusion(fit="no", say="another")),
    }
    assert orders_of(rules).fit_to_drive() == FitToDrive("yes", "dry", "dry")
    assert orders_of(rules, saw(1, "crust")).fit_to_drive() == FitToDrive("recheck", "it seeps", "seeps")
    assert orders_of(rules, saw(1, "crust"), saw(2, "pits")).fit_to_drive() == FitToDrive("no", "a line", "cracked")


def test_without_rules_nothing_is_said() -> None:
    orders = orders_of({}, saw(1, "crust"), saw(2, "pits"))
    assert orders.fit_to_drive() == FitToDrive("not_judged", NOT_JUDGED, None)
    lists = (orders.holds(), orders.forbidden(), orders.cautions(), orders.put_right(), orders.required())
    assert lists == ((), (), (), (), ())
    assert (orders.established(), orders.excluded()) == ({}, {})


def test_a_hold_falls_when_it_is_recorded_or_what_it_holds_back_is_done() -> None:
    rules = crusty_says(hold="Write down first.", before=("washed", "drained"), record=("look_level", "look_torque"))
    held = Hold("Write down first.", ("washed", "drained"), ("look_level", "look_torque"), "says")
    crust, level, torque = saw(1, "crust"), saw(2, "level"), saw(3, "torque", "even")
    assert orders_of(rules, crust, level).holds() == (held,)
    assert orders_of(rules, crust, level, saw(3, "torque", "can't reach")).holds() == (held,)
    assert orders_of(rules, crust, level, torque).holds() == ()
    assert [hold.before for hold in orders_of(rules, crust, did(4, "drained")).holds()] == [("washed",)]
    assert orders_of(rules, crust, did(4, "drained"), did(5, "washed")).holds() == ()


def test_a_hold_on_a_reading_too_close_to_say_stands_until_the_reading_is_clear() -> None:
    rules = {
        "close": rule("measure", [Condition(reading="flatness", is_=("close",))], Conclusion(finding="finding0")),
        "again": rule(
            "act",
            [Condition(finding="finding0")],
            Conclusion(hold="Measure again.", before=("reseal",), record=("open_it",)),
        ),
    }

    def read(number: int, value: str) -> Reading:
        return Reading(number=number, who="AB", sign="flatness", value=value, unit="in")

    assert [hold.rule for hold in orders_of(rules, read(1, "0.005")).holds()] == ["again"]
    assert orders_of(rules, read(1, "0.005"), read(2, "0.005")).holds() == ()


def test_a_prohibition_keeps_its_scope_and_one_of_order_falls_when_the_order_is_kept() -> None:
    rules = {
        "order": rule(
            "act",
            [CRUSTY],
            Conclusion(forbid="reseal", scope="not before", other=("fill_up", "look_level"), say="first"),
        ),
        "cure": rule(
            "act", [CRUSTY], Conclusion(forbid="reseal", scope="not as the cure", of=("seals",), say="not it")
        ),
    }
    first = Forbidden("reseal", "order", "not before", "first", (), ("fill_up", "look_level"))
    cure = Forbidden("reseal", "cure", "not as the cure", "not it", ("seals",))
    assert orders_of(rules, saw(1, "crust"), did(2, "fill_up")).forbidden() == (first, cure)
    assert orders_of(rules, saw(1, "crust"), did(2, "fill_up"), saw(3, "level")).forbidden() == (cure,)


def test_cautions_stand_once_in_the_order_of_the_knowledge() -> None:
    rules = {
        "burn": rule("act", [CRUSTY], Conclusion(caution="fire")),
        "lift": rule("act", [CRUSTY], Conclusion(caution="heavy")),
        "burn_too": rule("act", [PITTED], Conclusion(caution="fire")),
    }
    assert orders_of(rules, saw(1, "pits"), saw(2, "crust")).cautions() == (
        Said("heavy", "It is heavy.", "lift"),
        Said("fire", "It burns.", "burn"),
    )


def test_what_is_demanded_falls_when_it_is_done() -> None:
    put_right = crusty_says(put_right="fill_up", say="it is low")
    assert orders_of(put_right, saw(1, "crust")).put_right() == (Said("fill_up", "it is low", "says"),)
    assert orders_of(put_right, saw(1, "crust"), did(2, "fill_up")).put_right() == ()
    required = crusty_says(require="fill_up")
    assert orders_of(required, saw(1, "crust")).required() == (Said("fill_up", "fill up", "says"),)
    assert orders_of(required, saw(1, "crust"), did(2, "fill_up")).required() == ()


def test_established_and_excluded_name_their_first_rule() -> None:
    rules = {
        "it_is": rule("settle", [CRUSTY], Conclusion(establish="residue"), Conclusion(exclude="skin")),
        "it_is_too": rule("settle", [PITTED], Conclusion(establish="residue")),
    }
    orders = orders_of(rules, saw(1, "crust"), saw(2, "pits"))
    assert (orders.established(), orders.excluded()) == ({"residue": "it_is"}, {"skin": "it_is"})
