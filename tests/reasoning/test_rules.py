"""Rules run on the engine: the same firings as a plain matcher gives, and nothing left behind by an earlier run."""

import logging
import os
import subprocess
import sys
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.case import Case, Done, LogEntry, Observation, Told, Withdrawal
from leakdx.errors import KnowledgeError
from leakdx.knowledge.actions import STRATA, Conclusion, Condition, Rule, Stratum
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.facts import Fact, Given, given_facts
from leakdx.reasoning.rules import RuleRun, run_rules
from leakdx.reasoning.timeline import timeline
from tests.reasoning.reference_matcher import Fired, Known, chain
from tests.reasoning.workshop import rule, truck, workshop

SEEN = Fact("sign", "crust", "yes")


def as_given(*facts: Fact) -> Given:
    return {fact: (place + 1,) for place, fact in enumerate(facts)}


def known(fact: Fact) -> Known:
    return Known(fact.kind, fact.id, fact.answer, fact.sure)


def traced(run: RuleRun) -> list[Fired]:
    return [Fired(f.rule, tuple(map(known, f.premises)), tuple(map(known, f.facts))) for f in run.firings]


def expected(knowledge: Knowledge, facts: Given) -> list[Fired]:
    return chain(knowledge, map(known, facts))


def finding(number: int) -> Condition:
    return Condition(finding=f"finding{number}")


def finds(number: int) -> Conclusion:
    return Conclusion(finding=f"finding{number}")


def test_facts_go_through_strata_and_keep_what_they_stood_on() -> None:
    rules = {
        "late": rule("act", [finding(0)], Conclusion(forbid="reseal", scope="not at all", say="no")),
        "early": rule("measure", [Condition(sign="crust", is_=("yes",))], finds(0)),
    }
    run = run_rules(workshop(rules), as_given(SEEN))
    early, late = run.firings
    assert (early.rule, early.premises, early.facts) == ("early", (SEEN,), (Fact("finding", "finding0"),))
    assert (late.rule, late.premises, late.facts) == ("late", early.facts, ())
    assert late.says == rules["late"].then
    assert run.derived == early.facts


def test_several_answers_are_one_condition() -> None:
    rules = {"any_low": rule("locate", [Condition(sign="torque", is_=("one_low", "all_low"))], finds(0))}
    for answer, fires in (("even", 0), ("one_low", 1), ("all_low", 1)):
        assert len(run_rules(workshop(rules), as_given(Fact("sign", "torque", answer))).firings) == fires


def test_a_condition_without_answers_is_met_by_any_and_absent_by_none() -> None:
    rules = {
        "asked": rule("locate", [Condition(sign="torque")], finds(0)),
        "not_asked": rule("locate", [Condition(sign="torque", absent=True)], finds(1)),
    }
    assert [f.rule for f in run_rules(workshop(rules), as_given(Fact("sign", "torque", "even"))).firings] == ["asked"]
    assert [f.rule for f in run_rules(workshop(rules), as_given()).firings] == ["not_asked"]


def test_a_complaint_anywhere() -> None:
    rules = {
        "here": rule("act", [Condition(complaint="joint")], finds(0)),
        "anywhere": rule("act", [Condition(complaint="any")], finds(1)),
    }
    assert [f.rule for f in run_rules(workshop(rules), as_given(Fact("complaint", "joint"))).firings] == list(rules)
    assert [f.rule for f in run_rules(workshop(rules), as_given(Fact("complaint", "seal"))).firings] == ["anywhere"]


def test_only_a_sure_answer_will_do_where_the_rule_says_so_and_doubt_is_handed_on() -> None:
    surely = Condition(sign="crust", is_=("yes",), surely=True)
    rules = {
        "settle": rule("settle", [surely], Conclusion(establish="residue")),
        "suspect": rule("implicate", [Condition(sign="crust", is_=("yes",))], finds(0)),
        "rest_on": rule("settle", [Condition(finding="finding0", surely=True)], Conclusion(establish="skin")),
    }
    fairly = Fact("sign", "crust", "yes", sure=False)
    run = run_rules(workshop(rules), as_given(fairly))
    assert [firing.rule for firing in run.firings] == ["suspect"]
    assert run.derived == (Fact("finding", "finding0", sure=False),)
    assert {f.rule for f in run_rules(workshop(rules), as_given(SEEN)).firings} == set(rules)


def test_every_justification_is_kept() -> None:
    rules = {
        "one": rule("implicate", [Condition(sign="crust")], finds(0)),
        "two": rule("implicate", [Condition(sign="pits")], finds(0)),
    }
    facts = as_given(SEEN, Fact("sign", "pits", "no"))
    run = run_rules(workshop(rules), facts)
    assert [firing.rule for firing in run.firings] == ["one", "two"]
    (fact,) = run.derived
    assert run.entries[fact] == (1, 2)
    assert run.since[fact] == 1


