"""Properties of the belief, and published figures that it must reach."""

import os
import subprocess
import sys
from itertools import permutations

import numpy as np
import pytest

from leakdx.knowledge.model import Knowledge
from leakdx.reasoning import belief
from leakdx.reasoning.belief import (
    ActEvidence,
    Belief,
    ContradictionError,
    Evidence,
    HistoryEvidence,
    Model,
    SignEvidence,
    compile_model,
)
from leakdx.reasoning.network import Network
from leakdx.reasoning.outlook import outlooks
from tests.reasoning.tiny import JOINT, cause, knowledge, look, no, sign, yes, zone

UNHEARD = (0.0, 1.0)


def quickscore() -> tuple[Knowledge, dict[str, float]]:
    """Three diseases and two findings; own example, enumerated and by Quickscore (Heckerman 1989)."""
    k = knowledge(
        {
            "d1": cause(shows={"f1": 0.8, "f2": 0.2}),
            "d2": cause(shows={"f1": 0.5, "f2": 0.7}),
            "d3": cause(shows={"f1": 0.1, "f2": 0.9}),
        },
        {"f1": sign(0.01), "f2": sign(0.02)},
        reported=UNHEARD,
    )
    return k, {"d1": 0.10, "d2": 0.20, "d3": 0.05}


@pytest.mark.parametrize(
    ("seen", "chance", "expected"),
    [
        ((yes("f1"), yes("f2")), 0.0996638597, (0.3027898, 0.8006162, 0.1234368)),
        ((yes("f1"),), 0.1843786, (0.4461966, 0.5932109, 0.0711178)),
        ((no("f1"), no("f2")), 0.7040617797, (0.0174672, 0.0361446, 0.0047145)),
    ],
)
def test_noisy_or_of_three_diseases(seen: tuple[SignEvidence, ...], chance: float, expected: tuple[float, ...]) -> None:
    k, base = quickscore()
    model = compile_model(k, base)
    np.testing.assert_allclose(Belief(model, Evidence(JOINT, signs=seen)).leaking, expected, atol=5.1e-8)
    (asked,) = Belief(model, Evidence(JOINT)).outlook([tuple(s.sign for s in seen)], np.ones((1, 3, 3)))
    answers = tuple("yes" if s.likelihood[1] else "no" for s in seen)
    assert asked.probability[asked.answers.index(answers)] == pytest.approx(chance, abs=5.1e-8)


@pytest.mark.parametrize(
    ("factor", "decibans"), [(2, 3.0103), (5, 6.9897), (10, 10.0), (20, 13.0103), (100, 20.0), (0.1, -10.0)]
)
def test_decibans(factor: float, decibans: float) -> None:
    """General Report on Tunny, 1945, as reproduced in a public page: 10 log10 of the factor on the odds."""
    k = knowledge({"a": cause(shows={"s": 1.0})}, {"s": sign(0.0)}, reported=UNHEARD)
    evidence = Evidence(JOINT, signs=(SignEvidence(1, "s", 0, (1.0, factor)),))
    _, weights = Belief(compile_model(k, {"a": 0.03}), evidence).weights()
    assert weights[0, 0] == pytest.approx(decibans, abs=5.1e-5)
    shifted = Evidence(JOINT, (HistoryEvidence(1, "told", {"a": decibans}),))
    odds = Belief(compile_model(k, {"a": 0.03}), shifted).present[0]
    assert odds / (1 - odds) == pytest.approx(factor * 0.03 / 0.97, rel=1e-5)


def bench() -> Model:
    """Five causes in three zones, one leading to another, signs of every kind, not listed."""
    k = knowledge(
        {
            "bond": cause(30, leaks=0.6, shows={"bare": 0.8, "fresh": 0.6}, family="joint"),
            "clamp": cause(
                25, leaks=0.6, shows={"fresh": 0.35}, looks={"torque": {"one": 0.12, "many": 0.6}}, family="joint"
            ),
            "seal": cause(25, zone="nose", shows={"groove": 0.6}, family="seal"),
            "breather": cause(
                15, leaks=0.35, zone="nose", also={JOINT: 0.35}, shows={"blocked": 0.95}, leads_to={"seal": 0.12}
            ),
            "spill": cause(15, zone="nothing", shows={"dust": 0.8}),
        },
        {
            "bare": sign(0.005, hangs_on="present"),
            "fresh": sign(0.02),
            "torque": look({"even": None, "one": 0.07, "many": 0.02}),
            "groove": sign(0.02, hangs_on="present"),
            "blocked": sign(0.02, hangs_on="present"),
            "dust": sign(0.07),
        },
        zones={
            JOINT: zone({"under": 0.6}),
            "nose": zone({JOINT: 0.35, "under": 0.35}),
            "nothing": zone({JOINT: 0.35, "under": 0.35}, is_place=False, active=False),
        },
        places=("under",),
        not_listed=(2.0, 0.6, 0.06),
    )
    return compile_model(k)


