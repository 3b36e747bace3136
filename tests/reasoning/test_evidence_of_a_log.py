"""What a log and its rules say to the belief: nothing twice, and the better word first."""

from itertools import count, permutations
from typing import Any

import pytest
from msgspec.structs import replace

from leakdx.case import Done, LogEntry, Observation, Reading, Sureness, Told
from leakdx.knowledge.actions import Conclusion, Condition
from leakdx.knowledge.model import Act, Answer, Group, Knowledge
from leakdx.marks import INVENTED
from leakdx.reasoning.evidence import ActEvidence, Evidence, HistoryEvidence
from leakdx.reasoning.facts import given_facts
from leakdx.reasoning.gather import Overruled, answer_evidence, gather, known_history, overruled
from leakdx.reasoning.measurement import measured_likelihood
from leakdx.reasoning.rules import RuleRun, run_rules
from leakdx.reasoning.timeline import Timeline, timeline
from tests.reasoning.workshop import MARKED, rule, truck, workshop

YES, NO = (0.0, 1.0), (1.0, 0.0)
FAIRLY_YES = (0.15, 1.0)
PLAIN = workshop()


def log(*words: tuple[str, ...]) -> tuple[LogEntry, ...]:
    """("crust", "yes") or ("crust", "yes", "fairly") is a sign, ("told", ...), ("read", ...) and ("did", ...)."""
    entries: list[LogEntry] = []
    for number, word in zip(count(1), words, strict=False):
        head: dict[str, Any] = {"number": number, "who": "AB"}
        if word[0] == "told":
            entries.append(Told(group=word[1], answer=word[2], **head))
        elif word[0] == "read":
            entries.append(Reading(sign=word[1], value=word[2], unit=word[3], **head))
        elif word[0] == "did":
            entries.append(Done(act=word[1], **head))
        else:
            sure: Sureness = "fairly" if word[2:] else "sure"
            entries.append(Observation(sign=word[0], answer=word[1], sure=sure, **head))
    return tuple(entries)


def read(k: Knowledge, *words: tuple[str, ...]) -> tuple[Timeline, RuleRun]:
    line = timeline(k, truck(*log(*words)))
    return line, run_rules(k, given_facts(k, line))


def said(k: Knowledge, *words: tuple[str, ...]) -> Evidence:
    return gather(k, *read(k, *words), ())


def signs(evidence: Evidence) -> dict[tuple[str, int], tuple[float, ...]]:
    assert len({(s.sign, s.epoch) for s in evidence.signs}) == len(evidence.signs)
    return {(s.sign, s.epoch): s.likelihood for s in evidence.signs}


def finds(answer: str, *, sign: str = "crust", stratum: Any = "locate", then: Any = None) -> Any:
    """A rule that makes a sign of a sign."""
    return rule(stratum, [Condition(sign=sign, is_=("yes",))], then or Conclusion(sign="pits", is_=answer))


# -- answers and readings ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "expected"),
    [(("crust", "yes"), YES), (("crust", "no"), NO), (("crust", "yes", "fairly"), FAIRLY_YES),
     (("crust", "no", "fairly"), (1.0, 0.15)), (("torque", "one_low", "fairly"), (0.15, 1.0, 0.15))],
)  # fmt: skip
def test_an_answer_is_a_likelihood(word: tuple[str, ...], expected: tuple[float, ...]) -> None:
    assert signs(said(PLAIN, word)) == {(word[0], 0): expected}


@pytest.mark.parametrize("nothing", ["unsure", "can't reach", "not fitted"])
def test_what_nobody_could_tell_says_nothing(nothing: str) -> None:
    assert said(PLAIN, ("crust", nothing)).signs == ()


def test_readings_speak_before_a_plain_answer_of_their_epoch_and_count_together() -> None:
    measure = PLAIN.signs["flatness"].measure
    assert measure is not None
    evidence = said(PLAIN, ("flatness", "no"), ("read", "flatness", "0.008", "in"), ("read", "flatness", "0.2", "mm"))
    expected = measured_likelihood(measure, [0.008, 0.2 / 25.4])
    assert signs(evidence)["flatness", 0] == pytest.approx(tuple(expected))
    assert evidence.signs[0].entry == 3
    assert expected[1] > 100 * expected[0]


def test_the_order_of_entry_says_nothing() -> None:
    words = [("crust", "yes"), ("torque", "even"), ("told", "sealing", "paste"), ("read", "flatness", "0.004", "in")]
    found = [said(PLAIN, *order) for order in permutations(words)]
    assert len({tuple((s.sign, s.epoch, s.likelihood) for s in e.signs) for e in found}) == 1
    assert len({tuple(h.group for h in e.history) for e in found}) == 1


