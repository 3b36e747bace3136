"""One tiny knowledge per mechanism of the model, its posterior written out as a sum (own derivation).

A complaint at a place that no oil reaches says nothing, so that a share is base chance times leaks and
each sum stands for one mechanism alone.
"""

from collections.abc import Mapping
from itertools import product

import numpy as np
import pytest

from leakdx.reasoning.belief import Belief
from tests.published import tiny
from tests.published.asked import believe
from tests.published.reference.reader import Story

YES, NO = (0.0, 1.0), (1.0, 0.0)
EXACT = 1e-9  # base chances come back from shares, which are met to 1e-9


def asked(tree: tiny.Tree, *seen: tuple[str, int, tuple[float, ...]], **story: object) -> Belief:
    """What is believed after these answers."""
    told = story.pop("told", None)
    assert told is None or isinstance(told, Mapping)
    return believe(tree, tiny.meaning(tree), Story(tree["complaint"], seen=seen, **story), told)  # type: ignore[arg-type]


def of(belief: Belief, cause: str) -> tuple[float, float, float]:
    """(leaking now, leaking first, present now)."""
    i = belief.causes.index(cause)
    return float(belief.leaking[i]), float(belief.leaking_first[i]), float(belief.present[i])


def test_either_of_two_causes_shows_the_sign() -> None:
    tree = tiny.tree(
        causes={"a": tiny.cause(0.3, shows={"drip": 0.8}), "b": tiny.cause(0.1, shows={"drip": 0.5})},
        signs={"drip": tiny.sign(0.0)},
    )
    a_only, b_only, both = 0.3 * 0.9 * 0.8, 0.7 * 0.1 * 0.5, 0.3 * 0.1 * (1 - 0.2 * 0.5)
    yes = a_only + b_only + both
    found = asked(tree, ("drip", 0, YES))
    assert of(found, "a")[0] == pytest.approx((a_only + both) / yes, abs=EXACT)
    assert of(found, "b")[0] == pytest.approx((b_only + both) / yes, abs=EXACT)
    assert of(asked(tree, ("drip", 0, NO)), "a")[0] == pytest.approx(0.3 * 0.2 / (0.3 * 0.2 + 0.7), abs=EXACT)


def test_a_stray_is_on_top_of_the_link() -> None:
    tree = tiny.tree(causes={"a": tiny.cause(0.2, shows={"drip": 0.8})}, signs={"drip": tiny.sign(0.1)})
    with_a, without = 0.2 * (1 - 0.2 * 0.9), 0.8 * 0.1
    assert of(asked(tree, ("drip", 0, YES)), "a")[0] == pytest.approx(with_a / (with_a + without), abs=EXACT)


def test_a_fairly_sure_answer_leaves_the_other_outcome_alive() -> None:
    tree = tiny.tree(causes={"a": tiny.cause(0.2, shows={"drip": 0.8})}, signs={"drip": tiny.sign(0.1)})
    yes_if, yes_else = 1 - 0.2 * 0.9, 0.1
    with_a, without = 0.2 * (yes_if + 0.15 * (1 - yes_if)), 0.8 * (yes_else + 0.15 * (1 - yes_else))
    assert of(asked(tree, ("drip", 0, (0.15, 1.0))), "a")[0] == pytest.approx(with_a / (with_a + without), abs=EXACT)


def test_quiet_and_leaking_are_two_things() -> None:
    tree = tiny.tree(
        causes={"a": tiny.cause(0.2 * 0.4, 0.4, shows={"drip": 0.7, "pits": 0.9})},
        signs={"drip": tiny.sign(0.05), "pits": tiny.sign(0.02, "present")},
    )
    pits_if, drip_if = 1 - 0.1 * 0.98, 1 - 0.3 * 0.95
    leaking, quiet = 0.2 * 0.4 * pits_if * drip_if, 0.2 * 0.6 * pits_if * 0.05
    absent = 0.8 * 0.02 * 0.05
    total = leaking + quiet + absent
    found = of(asked(tree, ("pits", 0, YES), ("drip", 0, YES)), "a")
    assert found == pytest.approx((leaking / total, leaking / total, (leaking + quiet) / total), abs=EXACT)