SEEN = (
    yes("wet.joint", entry=2),
    no("wet.nose", entry=3),
    yes("fresh", entry=4),
    SignEvidence(5, "torque", 0, (0.15, 1.0, 0.15)),
    yes("blocked", entry=6),
    no("bare", entry=7),
    yes("wet.nose", epoch=1, entry=9),
)
ACTS = (ActEvidence(8, "clear", {"breather": 0.95, "spill": 1.0}),)
HISTORY = (HistoryEvidence(1, "opened", {"bond": 6.0, "clamp": 3.0}), HistoryEvidence(2, "sealing", {}, ("spill",)))


def figures(belief: Belief) -> tuple[np.ndarray, ...]:
    return (belief.leaking, belief.leaking_first, belief.present, *belief.zones(), *belief.families())


def test_a_cause_that_need_not_come_out_at_its_first_zone() -> None:
    causes = {"c": cause(at_zone=0.8, also={"far": 0.6})}
    k = knowledge(causes, zones={JOINT: zone(), "far": zone()}, reported=UNHEARD, origin=(1.0, 0.0))
    dry = SignEvidence(1, f"origin.{JOINT}", 0, (1.0, 0.0))
    wet = SignEvidence(2, "origin.far", 0, (0.0, 1.0))
    model = compile_model(k, {"c": 0.3})
    assert Belief(model, Evidence(JOINT)).zones()[1] == pytest.approx([0.3 * 0.8, 0.3 * 0.6], abs=1e-12)
    missed = 0.3 * 0.2 / (0.3 * 0.2 + 0.7)
    assert Belief(model, Evidence(JOINT, signs=(dry,))).leaking[0] == pytest.approx(missed, abs=1e-12)
    assert Belief(model, Evidence(JOINT, signs=(dry, wet))).leaking[0] == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("link", [1e-3, 1e-7, 1e-10])
def test_a_link_however_weak_is_counted(link: float) -> None:
    results = {"none": None, "some": 0.05, "much": 0.05}
    k = knowledge({"c": cause(looks={"look": {"some": link}})}, {"look": look(results)}, reported=UNHEARD)
    evidence = Evidence(JOINT, signs=(SignEvidence(1, "look", 0, (1.0, 0.0, 0.0)),))
    found = Belief(compile_model(k, {"c": 0.3}), evidence).leaking[0]
    assert found - 0.3 == pytest.approx(0.3 * (1 - link) / (1 - 0.3 * link) - 0.3, rel=1e-3, abs=0)


def test_the_order_of_answers_does_not_matter() -> None:
    model = bench()
    expected = figures(Belief(model, Evidence(JOINT, HISTORY, ACTS, SEEN)))
    for order in list(permutations(range(len(SEEN))))[::500]:
        found = figures(Belief(model, Evidence(JOINT, HISTORY[::-1], ACTS, tuple(SEEN[i] for i in order))))
        for a, b in zip(found, expected, strict=True):
            np.testing.assert_allclose(a, b, rtol=1e-12)


def test_repeating_a_sure_answer_within_an_epoch_changes_nothing() -> None:
    model = bench()
    once = figures(Belief(model, Evidence(JOINT, HISTORY, ACTS, SEEN)))
    sure = tuple(s for s in SEEN if max(s.likelihood) + min(s.likelihood) == 1)
    twice = figures(Belief(model, Evidence(JOINT, HISTORY, ACTS, (*SEEN, *sure))))
    for a, b in zip(once, twice, strict=True):
        np.testing.assert_allclose(a, b, rtol=1e-12)


def test_an_act_that_nothing_followed_leaves_what_was_first() -> None:
    model = bench()
    before = Belief(model, Evidence(JOINT, HISTORY, (), SEEN[:-1]))
    after = Belief(model, Evidence(JOINT, HISTORY, ACTS, SEEN[:-1]))
    np.testing.assert_allclose(after.leaking_first, before.leaking, atol=1e-14)
    breather = after.causes.index("breather")
    assert after.leaking[breather] == pytest.approx(0.05 * before.leaking[breather])


def test_what_may_be_asked_does_not_change_what_is_believed() -> None:
    model = bench()
    plain = figures(Belief(model, Evidence(JOINT, HISTORY, ACTS, SEEN)))
    asking = figures(Belief(model, Evidence(JOINT, HISTORY, ACTS, SEEN, tuple(model.knowledge.signs))))
    for a, b in zip(plain, asking, strict=True):
        np.testing.assert_allclose(a, b, atol=1e-13)


def test_the_baseline_is_what_complaint_and_history_say() -> None:
    model = bench()
    baseline = Belief(model, Evidence(JOINT, HISTORY, ACTS, SEEN)).baseline()
    told = Belief(model, Evidence(JOINT, HISTORY))
    np.testing.assert_allclose(baseline.zones, told.zones()[1], rtol=1e-12)
    np.testing.assert_allclose(baseline.families, told.families()[1], rtol=1e-12)


