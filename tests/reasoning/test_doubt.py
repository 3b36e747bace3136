"""Doubt of an instrument or an act: what relies on it, and that 0 is as read and 1 as if not asked."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from leakdx.case import Case, Done, Doubt, LogEntry, Observation, Reading, Withdrawal
from leakdx.knowledge.actions import Conclusion, Condition
from leakdx.knowledge.model import Instrument, Knowledge
from leakdx.reasoning.belief import Belief, Evidence, SignEvidence, compile_model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.doubt import standing_doubts
from leakdx.reasoning.doubted import doubted_answer, doubted_readings, expected_answers
from leakdx.reasoning.evidence import DoubtEvidence, Otherwise
from leakdx.reasoning.facts import Fact, given_facts
from leakdx.reasoning.looks import looks_of
from leakdx.reasoning.measurement import measured_log_likelihood
from leakdx.reasoning.rules import run_rules
from leakdx.reasoning.timeline import timeline
from tests import shipped
from tests.reasoning.tiny import JOINT, cause, knowledge, sign
from tests.reasoning.workshop import MARKED, rule, truck, workshop

UNHEARD = (0.0, 1.0)


def saw(number: int, sign: str, answer: str = "yes", tool: str = "") -> Observation:
    return Observation(number=number, who="AB", sign=sign, answer=answer, tool=tool)


def read(number: int, value: str, tool: str = "") -> Reading:
    return Reading(number=number, who="AB", sign="flatness", value=value, unit="in", tool=tool)


def did(number: int, act: str) -> Done:
    return Done(number=number, who="AB", act=act)


def doubt(number: int, of: str, chance: float = 0.3, tool: str = "") -> Doubt:
    return Doubt(number=number, who="AB", doubt=of, chance=chance, tool=tool)


def shop(**rules: Any) -> Knowledge:
    """The workshop with a wrench, with which the torque is felt, and a feeler for the faces."""
    plain = workshop(rules)
    checks = dict(plain.checks)
    checks["look_torque"] = replace(checks["look_torque"], instrument="wrench")
    checks["open_it"] = replace(checks["open_it"], reveals=("pits",))
    checks["measure"] = replace(checks["open_it"], reveals=("flatness",), instrument="feeler")
    tools = {name: Instrument(name=name, doubt="rarely", **MARKED) for name in ("wrench", "feeler")}
    return workshop(rules, checks=checks, instruments=tools)


def touched(*log: LogEntry) -> set[tuple[int, str]]:
    (only,) = standing_doubts(shop(), log)
    return set(only.touches)


# -- the figure -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("chance", "expected"), [(0.0, 0.672131), (0.3, 0.530492), (1.0, 0.2)])
def test_g_a_yes_that_is_doubted(chance: float, expected: float) -> None:
    """b .2, link .8, stray .1: by chance alone yes comes with .2 * .82 + .8 * .1 (own derivation)."""
    k = knowledge({"a": cause(shows={"drips": 0.8})}, {"drips": sign(0.1)}, reported=UNHEARD)
    model = compile_model(k, {"a": 0.2})
    by_chance = expected_answers(model, JOINT, "drips")
    assert by_chance[1] == pytest.approx(0.244)
    told = SignEvidence(1, "drips", 0, (0.0, 1.0), doubted_answer((0.0, 1.0), ("tool",), by_chance))
    after = Belief(model, Evidence(JOINT, signs=(told,), doubts=(DoubtEvidence(2, "tool", chance),)))
    assert after.leaking[0] == pytest.approx(expected, abs=5.1e-7)


def test_two_answers_by_one_tool_share_its_coin() -> None:
    """Two signs of one cause, yes by chance .5 and .25, the tool bad with .4: written out."""
    k = knowledge({"a": cause(shows={"s": 0.9, "t": 0.6})}, {"s": sign(0.1), "t": sign(0.2)}, reported=UNHEARD)
    bad = [doubted_answer((0.0, 1.0), ("tool",), (1 - c, c)) for c in (0.5, 0.25)]
    signs = tuple(SignEvidence(n, id, 0, (0.0, 1.0), o) for n, (id, o) in enumerate(zip("st", bad, strict=True)))
    doubts = (DoubtEvidence(3, "tool", 0.4),)
    after = Belief(compile_model(k, {"a": 0.3}), Evidence(JOINT, signs=signs, doubts=doubts))
    yes = 0.6 * (1 - 0.1 * 0.9) * (1 - 0.4 * 0.8) + 0.4 * 0.5 * 0.25
    no = 0.6 * 0.1 * 0.2 + 0.4 * 0.5 * 0.25
    whole = 0.3 * yes + 0.7 * no
    assert after.leaking[0] == pytest.approx(0.3 * yes / whole)
    assert after.bad()["tool"] == pytest.approx(0.4 * 0.5 * 0.25 / whole)


def test_readings_by_a_bad_tool_leave_those_by_another() -> None:
    measure = workshop().signs["flatness"].measure
    assert measure is not None
    says, otherwise = doubted_readings(measure, (0.009, 0.004), (("feeler",), ()), (0.7, 0.3))
    (bad,) = otherwise
    both = measured_log_likelihood(measure, (0.009, 0.004))
    one, other = (np.exp(measured_log_likelihood(measure, (value,))) for value in (0.009, 0.004))
    assert bad.bad == ("feeler",)
    assert says[0] / says[1] == pytest.approx(np.exp(both[0] - both[1]))
    assert bad.likelihood[0] / bad.likelihood[1] == pytest.approx(other[0] / other[1])
    by_chance = 0.7 * one[0] + 0.3 * one[1]
    assert bad.likelihood[1] / says[1] == pytest.approx(by_chance * other[1] / np.exp(both[1]))


def test_two_bad_readings_come_each_by_chance() -> None:
    measure = workshop().signs["flatness"].measure
    assert measure is not None
    says, (bad,) = doubted_readings(measure, (0.009, 0.008), (("f",), ("f",)), (0.5, 0.5))
    assert isinstance(bad, Otherwise)
    each = [np.exp(measured_log_likelihood(measure, (value,))).mean() for value in (0.009, 0.008)]
    both = np.exp(measured_log_likelihood(measure, (0.009, 0.008)))
    assert bad.likelihood[0] == bad.likelihood[1]
    assert bad.likelihood[1] / says[1] == pytest.approx(each[0] * each[1] / both[1])


# -- what relies on it ------------------------------------------------------------------------------------


def test_a_wrench_touches_what_only_it_reveals_whenever_it_is_doubted() -> None:
    looks = (saw(1, "torque", "even"), saw(2, "crust"))
    assert touched(*looks, doubt(3, "wrench")) == {(1, "torque")}
    assert touched(doubt(1, "wrench"), saw(2, "torque", "even")) == {(2, "torque")}


def test_a_second_look_after_the_doubt_is_by_another_one() -> None:
    log = (read(1, "0.006"), doubt(2, "feeler"), read(3, "0.004"))
    assert touched(*log) == {(1, "flatness")}
    assert touched(read(1, "0.006"), read(2, "0.004"), doubt(3, "feeler")) == {(1, "flatness"), (2, "flatness")}


def test_a_tool_can_be_doubted_by_its_number() -> None:
    log = (read(1, "0.006", "straight edge 2, feeler 12"), read(2, "0.006", "straight edge 2, feeler 9"))
    assert touched(*log, doubt(3, "feeler", tool="Feeler 12")) == {(1, "flatness")}
    assert touched(*log, doubt(3, "feeler", tool="straight edge 2")) == {(1, "flatness"), (2, "flatness")}


@pytest.mark.parametrize(
    ("calibrated", "doubted_on", "is_good_again"),
    [
        ("2026-03-10", "2026-03-09", True),
        ("2026-03-09", "2026-03-09", True),
        ("2026-03-08", "2026-03-09", False),  # it was bad though it had this certificate
        ("2026-03-10", None, True),
        ("2026-01-12", None, False),
        ("", "2026-03-09", False),
    ],
)
def test_what_is_read_after_a_new_calibration_is_believed(
    calibrated: str, doubted_on: str | None, is_good_again: bool
) -> None:
    at = datetime.fromisoformat(f"{doubted_on}T16:00") if doubted_on else None
    bad = replace(doubt(2, "feeler", tool="feeler 12"), at=at)
    first, second = (
        replace(read(n, "0.006", "feeler 12"), calibrated=day) for n, day in ((1, "2026-01-12"), (3, calibrated))
    )
    assert touched(first, bad, second) == {(1, "flatness")} | ({(3, "flatness")} if not is_good_again else set())
    before = replace(second, number=2)
    assert touched(first, before, replace(bad, number=3)) == {(1, "flatness"), (2, "flatness")}


def test_a_doubt_that_names_no_tool_ends_with_a_new_calibration_too() -> None:
    checks = dict(shop().checks)
    checks["look_torque"] = replace(checks["look_torque"], instrument="feeler")
    bad = replace(doubt(2, "feeler"), at=datetime(2026, 3, 9))
    for day, left in (("2026-03-01", {(1, "torque"), (3, "flatness")}), ("2026-03-10", {(1, "torque")})):
        log = (saw(1, "torque", "even", "feeler 12"), bad, replace(read(3, "0.006", "feeler 12"), calibrated=day))
        (only,) = standing_doubts(replace(shop(), checks=checks), log)
        assert set(only.touches) == left


def test_an_act_touches_what_is_seen_through_it_until_it_is_done_again() -> None:
    log = (
        saw(1, "wet.joint"),
        did(2, "washed"),
        did(3, "driven"),
        saw(4, "origin.joint"),
        saw(5, "wet.joint"),
        saw(6, "crust"),
        doubt(7, "washed"),
        did(8, "washed"),
        did(9, "driven"),
        saw(10, "origin.joint"),
    )
    assert touched(*log) == {(4, "origin.joint"), (5, "wet.joint")}
    assert touched(doubt(1, "washed"), did(2, "washed"), did(3, "driven"), saw(4, "origin.joint")) == set()


def test_the_last_doubt_of_a_thing_stands_and_a_doubt_can_be_withdrawn() -> None:
    def doubts(*log: LogEntry) -> list[tuple[int, float]]:
        standing = Case(id="T", complaint="joint", log=log).standing
        return [(d.entry, d.chance) for d in standing_doubts(shop(), standing)]

    look = saw(1, "torque", "even")
    assert doubts(look, doubt(2, "wrench", 0.3), doubt(3, "wrench", 0.8)) == [(3, 0.8)]
    assert doubts(look, doubt(2, "wrench", 0.3), doubt(3, "wrench", 0.0)) == []
    assert doubts(look, doubt(2, "wrench", 0.3), Withdrawal(number=3, who="AB", entry=2)) == []
    both = doubts(look, doubt(2, "wrench", 0.3), doubt(3, "wrench", 0.4, "wrench 4"))
    assert both == [(2, 0.3), (3, 0.4)]


# -- rules ------------------------------------------------------------------------------------------------


def facts(*log: LogEntry) -> list[Fact]:
    return list(given_facts(shop(), timeline(shop(), truck(*log))))


def test_what_rests_on_a_doubted_instrument_is_not_sure() -> None:
    assert Fact("sign", "torque", "even", sure=False) in facts(saw(1, "torque", "even"), doubt(2, "wrench"))
    assert Fact("doubted", "wrench") in facts(saw(1, "torque", "even"), doubt(2, "wrench"))
    little = facts(saw(1, "torque", "even"), doubt(2, "wrench", 0.004))
    assert Fact("sign", "torque", "even", sure=True) in little
    assert Fact("doubted", "wrench") not in little


def test_a_reading_by_another_feeler_settles_it() -> None:
    log = (read(1, "0.009"), doubt(2, "feeler"))
    assert Fact("reading", "flatness", "beyond", sure=False) in facts(*log)
    assert Fact("reading", "flatness", "within") in facts(*log, read(3, "0.003"))


def test_a_rule_can_ask_for_doubt_and_for_none() -> None:
    asks = rule("act", [Condition(doubted="wrench")], Conclusion(hold="again", before=("apart",)))
    trusts = rule("act", [Condition(doubted="wrench", absent=True)], Conclusion(caution="heavy"))
    k = shop(asks=asks, trusts=trusts)

    def fired(*log: LogEntry) -> list[str]:
        return [f.rule for f in run_rules(k, given_facts(k, timeline(k, truck(*log)))).firings]

    assert fired(saw(1, "torque", "even")) == ["trusts"]
    assert fired(saw(1, "torque", "even"), doubt(2, "wrench")) == ["asks"]


# -- whole cases ------------------------------------------------------------------------------------------


def chances(made: Diagnosis) -> dict[str, float]:
    return {row.id: row.leaking for row in made.answers.causes}


def with_doubt(case: Case, of: str, chance: float) -> Case:
    return replace(case, log=(*case.log, doubt(len(case.log) + 1, of, chance)))


def touched_of(case: Case, of: str) -> Iterable[tuple[int, str]]:
    return (
        look for d in standing_doubts(shipped.knowledge(), with_doubt(case, of, 1.0).standing) for look in d.touches
    )


def is_touched(entry: LogEntry, looks: set[tuple[int, str]]) -> bool:
    own = {(entry.number, sign) for sign, _ in looks_of(shipped.knowledge(), entry)}
    assert not own & looks or own <= looks, "a case in which an entry is doubted whole"
    return bool(own & looks)


CASES = [("02", "straight_edge"), ("06", "straight_edge"), ("14", "torque_wrench"), ("11", "lamp")]


@pytest.mark.parametrize(("name", "of"), CASES)
def test_a_doubt_of_nought_is_as_read_and_of_one_as_if_not_asked(name: str, of: str) -> None:
    k, case, plain = shipped.parts(name)
    assert chances(diagnose(k, with_doubt(case, of, 0.0))) == pytest.approx(chances(plain), abs=1e-12)
    looks = set(touched_of(case, of))
    assert looks
    kept = tuple(e for e in case.log if not is_touched(e, looks))
    without = diagnose(k, replace(case, log=kept))
    worthless = diagnose(k, with_doubt(case, of, 1.0))
    assert chances(worthless) == pytest.approx(chances(without), abs=1e-12)
    assert worthless.answers.decision == without.answers.decision
    assert worthless.answers.fit_to_drive == without.answers.fit_to_drive
    assert worthless.offer.askable() == without.offer.askable()


@pytest.mark.parametrize(("name", "of"), CASES)
def test_between_it_is_a_mixture_of_both(name: str, of: str) -> None:
    """Each cause stands where the chance that the thing is bad, by then, puts it between as read and not asked."""
    k, case, _ = shipped.parts(name)
    made = diagnose(k, with_doubt(case, of, 0.3))
    (row,) = made.answers.doubts
    gone = Belief(made.belief.model, _worthless(made.evidence))
    as_read = Belief(made.belief.model, replace(made.evidence, doubts=(DoubtEvidence(99, of, 0.0),)))
    mixed = row.bad * gone.leaking + (1 - row.bad) * as_read.leaking
    np.testing.assert_allclose(made.belief.leaking, mixed, atol=1e-10)
    assert row.entries == tuple(sorted({number for number, _ in touched_of(case, of)}))


def _worthless(evidence: Evidence) -> Evidence:
    return replace(evidence, doubts=tuple(replace(d, chance=1.0) for d in evidence.doubts))


@pytest.mark.parametrize(("name", "of"), CASES)
def test_it_may_be_said_at_any_time(name: str, of: str) -> None:
    """Said before everything else it does what it does said last."""
    k, case, _ = shipped.parts(name)
    later = [replace(e, number=e.number + 1) for e in case.log if not isinstance(e, Withdrawal)]
    first = diagnose(k, replace(case, log=(doubt(1, of, 0.3), *later)))
    assert chances(first) == pytest.approx(chances(diagnose(k, with_doubt(case, of, 0.3))), abs=1e-12)


def test_what_was_seen_by_it_may_be_looked_at_again() -> None:
    k, case, plain = shipped.parts("02")
    doubted = diagnose(k, with_doubt(case, "straight_edge", 0.3))
    assert "carrier_face_flatness" not in plain.offer.askable()
    assert "carrier_face_flatness" in doubted.offer.askable()
    number = len(case.log) + 2
    again = Reading(number=number, who="AB", sign="carrier_face_flatness", value="0.004", unit="in")
    log = (*with_doubt(case, "straight_edge", 0.3).log, again)
    assert "carrier_face_flatness" not in diagnose(k, replace(case, log=log)).offer.askable()
