"""Worked figures of the model: small cases summed by plain loops, apart from any engine (own derivation)."""

import numpy as np
import pytest

from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.belief import ActEvidence, Belief, Evidence, SignEvidence, compile_model
from leakdx.reasoning.evidence import Reported
from tests.reasoning.tiny import JOINT, cause, knowledge, look, no, sign, yes, zone

UNHEARD = (0.0, 1.0)
"""A complaint that says nothing: it comes in any case."""
PRINTED = 5.1e-7
"""Half of the last printed digit, and a hair."""


def belief(k: Knowledge, base: dict[str, float], evidence: Evidence) -> Belief:
    return Belief(compile_model(k, base), evidence)


def printed(value: float) -> object:
    return pytest.approx(value, abs=PRINTED)


def test_a_leak_sign_and_a_condition_sign() -> None:
    k = knowledge(
        {"a": cause(leaks=0.35, shows={"drips": 0.6, "pits": 0.8})},
        {"drips": sign(0.05), "pits": sign(0.02, hangs_on="present")},
        reported=UNHEARD,
    )
    wet = belief(k, {"a": 0.1}, Evidence(JOINT, signs=(yes("drips"),)))
    assert (wet.present[0], wet.leaking[0]) == (printed(0.356683), printed(0.310222))
    dry = belief(k, {"a": 0.1}, Evidence(JOINT, signs=(yes("pits"), no("drips"))))
    assert (dry.present[0], dry.leaking[0]) == (printed(0.779184), printed(0.138083))


@pytest.mark.parametrize(("seen", "expected"), [(0, 0.020640), (1, 0.128561), (2, 0.695880)])
def test_b_one_look_with_exclusive_ordered_results(seen: int, expected: float) -> None:
    k = knowledge(
        {"a": cause(looks={"torque": {"neighbours": 0.6, "one": 0.12}})},
        {"torque": look({"even": None, "one": 0.07, "neighbours": 0.02})},
        reported=UNHEARD,
    )
    hard = tuple(np.eye(3)[seen])
    after = belief(k, {"a": 0.07}, Evidence(JOINT, signs=(SignEvidence(1, "torque", 0, hard),)))
    assert after.present[0] == printed(expected)


@pytest.mark.parametrize(
    ("again", "first_now", "first_first", "second"),
    [(yes("drips", 1), 0.215719, 0.496902, 0.714879), (no("drips", 1), 0.000247, 0.942434, 0.010417)],
)
def test_c_an_act_between_two_looks_keeps_link_coins(
    again: SignEvidence, first_now: float, first_first: float, second: float
) -> None:
    k = knowledge(
        {"a": cause(shows={"drips": 0.8}), "b": cause(shows={"drips": 0.8})}, {"drips": sign(0.02)}, reported=UNHEARD
    )
    evidence = Evidence(JOINT, acts=(ActEvidence(2, "fix", {"a": 0.95}),), signs=(yes("drips"), again))
    after = belief(k, {"a": 0.3, "b": 0.05}, evidence)
    assert tuple(after.leaking) == (printed(first_now), printed(second))
    assert tuple(after.leaking_first) == (printed(first_first), printed(second))


def test_d_base_chances_from_shares() -> None:
    """Two causes that reach the place of the complaint with .95 and .12."""
    k = knowledge(
        {"a": cause(90, zone="near"), "b": cause(20, zone="far")},
        zones={"near": zone({"place": 0.95}), "far": zone({"place": 0.12})},
        places=("place",),
        complaint="place",
        reported=(1.0, 0.001),
    )
    base = 1 / (1 + np.exp(-compile_model(k).log_odds))
    assert tuple(base) == (printed(0.124517), printed(0.116990))


@pytest.mark.parametrize(
    ("told", "at_joint", "at_wheel", "path"),
    [
        ((), 0.857039, 0.178100, 0.149982),
        ((yes("trail.wheel.joint"),), 0.105281, 0.994266, 0.994070),
        ((no("trail.wheel.joint"),), 0.982827, 0.041535, 0.008745),
    ],
)
def test_e_zones_paths_and_a_trail(
    told: tuple[SignEvidence, ...], at_joint: float, at_wheel: float, path: float
) -> None:
    k = knowledge({"a": cause(), "b": cause(zone="wheel")}, zones={JOINT: zone(), "wheel": zone({JOINT: 0.35})})
    after = belief(k, {"a": 0.1, "b": 0.05}, Evidence(JOINT, signs=told, askable=("trail.wheel.joint",)))
    assert tuple(after.leaking) == (printed(at_joint), printed(at_wheel))
    now, first = after.zones()
    np.testing.assert_allclose(now, after.leaking, atol=1e-12)
    np.testing.assert_allclose(first, after.leaking, atol=1e-12)
    (asked,) = after.outlook([("trail.wheel.joint",)], np.ones((1, 2, 3)))
    if not told:
        assert asked.probability[1] == pytest.approx(path * 0.95 + (1 - path * 0.95) * 0.001, abs=PRINTED)
        assert asked.leaking[1, 1] == printed(0.994266)