def test_one_cause_makes_the_other() -> None:
    made = 1 - 0.95 * (1 - 0.6)  # b where a is present
    tree = tiny.tree(
        causes={
            "a": tiny.cause(0.1, leads_to={"b": 0.6}, shows={"hot": 0.9}),
            "b": tiny.cause(0.1 * made + 0.9 * 0.05, shows={"drip": 0.8}),
        },
        signs={"hot": tiny.sign(0.02), "drip": tiny.sign(0.02)},
    )
    drip_if = 1 - 0.2 * 0.98
    a_b, a_alone = 0.1 * made * drip_if, 0.1 * (1 - made) * 0.02
    b_alone, neither = 0.9 * 0.05 * drip_if, 0.9 * 0.95 * 0.02
    total = a_b + a_alone + b_alone + neither
    found = asked(tree, ("drip", 0, YES))
    assert of(found, "a")[0] == pytest.approx((a_b + a_alone) / total, abs=EXACT)
    assert of(found, "b")[0] == pytest.approx((a_b + b_alone) / total, abs=EXACT)


def test_curing_the_parent_leaves_the_child() -> None:
    made = 1 - 0.95 * (1 - 0.6)
    tree = tiny.tree(
        causes={"a": tiny.cause(0.1, leads_to={"b": 0.6}), "b": tiny.cause(0.1 * made + 0.9 * 0.05)},
    )
    found = asked(tree, acts=(({"a": 1.0}, frozenset()),))
    assert of(found, "a") == pytest.approx((0.0, 0.1, 0.0), abs=EXACT)
    assert of(found, "b")[0] == pytest.approx(0.1 * made + 0.9 * 0.05, abs=EXACT)


def test_history_shifts_the_odds_and_can_rule_out() -> None:
    tree = tiny.tree(
        causes={"a": tiny.cause(0.2 * 0.5, 0.5), "b": tiny.cause(0.1, only_if={"seal": ["sealant"]})},
        history={"seal": tiny.group({"sealant": (0.6, {"a": 6.0}), "gasket": (0.4, {"a": -10.0})})},
    )
    up = 0.2 / 0.8 * 10**0.6
    down = 0.2 / 0.8 / 10
    sealant, gasket = asked(tree, told={"seal": "sealant"}), asked(tree, told={"seal": "gasket"})
    assert of(sealant, "a")[2] == pytest.approx(up / (1 + up), abs=EXACT)
    assert of(sealant, "a")[0] == pytest.approx(0.5 * up / (1 + up), abs=EXACT)
    assert of(gasket, "a")[2] == pytest.approx(down / (1 + down), abs=EXACT)
    assert (of(sealant, "b")[0], of(gasket, "b")[0]) == pytest.approx((0.1, 0.0), abs=EXACT)


def test_a_parent_cannot_make_what_is_impossible() -> None:
    tree = tiny.tree(
        causes={
            "a": tiny.cause(0.2, leads_to={"b": 0.5}),
            "b": tiny.cause(0.2 * (1 - 0.9 * 0.5) + 0.8 * 0.1, only_if={"seal": ["sealant"]}),
        },
        history={"seal": tiny.group({"sealant": (0.6, {}), "gasket": (0.4, {})})},
    )
    found = asked(tree, told={"seal": "gasket"})
    assert (of(found, "a")[0], of(found, "b")[2]) == pytest.approx((0.2, 0.0), abs=EXACT)


def test_of_a_look_the_highest_result_is_seen() -> None:
    tree = tiny.tree(
        causes={
            "a": tiny.cause(0.3, looks={"torque": {"one": 0.5, "all": 0.2}}),
            "b": tiny.cause(0.2, looks={"torque": {"one": 0.1}}),
        },
        signs={"torque": tiny.look({"even": None, "one": 0.05, "all": 0.02})},
    )
    even, up_to_one = 0.93, 0.98  # of the stray
    at_most_one = [(0.7, 1.0), (0.3, 0.8)]  # (chance, P(a asks for no more)) without and with a
    exactly = [
        weight * (most * up_to_one - none * even * other)
        for (weight, most), none in zip(at_most_one, (1.0, 0.3), strict=True)
        for other in (0.8 * 1.0 + 0.2 * 0.9,)
    ]
    found = asked(tree, ("torque", 0, (0.0, 1.0, 0.0)))
    assert of(found, "a")[0] == pytest.approx(exactly[1] / sum(exactly), abs=EXACT)
    worst = [0.7 * 0.02, 0.3 * (1 - 0.8 * 0.98)]
    found = asked(tree, ("torque", 0, (0.0, 0.0, 1.0)))
    assert of(found, "a")[0] == pytest.approx(worst[1] / sum(worst), abs=EXACT)
    assert of(found, "b")[0] == pytest.approx(0.2, abs=EXACT)