# -- what rules derived ------------------------------------------------------------------------------------


def test_what_a_rule_derives_counts_unless_it_was_looked_at() -> None:
    k = workshop({"r": finds("yes")})
    assert signs(said(k, ("crust", "yes"))) == {("crust", 0): YES, ("pits", 0): YES}
    assert signs(said(k, ("crust", "yes"), ("pits", "no"))) == {("crust", 0): YES, ("pits", 0): NO}
    assert signs(said(k, ("crust", "yes"), ("pits", "yes"))) == {("crust", 0): YES, ("pits", 0): YES}


def test_two_rules_with_the_same_word_count_once_and_with_different_words_not_at_all() -> None:
    alike = workshop({"r": finds("yes"), "s": finds("yes", sign="level")})
    both = (("crust", "yes"), ("level", "yes"))
    assert signs(said(alike, *both))["pits", 0] == YES
    differ = workshop({"r": finds("yes"), "s": finds("no", sign="level")})
    assert ("pits", 0) not in signs(said(differ, *both))


def test_what_rests_on_a_fairly_sure_answer_is_fairly_sure() -> None:
    k = workshop({"r": finds("yes")})
    assert signs(said(k, ("crust", "yes", "fairly")))["pits", 0] == FAIRLY_YES


def test_what_a_rule_derives_stands_in_the_epoch_of_what_it_rests_on() -> None:
    k = workshop({"r": finds("yes")})
    later = said(k, ("level", "no"), ("did", "washed"), ("crust", "yes"))
    assert signs(later)["pits", 1] == YES
    earlier = said(k, ("crust", "yes"), ("did", "washed"), ("level", "no"))
    assert signs(earlier)["pits", 0] == YES


# -- history -----------------------------------------------------------------------------------------------


def with_shifts(*, then: Conclusion | None = None, proves: str = "crust") -> Knowledge:
    """Paste shifts the whole bond family, and residue the other way; crust is a sign of residue, and proves paste."""
    shifts = {"residue": "clearly less", "bond": "clearly more", "worn_seal": "clearly less"}
    groups = {
        **PLAIN.history,
        "sealing": Group(
            name="sealing",
            question="what seals it?",
            answers={
                "paste": Answer(name="paste", common=60.0, shifts=shifts),
                "sheet": Answer(name="sheet", common=40.0, shifts={"old_spill": "clearly more"}),
            },
            **MARKED,
        ),
    }
    causes = dict(PLAIN.causes)
    causes["residue"] = replace(causes["residue"], shows={"crust": "mostly"}, only_if={"sealing": ("paste",)})
    rules = {"r": finds("", sign=proves, then=then or Conclusion(history="sealing", is_="paste"))}
    return workshop(rules, history=groups, causes=causes)


def of(evidence: Evidence, group: str) -> HistoryEvidence:
    (found,) = (h for h in evidence.history if h.group == group)
    return found


def test_what_was_told_shifts_causes_and_families_and_rules_out() -> None:
    k = with_shifts()
    paste = answer_evidence(k, 1, "sealing", "paste")
    assert paste.decibans == {"residue": -6.0, "skin": 6.0, "worn_seal": -6.0}
    assert paste.impossible == ()
    assert of(said(k, ("told", "sealing", "paste")), "sealing") == paste
    assert answer_evidence(k, 1, "sealing", "sheet").impossible == ("residue",)
    assert said(k, ("told", "closed_by", "us")).history == (HistoryEvidence(1, "closed_by", {}, ()),)


def test_a_find_proves_history_but_shifts_no_cause_that_it_is_a_sign_of() -> None:
    k = with_shifts()
    found = of(said(k, ("crust", "yes")), "sealing")
    assert found.decibans == {"skin": 6.0, "worn_seal": -6.0}
    assert found.entry == 1
    # Pits are a sign of nothing here, so nobody is spared.
    assert of(said(with_shifts(proves="pits"), ("pits", "yes")), "sealing").decibans["residue"] == -6.0


def test_the_find_is_followed_up_through_what_rules_made_of_it() -> None:
    by_way_of = rule("settle", [Condition(finding="finding0")], Conclusion(history="sealing", is_="paste"))
    k = with_shifts(then=Conclusion(finding="finding0"))
    k = replace(k, rules={**k.rules, "s": by_way_of})
    assert "residue" not in of(said(k, ("crust", "yes")), "sealing").decibans