def test_f_whether_a_path_holds() -> None:
    """One closing (chance .03 of a new leak), the leaking cause cured with .9, the quiet one left behind."""
    k = knowledge(
        {"a": cause(shows={"sure": 1.0}), "b": cause(leaks=0.0, shows={"there": 1.0})},
        {"sure": sign(0.5), "there": sign(0.5, hangs_on="present")},
        reported=UNHEARD,
    )
    after = belief(k, {"a": 0.8, "b": 0.4}, Evidence(JOINT))
    assert tuple(after.present) == (printed(0.8), printed(0.4))
    path = np.array([[[1.0, 0.85, 0.9], [1.0, 0.85, 0.0]], [[1.0, 0.85, 0.0], [1.0, 0.85, 0.0]]])
    repaired, left = after.expect(now=path)
    assert 0.97 * repaired == printed(0.838856)
    assert left == printed(0.188)


@pytest.mark.parametrize(
    ("again", "spill_first", "leak_now"), [(no("wet", 1), 0.997550, 0.012346), (yes("wet", 1), 0.300849, 0.998798)]
)
def test_h_washed_and_looked_at_again(again: SignEvidence, spill_first: float, leak_now: float) -> None:
    k = knowledge(
        {"spill": cause(shows={"wet": 0.95}), "leak": cause(shows={"wet": 0.95})},
        {"wet": sign(0.001)},
        reported=UNHEARD,
    )
    evidence = Evidence(JOINT, acts=(ActEvidence(2, "wash", {"spill": 1.0}),), signs=(yes("wet"), again))
    after = belief(k, {"spill": 0.3, "leak": 0.2}, evidence)
    assert after.leaking_first[0] == printed(spill_first)
    assert tuple(after.leaking) == (0.0, printed(leak_now))


@pytest.mark.parametrize("signs", [(yes("pits"),), (yes("pits"), yes("pits", 1))])
def test_i_a_condition_seen_twice_is_one_vote(signs: tuple[SignEvidence, ...]) -> None:
    k = knowledge({"a": cause(shows={"pits": 0.95})}, {"pits": sign(0.02, hangs_on="present")}, reported=UNHEARD)
    after = belief(k, {"a": 0.1}, Evidence(JOINT, acts=(ActEvidence(2, "wash", {}),), signs=signs))
    assert after.present[0] == printed(0.840849)


@pytest.mark.parametrize("soon", [None, 1.0, 0.6, 0.0])
def test_j_a_place_that_is_dry_on_the_first_drive_after_a_wash_may_be_wet_by_a_path(soon: float | None) -> None:
    """Spill or seal, as found wet at both; washed and driven, wet at the seal alone."""
    k = knowledge(
        {"spill": cause(shows={}), "seal": cause(zone="yoke")},
        zones={JOINT: zone(), "yoke": zone({JOINT: 0.5})},
        wet=(1.0, 0.02),
        reported=UNHEARD,
        on_first_drive=soon,
    )
    acts = (ActEvidence(2, "wash", {"spill": 1.0}, dries=True),)
    signs = (yes(f"wet.{JOINT}"), no(f"wet.{JOINT}", 1), yes("wet.yoke", 1))
    after = belief(k, {"spill": 0.1, "seal": 0.1}, Evidence(JOINT, acts=acts, signs=signs))
    quick = 1.0 if soon is None else soon
    both = 0.1 * 0.1 * (0.5 + 0.5 * (1 - quick)) * 0.98
    seal = 0.1 * 0.9 * (0.5 * (1 - quick) * 0.98 + 0.5 * 0.02 * 0.98)
    spill = 0.1 * 0.9 * 0.98 * 0.02
    neither = 0.9 * 0.9 * 0.02 * 0.98 * 0.02
    whole = both + seal + spill + neither
    assert tuple(after.leaking_first) == (printed((both + spill) / whole), printed((both + seal) / whole))


def test_k_back_from_the_road_there_was_time() -> None:
    acts = (ActEvidence(1, "wash", {}, dries=True), ActEvidence(2, "clear", {}), ActEvidence(3, "", {}))
    evidence = Evidence(JOINT, acts=acts, comebacks=(Reported(3, JOINT),))
    assert evidence.soon_after_dry == {1, 2}