def test_wet_somewhere_because_oil_ran_there() -> None:
    tree = tiny.tree(
        causes={"a": tiny.cause(0.1), "b": tiny.cause(0.2, zone="wheel")},
        zones={tiny.JOINT: {}, "wheel": {tiny.JOINT: "runs"}},
        transfers={"runs": 0.4},
        place_signs={"wet": (0.9, 0.01), "trail": (0.8, 0.02), "origin": (0.7, 0.03)},
    )
    wet_if, wet_else = 1 - 0.1 * 0.99, 0.01
    a_runs, a_not = 0.1 * (0.2 * 0.4), 0.1 * (1 - 0.2 * 0.4)
    b_runs, b_not, neither = 0.9 * 0.2 * 0.4, 0.9 * 0.2 * 0.6, 0.9 * 0.8
    wet = (a_runs + a_not + b_runs) * wet_if + (b_not + neither) * wet_else
    found = asked(tree, ("wet.joint", 0, YES))
    assert of(found, "a")[0] == pytest.approx((a_runs + a_not) * wet_if / wet, abs=EXACT)
    trail_if, trail_else = 1 - 0.2 * 0.98, 0.02
    trailed = (
        (a_runs + b_runs) * wet_if * trail_if + a_not * wet_if * trail_else + (b_not + neither) * wet_else * trail_else
    )
    b_with = (
        (a_runs + b_runs) * wet_if * trail_if + 0.1 * 0.2 * 0.6 * wet_if * trail_else + b_not * wet_else * trail_else
    )
    found = asked(tree, ("wet.joint", 0, YES), ("trail.wheel.joint", 0, YES))
    assert of(found, "b")[0] == pytest.approx(b_with / trailed, abs=EXACT)
    origin_if, origin_else = 0.3 * 0.97, 0.97  # no oil seen to come out first at the wheel
    found = asked(tree, ("origin.wheel", 0, NO))
    assert of(found, "b")[0] == pytest.approx(0.2 * origin_if / (0.2 * origin_if + 0.8 * origin_else), abs=EXACT)


def test_a_further_zone_has_a_coin_of_its_own() -> None:
    tree = tiny.tree(
        causes={"a": tiny.cause(0.2, also_zones={"holes": 0.3})},
        zones={tiny.JOINT: {}, "holes": {}},
        place_signs={"origin": (1.0, 0.0)},
    )
    assert of(asked(tree, ("origin.holes", 0, YES)), "a")[0] == pytest.approx(1.0, abs=EXACT)
    found = asked(tree, ("origin.holes", 0, NO))
    assert of(found, "a")[0] == pytest.approx(0.2 * 0.7 / (0.2 * 0.7 + 0.8), abs=EXACT)


def test_an_act_in_the_middle_and_the_coins_that_are_kept() -> None:
    tree = tiny.tree(
        causes={"a": tiny.cause(0.3, shows={"drip": 0.8}), "b": tiny.cause(0.05, shows={"drip": 0.7})},
        signs={"drip": tiny.sign(0.02)},
    )
    total = first = now = second = 0.0
    for a, b, a_coin, b_coin, failed in product((0, 1), repeat=5):
        weight = (0.3 if a else 0.7) * (0.05 if b else 0.95)
        weight *= (0.8 if a_coin else 0.2) * (0.7 if b_coin else 0.3) * (0.1 if failed else 0.9)
        for shown in (a * a_coin or b * b_coin, a * failed * a_coin or b * b_coin):
            weight *= 1.0 if shown else 0.02  # the stray is drawn anew after the act
        total, first, now, second = total + weight, first + weight * a, now + weight * a * failed, second + weight * b
    found = asked(tree, ("drip", 0, YES), ("drip", 1, YES), acts=(({"a": 0.9}, frozenset()),))
    assert of(found, "a")[:2] == pytest.approx((now / total, first / total), abs=EXACT)
    assert of(found, "b")[0] == pytest.approx(second / total, abs=EXACT)