def test_weights_come_in_order_of_entry_and_say_when_a_cause_is_ruled_out() -> None:
    items, weights = Belief(bench(), Evidence(JOINT, HISTORY, ACTS, SEEN)).weights()
    assert [item.entry for item in items] == [1, 2, 2, 3, 4, 5, 6, 7, 9]
    spill = 4
    assert weights[1, spill] == -np.inf
    assert not weights[2:, spill].any()
    assert np.isfinite(np.delete(weights, spill, axis=1)).all()


def test_weighing_a_few_answers_at_a_time_comes_to_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    belief = Belief(bench(), Evidence(JOINT, HISTORY, ACTS, SEEN))
    _, together = belief.weights()
    monkeypatch.setattr("leakdx.reasoning.belief.WIDE", 0)
    monkeypatch.setattr("leakdx.reasoning.belief.FEW", 2)
    _, apart = belief.weights()
    np.testing.assert_allclose(apart, together, atol=1e-9)


def test_answers_that_cannot_all_be_so_are_named() -> None:
    """Not there, and after a wash there: possible only if something renewed the part."""
    signs = (no("bare"), yes("bare", 1))
    with pytest.raises(ContradictionError, match="What was entered cannot all be so") as raised:
        Belief(bench(), Evidence(JOINT, acts=(ActEvidence(2, "wash", {}),), signs=signs))
    assert raised.value.signs == ("bare",)
    assert Belief(bench(), Evidence(JOINT, acts=(ActEvidence(2, "open", {}, ("bare",)),), signs=signs)).present[0] > 0


def test_certainties_that_exclude_one_another_are_refused() -> None:
    k = knowledge({"a": cause(shows={"s": 1.0, "t": 1.0})}, {"s": sign(0.0), "t": sign(0.0)}, reported=UNHEARD)
    with pytest.raises(ContradictionError, match="no cause can explain all of it together") as raised:
        Belief(compile_model(k, {"a": 0.5}), Evidence(JOINT, signs=(yes("s"), no("t"))))
    assert raised.value.signs == ()


def test_a_case_in_which_nothing_bears_on_any_cause() -> None:
    """A complaint at a place that nothing reaches: every cause stays at its base chance."""
    k = knowledge({"a": cause(leaks=0.5)}, zones={JOINT: zone()}, places=("elsewhere",), reported=(0.9, 0.1))
    belief = Belief(compile_model(k, {"a": 0.3}), Evidence("elsewhere"))
    assert (belief.present[0], belief.leaking[0]) == pytest.approx((0.3, 0.15))
    assert belief.zones()[0][0] == pytest.approx(0.15)
    assert belief.expect(now=np.array([[[1.0, 1.0, 0.0]]]))[0] == pytest.approx(0.85)


def test_nothing_asked_and_no_path_is_nothing() -> None:
    belief = Belief(bench(), Evidence(JOINT))
    assert belief.outlook([], np.ones((2, 6, 3))) == []
    assert belief.expect(now=np.ones((0, 6, 3))).shape == (0,)
    (asked,) = belief.outlook([("fresh",)], np.ones((0, 6, 3)))
    assert asked.hold.shape == (2, 0)


def test_asking_again_what_was_seen_needs_saying_so() -> None:
    network = Network(bench(), Evidence(JOINT, signs=(yes("fresh"),)))
    with pytest.raises(ValueError, match="fresh must be listed as askable"):
        outlooks(network, network.totals(), [("fresh",)], np.ones((1, 6, 3)))


def test_many_questions_are_asked_in_halves_where_they_are_wide(monkeypatch: pytest.MonkeyPatch) -> None:
    after = Belief(bench(), Evidence(JOINT, HISTORY, ACTS, SEEN))
    questions, paths = [("wet.under", "groove"), ("wet.nose",), ("torque",)], np.ones((2, 6, 3)) / 2
    at_once = after.outlook(questions, paths)
    monkeypatch.setattr(belief, "AT_ONCE", 0)
    monkeypatch.setattr(belief, "WIDENED", 0)
    for one, other in zip(after.outlook(questions, paths), at_once, strict=True):
        np.testing.assert_allclose(one.probability, other.probability, atol=1e-12)
        np.testing.assert_allclose(one.hold, other.hold, atol=1e-12)


@pytest.mark.parametrize("seed", ["0", "1", "77", "4242", "random"])
def test_the_same_under_any_hash_seed(seed: str) -> None:
    script = (
        "import hashlib; from tests.reasoning.test_belief import *;"
        "b = Belief(bench(), Evidence(JOINT, HISTORY, ACTS, SEEN, ('wet.nose', 'wet.under', 'torque')));"
        "o = b.outlook([('wet.under', 'groove'), ('wet.nose',)], np.ones((2, 6, 3)) / 2);"
        "print(hashlib.sha256(b''.join(a.tobytes() for a in (*figures(b), b.weights()[1],"
        " *(x.leaking for x in o)))).hexdigest())"
    )
    digests = [
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": s},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for s in (seed, "5")
    ]
    assert digests[0] == digests[1] != ""
