"""Raw readings as evidence: as surely as they were worked out, once, and where they stand in the log."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from leakdx.knowledge.entry import Raw
from leakdx.marks import FROM_MEMORY
from leakdx.measured.fields import from_texts
from leakdx.measured.together import PlaceRead, weak_stand, weld_stands
from leakdx.reasoning.belief import compile_model
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.network import Network
from leakdx.reasoning.outlook import outlooks
from tests import shipped
from tests.measurements.cases import (
    BEAD,
    DRIPS,
    FACE,
    OPEN,
    RING,
    STANDS,
    case,
    chances,
    diagnosed,
    measured,
    said,
    saw,
)

IN_DOUBT = {**RING, "audit": "225 230 222 228 181 180 182 218 226 230 224 221 227 225 229 224 lb-ft"}
NEAR_LIMIT = {"face": "housing", "gaps": "12=0 1:30=2 3=4 4:30=5 6=3 7:30=2 9=1 10:30=1 thou"}
READ = {"who": "AB", "read": "housing_face_flatness", "value": "0.008", "unit": "in"}


def by_itself(diagnosis: Diagnosis, sign: str) -> dict[str, float]:
    """Chance of each answer to a sign that nobody has looked at."""
    network = Network(diagnosis.belief.model, replace(diagnosis.evidence, askable=(sign,)))
    paths = np.ones((1, len(diagnosis.belief.causes), 3))
    (asked,) = outlooks(network, network.totals(), [(sign,)], paths)
    return {answer: float(p) for (answer,), p in zip(asked.answers, asked.probability, strict=True)}


def test_an_answer_is_believed_as_surely_as_it_was_worked_out() -> None:
    """What is not certain is a mixture of the answers, each by its chance in the readings and by its own."""
    found = diagnosed(measured("fasteners", IN_DOUBT))
    (row,) = found.answers.worked_out
    before = by_itself(diagnosed(), "torque_pattern")
    share = {answer: chance * before[answer] for answer, chance in row.chances.items() if chance > 1e-12}
    assert len(share) > 2
    for cause in ("uneven_torque", "old_residue"):
        each = {answer: chances(diagnosed(saw("torque_pattern", answer)))[cause] for answer in share}
        mixed = sum(share[answer] * each[answer] for answer in share) / sum(share.values())
        assert chances(found)[cause] == pytest.approx(mixed, rel=1e-9)


@pytest.mark.parametrize(
    ("sign", "entry", "summary"),
    [
        ("torque_pattern", measured("fasteners", IN_DOUBT), saw("torque_pattern", "neighbours_low")),
        ("leak_grade", measured("leak", DRIPS), saw("leak_grade", "drop_falls")),
        ("weld_heat_reached", measured("weld", BEAD), saw("weld_heat_reached", "yes")),
    ],
)
def test_the_same_look_in_words_is_not_a_second_vote(sign: str, entry: dict[str, Any], summary: dict[str, Any]) -> None:
    alone = said(diagnosed(entry))
    assert said(diagnosed(entry, summary))[sign] == alone[sign] == said(diagnosed(summary, entry))[sign]
    assert alone[sign] != said(diagnosed(summary))[sign] or max(alone[sign]) == 1 == sum(alone[sign])


def test_a_value_read_off_the_same_face_is_not_a_second_vote() -> None:
    alone = said(diagnosed(OPEN, measured("flatness", FACE)))
    for entries in ((measured("flatness", FACE), READ), (READ, measured("flatness", FACE))):
        assert said(diagnosed(OPEN, *entries)) == alone


def test_a_summary_beyond_the_limit_stops_a_gasket_all_the_same() -> None:
    flat = {"face": "housing", "dial": "12=0 1:30=1 3=2 4:30=1 6=0 7:30=1 9=2 10:30=1 thou"}
    finding = Fact("finding", "housing_face_beyond")
    assert finding in diagnosed(OPEN, measured("flatness", flat), READ).run.derived
    assert finding not in diagnosed(OPEN, measured("flatness", flat)).run.derived


@pytest.mark.parametrize(("gauge", "excluded"), [("0.5 thou", True), ("4 thou", False)])
def test_no_face_is_excluded_by_a_gauge_that_sees_nothing(gauge: str, excluded: bool) -> None:
    flat = {"face": "carrier", "gauge": gauge, "dial": "12=0 1:30=1 3=2 4:30=1 6=0 7:30=1 9=2 10:30=1 thou"}
    derived = diagnosed(OPEN, measured("flatness", flat)).run.derived
    assert (Fact("excluded", "carrier_face_out_of_flat") in derived) is excluded


def test_a_face_measured_twice_counts_twice() -> None:
    once = said(diagnosed(OPEN, measured("flatness", NEAR_LIMIT)))["housing_face_flatness"]
    both = (measured("flatness", NEAR_LIMIT), measured("flatness", NEAR_LIMIT))
    twice = said(diagnosed(OPEN, *both))["housing_face_flatness"]
    assert abs(np.log(twice[0] / twice[1])) > abs(np.log(once[0] / once[1]))


def test_an_audit_again_takes_the_place_of_the_first() -> None:
    again = diagnosed(measured("fasteners", IN_DOUBT), measured("fasteners", RING))
    assert said(again) == said(diagnosed(measured("fasteners", RING)))


def test_what_was_told_of_a_weld_is_not_a_second_vote_on_the_seal() -> None:
    """It still speaks for a crack, of which the heat of the joint says nothing."""
    told = {"who": "AB", "told": "weld_near", "is": "since_reseal"}
    (history,) = [h for h in diagnosed(told, measured("weld", BEAD)).evidence.history if h.group == "weld_near"]
    assert "weld_heat" not in history.decibans
    assert history.decibans["crack"] > 0
    (alone,) = [h for h in diagnosed(told).evidence.history if h.group == "weld_near"]
    assert "weld_heat" in alone.decibans


def test_a_weld_worked_out_says_that_one_was_near() -> None:
    diagnosis = diagnosed(measured("weld", BEAD))
    assert diagnosis.history["weld_near"] == "since_reseal"
    (history,) = [h for h in diagnosis.evidence.history if h.group == "weld_near"]
    assert "weld_heat" not in history.decibans
    assert "weld_near" not in diagnosed(measured("weld", {**BEAD, "distance": "300 mm"})).history


@pytest.mark.parametrize(
    ("sign", "readings"),
    [("wet_at_low_fasteners", STANDS), ("wet_by_weld", {"wet": "3:30..5", "weld": "4"})],
)
def test_chance_takes_the_place_of_the_stray(sign: str, readings: dict[str, str]) -> None:
    """As if somebody had seen them together, of a sign that is so seen by chance as often as these readings are."""
    found = diagnosed(measured("place", readings))
    (worked,) = [seen.worked for seen in found.timeline.answers if seen.worked]
    assert worked is not None
    by_calc = stands(sign, readings)
    known = shipped.knowledge()
    assert by_calc > known.stray(known.signs[sign].stray)
    raw = Raw(value=by_calc, mark=FROM_MEMORY, reason="For a test.")
    signs = {**known.signs, sign: replace(known.signs[sign], stray=raw)}
    changed = replace(known, hash="", signs=signs)
    causes = [cause for cause in known.causes if sign in known.causes[cause].shows]
    seen = chances(diagnose(changed, case(saw(sign, "yes")), compile_model(changed)))
    for cause in causes:
        ours = chances(found)[cause]
        assert ours / (1 - ours) == pytest.approx(seen[cause] / (1 - seen[cause]), rel=0.02)


def stands(sign: str, readings: dict[str, str]) -> float:
    read = from_texts(PlaceRead, readings)
    return (weld_stands if sign == "wet_by_weld" else weak_stand)(read).chance


def test_away_from_the_weak_ones_is_no() -> None:
    facts = diagnosed(measured("place", {**STANDS, "wet": "9..10"})).run.facts
    assert Fact("sign", "wet_at_low_fasteners", "no") in facts


@pytest.mark.parametrize("step", [6, 10, 20, 40])
def test_the_farther_the_weld_the_less_it_is_believed(step: int) -> None:
    near, far = ({**BEAD, "distance": f"{d} mm"} for d in (step, 1.5 * step))
    one, other = (chances(diagnosed(measured("weld", bead)))["weld_heat"] for bead in (near, far))
    assert one >= other


def test_a_worse_gauge_moves_less() -> None:
    """By how far the likelihoods of within and beyond stand apart."""
    apart = []
    for gauge in ("0.2 thou", "0.75 thou", "3 thou"):
        within, beyond = said(diagnosed(OPEN, measured("flatness", {**NEAR_LIMIT, "gaps": NEAR_LIMIT["gaps"].replace(
            "4:30=5", "4:30=8"), "gauge": gauge})))["housing_face_flatness"]  # fmt: skip
        apart.append(np.log(beyond / max(within, 1e-300)))
    assert apart == sorted(apart, reverse=True)


def test_at_the_limit_it_is_measured_again_and_nothing_is_stopped() -> None:
    facts = diagnosed(OPEN, measured("flatness", NEAR_LIMIT)).run.facts
    assert Fact("reading", "housing_face_flatness", "close") in facts
    assert Fact("reading", "housing_face_flatness", "within") in facts


def test_a_thin_blade_that_enters_is_no_verdict() -> None:
    blade = {"face": "carrier", "blade": "0.002 in", "enters": "3 4", "stays_out": "12 6 9"}
    facts = diagnosed(OPEN, measured("flatness", blade)).run.facts
    assert Fact("reading", "carrier_face_flatness", "close") in facts
    assert Fact("reading", "carrier_face_flatness", "beyond") not in facts
    thick = {**blade, "blade": "0.005 in"}
    assert Fact("reading", "carrier_face_flatness", "beyond") in diagnosed(OPEN, measured("flatness", thick)).run.facts


def test_rules_stand_on_what_was_worked_out() -> None:
    facts = diagnosed(measured("fasteners", RING), measured("leak", DRIPS)).run.facts
    assert Fact("sign", "torque_pattern", "neighbours_low") in facts
    assert Fact("sign", "leak_grade", "drop_falls") in facts
    unsure = [fact for fact in diagnosed(measured("fasteners", IN_DOUBT)).run.facts if fact.id == "torque_pattern"]
    assert [fact.sure for fact in unsure] == [False]


def test_a_doubted_wrench_takes_its_audit_along() -> None:
    doubt = {"who": "AB", "doubt": "torque_wrench", "chance": "1"}
    assert said(diagnosed(measured("fasteners", RING), doubt)) == said(diagnosed())
    all_of_them = (diagnosed(), diagnosed(measured("fasteners", RING), {**doubt, "chance": "0.5"}))
    none, half = (chances(each)["uneven_torque"] for each in all_of_them)
    assert none < half < chances(diagnosed(measured("fasteners", RING)))["uneven_torque"]
    other = diagnosed(measured("fasteners", RING, tool="wrench 4"), {**doubt, "tool": "wrench 7"})
    assert said(other) == said(diagnosed(measured("fasteners", RING)))


def test_withdrawn_it_is_as_if_nobody_had_measured() -> None:
    assert said(diagnosed(measured("fasteners", RING), {"who": "AB", "withdraw": 3})) == said(diagnosed())


def test_each_epoch_has_its_own() -> None:
    washed = ({"who": "AB", "did": "washed"}, {"who": "AB", "did": "driven"})
    evidence = diagnosed(measured("leak", DRIPS), *washed, measured("leak", {**DRIPS, "drops": "1"})).evidence
    assert sorted(seen.epoch for seen in evidence.signs if seen.sign == "leak_grade") == [0, 1]