def test_a_condition_sign_keeps_its_stray_until_the_part_is_renewed() -> None:
    tree = tiny.tree(causes={"a": tiny.cause(0.1, shows={"pits": 0.9})}, signs={"pits": tiny.sign(0.05, "present")})
    once = 0.1 * (1 - 0.1 * 0.95) / (0.1 * (1 - 0.1 * 0.95) + 0.9 * 0.05)
    anew = 0.1 * (0.9 + 0.1 * 0.05**2) / (0.1 * (0.9 + 0.1 * 0.05**2) + 0.9 * 0.05**2)
    for renews, expected in ((frozenset[str](), once), (frozenset({"pits"}), anew)):
        found = asked(tree, ("pits", 0, YES), ("pits", 1, YES), acts=(({}, renews),))
        assert of(found, "a")[2] == pytest.approx(expected, abs=EXACT)


def test_not_listed_is_a_weak_parent_of_everything() -> None:
    tree = tiny.tree(
        causes={"a": tiny.cause(0.2, shows={"drip": 0.8}, looks={"torque": {"one": 0.5}})},
        signs={"drip": tiny.sign(0.01), "torque": tiny.look({"even": None, "one": 0.02, "all": 0.03})},
        zones={tiny.JOINT: {}, "wheel": {}},
        not_listed=tiny.unlisted(0.1, 0.6, 0.06),
    )
    drip_a, drip_u, drip_both = 1 - 0.2 * 0.99, 1 - 0.94 * 0.99, 1 - 0.2 * 0.94 * 0.99
    yes = 0.2 * 0.9 * drip_a + 0.8 * 0.1 * drip_u + 0.2 * 0.1 * drip_both + 0.8 * 0.9 * 0.01
    found = asked(tree, ("drip", 0, YES))
    assert of(found, "not_listed")[0] == pytest.approx((0.8 * 0.1 * drip_u + 0.2 * 0.1 * drip_both) / yes, abs=EXACT)
    all_if, all_else = 1 - (1 - 0.03) * (1 - 0.03), 0.03  # .06 is split over the two abnormal results
    found = asked(tree, ("torque", 0, (0.0, 0.0, 1.0)))
    assert of(found, "not_listed")[0] == pytest.approx(0.1 * all_if / (0.1 * all_if + 0.9 * all_else), abs=EXACT)
    wheel_if, wheel_else = 1 - (1 - 0.06 * 0.95) * 0.999, 0.001
    found = asked(tree, ("origin.wheel", 0, YES))
    expected = 0.1 * wheel_if / (0.1 * wheel_if + 0.9 * wheel_else)
    assert of(found, "not_listed")[0] == pytest.approx(expected, abs=EXACT)


def test_shares_stand_after_the_complaint() -> None:
    a, b, much, little, stray = 0.12, 0.18, 0.9, 0.3, 0.001
    wet = [
        (1 - a) * (1 - b) * stray,
        a * (1 - b) * (1 - (1 - much * 0.95) * (1 - stray)),
        (1 - a) * b * (1 - (1 - little * 0.95) * (1 - stray)),
        a * b * (1 - (1 - (1 - (1 - much) * (1 - little)) * 0.95) * (1 - stray)),
    ]
    share_a, share_b = (wet[1] + wet[3]) / sum(wet), (wet[2] + wet[3]) / sum(wet)
    tree = tiny.tree(
        causes={"a": tiny.cause(share_a, zone="one", shows={"drip": 0.8}), "b": tiny.cause(share_b, zone="two")},
        signs={"drip": tiny.sign(0.02)},
        zones={"one": {"under": "much"}, "two": {"under": "little"}},
        places=("under",),
        transfers={"much": much, "little": little},
        complaint="under",
    )
    found = asked(tree)
    assert (of(found, "a")[0], of(found, "b")[0]) == pytest.approx((share_a, share_b), abs=EXACT)
    with_a, without = (wet[1] + wet[3]) * (1 - 0.2 * 0.98), (wet[0] + wet[2]) * 0.02
    found = asked(tree, ("drip", 0, YES))
    assert of(found, "a")[0] == pytest.approx(with_a / (with_a + without), abs=1e-8)


def test_chance_that_a_repair_holds() -> None:
    tree = tiny.tree(causes={"a": tiny.cause(0.8), "b": tiny.cause(0.4 * 0.25, 0.25)})
    found = asked(tree)
    cured_a = np.array([[[1.0, 1.0, 0.9], [1.0, 0.85, 0.0]]])  # a with .9; b stays, a quiet one starts with .15
    expected = (0.2 + 0.8 * 0.9) * (0.6 + 0.3 * 0.85)
    assert found.expect(now=cured_a) == pytest.approx([expected], abs=EXACT)