def test_a_rule_may_conclude_what_was_told_otherwise_and_both_stand() -> None:
    rules = {
        "found": rule("implicate", [Condition(sign="pits", is_=("yes",))], Conclusion(history="sealing", is_="sheet")),
        "clash": rule(
            "settle",
            [Condition(history="sealing", is_=("sheet",)), Condition(history="sealing", is_=("paste",))],
            finds(0),
        ),
    }
    run = run_rules(workshop(rules), as_given(Fact("history", "sealing", "paste"), Fact("sign", "pits", "yes")))
    assert run.derived == (Fact("history", "sealing", "sheet"), Fact("finding", "finding0"))


def test_rules_that_only_ask_for_absence_all_fire_or_none() -> None:
    # With many activations of equal key the engine's own strategy keeps wrong ones.
    rules = {
        f"r{i}": rule("settle", [Condition(finding=f"finding{i % 4}", absent=True)], Conclusion(establish="skin"))
        for i in range(40)
    }
    rules["given"] = rule("measure", [Condition(sign="crust")], finds(0), finds(2))
    fired = [firing.rule for firing in run_rules(workshop(rules), as_given(SEEN)).firings]
    assert fired == ["given", *(f"r{i}" for i in range(40) if i % 2)]


def test_without_rules_a_run_is_empty() -> None:
    run = run_rules(workshop({}), as_given(SEEN))
    assert (run.firings, run.derived, run.facts) == ((), (), (SEEN,))


def test_a_conclusion_that_the_knowledge_does_not_have_is_refused() -> None:
    rules = {"typo": rule("measure", [Condition(sign="crust")], Conclusion(sign="torque", is_="loose"))}
    with pytest.raises(KnowledgeError, match="'torque' is even or one_low or all_low, not 'loose'"):
        run_rules(workshop(rules), as_given(SEEN))


def test_withdrawing_takes_away_all_that_stood_on_it_and_nothing_else() -> None:
    rules = {
        "crusty": rule("measure", [Condition(sign="crust", is_=("yes",))], finds(0)),
        "then": rule("locate", [finding(0)], finds(1)),
        "pitted": rule("measure", [Condition(sign="pits", is_=("yes",))], finds(2)),
        "clean": rule("locate", [Condition(finding="finding0", absent=True)], finds(3)),
    }
    knowledge = workshop(rules)
    log = (
        Observation(number=1, who="AB", sign="crust", answer="yes"),
        Observation(number=2, who="AB", sign="pits", answer="yes"),
    )
    after = run_of(knowledge, truck(*log, Withdrawal(number=3, who="AB", entry=1)))
    assert run_of(knowledge, truck(*log)).derived == tuple(Fact("finding", f"finding{i}") for i in (0, 2, 1))
    assert after.derived == tuple(Fact("finding", f"finding{i}") for i in (2, 3))
    assert after == run_of(knowledge, truck(log[1]))


def run_of(knowledge: Knowledge, case: Case) -> RuleRun:
    return run_rules(knowledge, given_facts(knowledge, timeline(knowledge, case)))


def test_the_order_of_entry_changes_no_firing() -> None:
    rules = {
        "pair": rule("measure", [Condition(sign="crust"), Condition(sign="pits")], finds(0)),
        "told": rule("measure", [Condition(history="sealing")], finds(1)),
        "done": rule("measure", [Condition(act="fill_up")], finds(2)),
    }
    entries: list[Callable[[int], LogEntry]] = [
        lambda number: Observation(number=number, who="AB", sign="pits", answer="yes"),
        lambda number: Observation(number=number, who="AB", sign="crust", answer="no"),
        lambda number: Told(number=number, who="AB", group="sealing", answer="paste"),
        lambda number: Done(number=number, who="AB", act="fill_up"),
    ]
    runs = [
        run_of(workshop(rules), truck(*(entry(number + 1) for number, entry in enumerate(order))))
        for order in (entries, entries[::-1], entries[2:] + entries[:2])
    ]
    assert runs[0].firings == runs[1].firings == runs[2].firings
    assert len(runs[0].firings) == 3


FACTS = [
    Fact("sign", sign, answer, sure)
    for sign in ("crust", "pits", "level")
    for answer in ("yes", "no")
    for sure in (True, False)
]
FACTS += [Fact("sign", "torque", answer) for answer in ("even", "one_low", "all_low")]
FACTS += [Fact("history", "sealing", answer) for answer in ("paste", "sheet")]
FACTS += [
    Fact("complaint", "joint"),
    Fact("act", "washed"),
    Fact("open", "apart"),
    Fact("reading", "flatness", "beyond"),
]