def known(k: Knowledge, *words: tuple[str, ...]) -> dict[str, str]:
    return known_history(k, *read(k, *words))


def test_what_was_seen_goes_before_what_was_told_and_the_sums_follow() -> None:
    k = with_shifts()
    words = (("told", "sealing", "sheet"), ("crust", "yes"))
    assert known(k, *words) == {"sealing": "paste"}
    assert known(k, *reversed(words)) == {"sealing": "sheet"}, "told after the find, by one who had seen it"
    seen = of(said(k, *words), "sealing")
    assert seen.impossible == ()
    assert seen.decibans == of(said(k, ("crust", "yes")), "sealing").decibans
    assert overruled(k, *read(k, *words)) == (Overruled(1, "sealing", "sheet", "paste"),)


def test_what_was_told_stands_where_nobody_is_sure_or_the_find_is_not_against_it() -> None:
    k = with_shifts()
    assert known(k, ("told", "sealing", "sheet"), ("crust", "yes", "fairly")) == {"sealing": "sheet"}
    assert overruled(k, *read(k, ("told", "sealing", "paste"), ("crust", "yes"))) == ()
    group = k.history["sealing"]
    covering = replace(group, answers={**group.answers, "sheet": replace(group.answers["sheet"], covers=("paste",))})
    k = replace(k, history={**k.history, "sealing": covering})
    assert known(k, ("told", "sealing", "sheet"), ("crust", "yes")) == {"sealing": "sheet"}


def test_what_follows_from_something_told_is_no_find() -> None:
    k = with_shifts()
    told = rule("locate", [Condition(history="closed_by", is_=("us",))], Conclusion(history="sealing", is_="sheet"))
    k = replace(k, rules={**k.rules, "told": told})
    us = ("told", "closed_by", "us")
    assert known(k, us, ("told", "sealing", "paste"))["sealing"] == "paste"
    assert known(k, us)["sealing"] == "sheet"
    assert known(k, us, ("crust", "yes"))["sealing"] == known(k, ("crust", "yes"), us)["sealing"] == "paste"


def test_finds_that_disagree_prove_nothing() -> None:
    k = with_shifts()
    other = finds("", sign="level", then=Conclusion(history="sealing", is_="sheet"))
    k = replace(k, rules={**k.rules, "s": other})
    both = (("crust", "yes"), ("level", "yes"))
    assert known(k, *both) == {}
    assert said(k, *both).history == ()


# -- acts and better looks ---------------------------------------------------------------------------------


def polished() -> Knowledge:
    """Polishing may cure residue with .8 and renews the pits; washing may cure it with .12."""
    acts = {
        **PLAIN.acts,
        "polished": Act(name="polished", cures={"residue": "mostly"}, renews=("pits",), mark=INVENTED, reason="a test"),
        "rinsed": Act(name="rinsed", cures={"residue": "seldom"}, mark=INVENTED, reason="a test"),
    }
    return workshop(acts=acts)


def test_acts_with_nothing_seen_between_are_one_and_each_may_cure() -> None:
    evidence = said(polished(), ("crust", "yes"), ("did", "polished"), ("did", "rinsed"), ("did", "washed"))
    cures = {"residue": pytest.approx(1 - 0.2 * 0.88), "old_spill": 1.0}
    assert evidence.acts == (ActEvidence(2, "polished", cures, ("pits",), dries=True),)  # type: ignore[arg-type]
    apart = said(polished(), ("did", "polished"), ("level", "no"), ("did", "rinsed"), ("did", "drained"))
    assert [(a.act, a.renews) for a in apart.acts] == [("polished", ("pits",)), ("rinsed", ())]
    assert not any(a.dries for a in apart.acts)


def test_a_condition_seen_only_later_corrects_the_earlier_look_unless_the_part_was_renewed() -> None:
    k = polished()
    k = replace(k, signs={**k.signs, "pits": replace(k.signs["pits"], hangs_on="present")})
    washed_between = said(k, ("pits", "no"), ("did", "washed"), ("pits", "yes"))
    assert signs(washed_between) == {("pits", 1): YES}
    renewed_between = said(k, ("pits", "no"), ("did", "polished"), ("pits", "yes"))
    assert signs(renewed_between) == {("pits", 0): NO, ("pits", 1): YES}


def test_a_leak_sign_may_come_and_go() -> None:
    evidence = said(PLAIN, ("crust", "no"), ("did", "washed"), ("crust", "yes"))
    assert signs(evidence) == {("crust", 0): NO, ("crust", 1): YES}