HOME = {f"finding{i}": STRATA[i // 2] for i in range(8)}
"""Each finding is concluded in one stratum, so that an absent one is settled before it is asked for."""


@st.composite
def conditions(draw: st.DrawFn, stratum: Stratum) -> Condition:
    level = STRATA.index(stratum)
    absent = draw(st.booleans()) and draw(st.booleans())
    surely = draw(st.booleans()) and draw(st.booleans())
    reach = [name for name, home in HOME.items() if STRATA.index(home) < level + (not absent)]
    if len(reach) > 0 and draw(st.booleans()):
        return Condition(finding=draw(st.sampled_from(reach)), absent=absent, surely=surely)
    if draw(st.integers(0, 4)) == 0:
        several = ("crust", "level") if level <= 2 else ("crust", "level", "pits")
        some = draw(st.lists(st.sampled_from(several), min_size=1, unique=True))
        return Condition(any_sign=tuple(some), is_=draw(st.sampled_from([(), ("yes",)])), absent=absent, surely=surely)
    fact = draw(st.sampled_from([fact for fact in FACTS if fact.id != "pits" or level > 2]))
    same = sorted({other.answer for other in FACTS if other.id == fact.id and other.answer})
    is_ = tuple(draw(st.lists(st.sampled_from(same), max_size=2, unique=True))) if same else ()
    fields: dict[str, Any] = {fact.kind: fact.id, "is_": is_, "absent": absent, "surely": surely}
    return Condition(**fields)


@st.composite
def a_rule(draw: st.DrawFn) -> Rule:
    stratum = draw(st.sampled_from(STRATA))
    when = draw(st.lists(conditions(stratum), max_size=3))
    possible = [Conclusion(finding=name) for name, home in HOME.items() if home == stratum]
    if stratum == "implicate":
        possible += [Conclusion(sign="pits", is_=answer) for answer in ("yes", "no")]
    if stratum == "act":
        possible += [Conclusion(caution="heavy"), Conclusion(fit="no", say="because")]
    return rule(stratum, when, *draw(st.lists(st.sampled_from(possible), min_size=1, max_size=2)))


@given(st.lists(a_rule(), max_size=14), st.lists(st.sampled_from(FACTS), unique=True))
@settings(max_examples=150, deadline=None)
def test_the_engine_agrees_with_a_plain_matcher(rules: list[Rule], facts: list[Fact]) -> None:
    knowledge = workshop({f"r{i}": one for i, one in enumerate(rules)})
    given_ones = as_given(*sorted(facts))
    assert traced(run_rules(knowledge, given_ones)) == expected(knowledge, given_ones)


TRACE = """
from tests.reasoning.test_rules import SEEN, as_given, run_rules, seeded_knowledge
from leakdx.reasoning.facts import Fact
facts = as_given(SEEN, Fact("sign", "pits", "yes"), Fact("sign", "torque", "one_low"))
for firing in run_rules(seeded_knowledge(), facts).firings:
    print(firing)
"""


def seeded_knowledge() -> Knowledge:
    """Many rules that could fire at once, chain, and ask for absence."""
    signs = ("crust", "pits", "torque")
    rules = {}
    for i in range(30):
        level = i % 4
        when = [Condition(sign=signs[i % 3])]
        if level:
            when.append(Condition(finding=f"finding{2 * level - 2 + i % 2}", absent=i % 5 == 0))
        rules[f"r{i}"] = rule(STRATA[level], when, finds(2 * level + (i // 4) % 2))
    return workshop(rules)


def test_the_trace_is_the_same_under_any_hash_seed() -> None:
    outputs = {
        subprocess.run(
            [sys.executable, "-c", TRACE],
            env={**os.environ, "PYTHONHASHSEED": str(seed), "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in range(6)
    }
    (trace,) = outputs
    assert len(trace.splitlines()) > 20


def test_the_seeded_knowledge_agrees_with_a_plain_matcher() -> None:
    facts = as_given(SEEN, Fact("sign", "pits", "yes"), Fact("sign", "torque", "one_low"))
    assert traced(run_rules(seeded_knowledge(), facts)) == expected(seeded_knowledge(), facts)


def test_importing_the_engine_leaves_logging_and_collections_alone() -> None:
    script = "import logging, collections; import leakdx.reasoning.experta_port; "
    script += "print(logging.getLogger().handlers, hasattr(collections, 'Mapping'))"
    done = subprocess.run([sys.executable, "-W", "error", "-c", script], capture_output=True, text=True, check=False)
    assert (done.stdout, done.stderr) == ("[] False\n", "")


def test_a_run_leaves_no_trace_in_the_next(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.INFO):
        first = run_rules(seeded_knowledge(), as_given(SEEN))
        run_rules(workshop({"other": rule("measure", [Condition(sign="pits")], finds(1))}), as_given(SEEN))
        assert run_rules(seeded_knowledge(), as_given(SEEN)) == first


def test_checkers_that_the_engine_keeps_for_ever_stay_few() -> None:
    from experta.matchers.rete import check

    def kept() -> int:
        return sum(map(len, (check.FeatureCheck._instances, check.FactCapture._instances, check.TypeCheck._instances)))

    run_rules(seeded_knowledge(), as_given(SEEN))
    before = kept()
    for _ in range(3):
        run_rules(seeded_knowledge(), as_given(SEEN))
    # One a run is the engine's own, for a pattern that it adds by itself.
    assert kept() <= before + 3
