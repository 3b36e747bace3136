"""Prices of paths and values of checks on random small knowledges, against enumeration and against asking."""

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.knowledge.actions import Repair
from leakdx.knowledge.model import Check, Knowledge, Shop
from leakdx.reasoning import planning
from leakdx.reasoning.answer import Forbidden
from leakdx.reasoning.belief import Belief, ContradictionError, Evidence, SignEvidence, compile_model
from leakdx.reasoning.planning import CURES_NOTHING, Asked, Planner, best_check, neglect
from leakdx.reasoning.repair import Means, Path, expected_costs
from tests.reasoning.enumeration import World, posterior
from tests.reasoning.random_cases import bases, evidences, knowledges
from tests.reasoning.tiny import JOINT, cause, check, knowledge, means, opening, repair, shop, sign

SAME = 1e-9
settle = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
OPENINGS = {"drained": opening(10, hours=0.5), "apart": opening(60, needs=("drained",)), "wheel": opening(20)}
OPENED = frozenset({"drained", "apart"})
CLOSED: frozenset[str] = frozenset()
SILENT = (0.0, 1.0)
"""Strengths of a complaint that comes in any case."""
NO_PRUNING = {"HARDLY_THERE": -1.0, "FAR_FETCHED": -1.0, "TELLS_NOTHING": -1.0}


def at_work(k: Knowledge, *, repairs: dict[str, Repair], checks: dict[str, Check] | None = None) -> Knowledge:
    return replace(k, openings=OPENINGS, repairs=repairs, checks=checks or {})


# -- the worked figure -------------------------------------------------------------------------------------


def test_f_what_a_path_and_the_empty_path_are_expected_to_cost() -> None:
    """A leaks with .8, B is there and quiet with .4; a path cures A with .9, closes once and leaves B behind."""
    k = knowledge({"a": cause(), "b": cause(leaks=0.0)}, reported=SILENT)
    k = at_work(
        k, repairs={"mend_a": repair({"a": 0.9}, closes="gasket", parts=1000), "mend_b": repair({"b": 1.0}, parts=600)}
    )
    belief = Belief(compile_model(k, {"a": 0.8, "b": 0.4}), Evidence(JOINT))
    priced = Planner(k, means(k), belief, {}).plan().priced
    found = {p.actions: i for i, p in enumerate(priced.paths)}
    assert set(found) == {(), ("mend_a",)}
    path, empty = found["mend_a",], found[()]
    assert (priced.own[path], priced.own[empty]) == (1000, 0)
    assert priced.hold[path] == pytest.approx(0.838856, abs=5e-7)
    assert priced.hold[empty] == pytest.approx(0.188, abs=5e-7)
    assert priced.cost[path] == pytest.approx(1244.92, abs=0.006)
    assert priced.cost[empty] == pytest.approx(1485.60, abs=0.006)
    assert [priced.paths[i].actions for i in priced.best_first()] == [("mend_a",), ()]


# -- random knowledges, cases, repairs, checks -------------------------------------------------------------


@st.composite
def planners(draw: st.DrawFn, *, opens: bool = True) -> Planner:
    """A random case with repairs for its causes, a shop, and two or three checks."""
    k = draw(knowledges(not_listed=False))
    names = list(k.causes)
    repairs = {}
    for i in range(draw(st.integers(1, 4))):
        closes = draw(st.sampled_from([None, None, "gasket", "sealant"]))
        repairs[f"r{i}"] = repair(
            draw(st.dictionaries(st.sampled_from(names), st.sampled_from([0.35, 0.7, 1.0]), min_size=1)),
            closes=closes,
            access=draw(st.sampled_from([(), ("wheel",)])) if closes is None else ("apart",),
            minutes=draw(st.integers(0, 120)),
            hours=draw(st.integers(0, 3)),
            parts=draw(st.integers(0, 300)),
        )
    signs = [s for s in k.signs if not k.signs[s].place or draw(st.booleans())]
    checks = {}
    for i in range(draw(st.integers(1, 3))):
        access = draw(st.sampled_from([(), (), ("wheel",), ("apart",)])) if opens else ()
        asked = draw(st.lists(st.sampled_from(signs), min_size=1, max_size=2, unique=True))
        checks[f"look{i}"] = check(*asked, minutes=draw(st.integers(0, 20)), access=access)
    k = at_work(k, repairs=repairs, checks=checks)
    return _planner(k, draw(bases(k)), draw(evidences(k, most_acts=1, ask=False)), draw(shops()))


@st.composite
def shops(draw: st.DrawFn) -> Shop:
    return shop(
        comeback_cost=draw(st.floats(0, 2000)),
        quiet_starts=draw(st.floats(0, 1)),
        new_leak={"gasket": draw(st.floats(0, 0.3)), "sealant": draw(st.floats(0, 0.3))},
    )


def _planner(k: Knowledge, base: dict[str, float], evidence: Evidence, shop_: Shop) -> Planner:
    """All signs of the checks that have no answer in the last epoch are open."""
    answered = {s.sign for s in evidence.signs if s.epoch == evidence.last_epoch}
    open_signs = {c: tuple(s for s in e.reveals if s not in answered) for c, e in k.checks.items()}
    open_signs = {c: signs for c, signs in open_signs.items() if signs}
    askable = tuple(dict.fromkeys(s for signs in open_signs.values() for s in signs))
    try:
        belief = Belief(compile_model(k, base), replace(evidence, askable=askable))
    except ContradictionError:
        assume(False)
        raise
    return Planner(k, means(k, shop_), belief, open_signs)


def base_of(planner: Planner) -> dict[str, float]:
    return dict(zip(planner.belief.causes, 1 / (1 + np.exp(-planner.belief.model.log_odds)), strict=True))


def holds(path: Path, planner: Planner, world: World) -> float:
    """Chance that nothing leaks after a path, in one world."""
    chance = 1 - path.new_leak
    for i, name in enumerate(planner.belief.causes):
        cure = float(path.cure[i])
        if world.leaks[-1][name]:
            chance *= cure
        elif world.there[-1][name]:
            chance *= 1 - (1 - cure) * planner.means.shop.quiet_starts
    return chance


@settle
@given(planners())
def test_hold_and_cost_of_every_path_against_enumeration(planner: Planner) -> None:
    priced = planner.plan().priced
    worlds = posterior(planner.knowledge, base_of(planner), planner.belief.evidence)
    prices = planner.means.prices
    for path, own, hold, cost in zip(priced.paths, priced.own, priced.hold, priced.cost, strict=True):
        expected = sum(p * holds(path, planner, w) for p, w in worlds)
        assert hold == pytest.approx(expected, abs=SAME)
        owed = 0.0
        for i, name in enumerate(planner.belief.causes):
            leaks = sum(p for p, w in worlds if w.leaks[-1][name])
            quiet = sum(p for p, w in worlds if w.there[-1][name]) - leaks
            owed += (leaks + planner.means.shop.quiet_starts * quiet) * (1 - path.cure[i]) * prices[i]
        assert own == planner.means.own_cost(path, CLOSED)
        assert cost == pytest.approx(own + (1 - expected) * planner.means.shop.comeback_cost + owed, abs=1e-6)


def price_anew(belief: Belief, m: Means, paths: tuple[Path, ...], opened: frozenset[str]) -> float:
    """The least expected cost among paths with this access open; one that may not be taken does not count."""
    paths = tuple(p for p in paths if p.closes or not opened & m.joint_access)
    if not paths:
        return float("inf")
    kinds = np.stack([p.hold_multipliers(m.shop.quiet_starts) for p in paths])
    hold = belief.expect(now=kinds) * np.array([1 - p.new_leak for p in paths])
    own = np.array([m.own_cost(p, opened) for p in paths])
    costs = expected_costs(m, paths, own, hold, belief.leaking, belief.quiet)
    careless = neglect(paths, hold) == CURES_NOTHING
    return float(costs.min() if careless.all() else costs[~careless].min())


def asked_in_turn(planner: Planner, asked: Asked) -> float:
    """Mean of the least expected cost after each joint answer, the belief worked out from scratch for each."""
    evidence = planner.belief.evidence
    mean = 0.0
    for answers, chance in zip(asked.outlook.answers, asked.outlook.probability, strict=True):
        if chance < 1e-12:
            continue
        told = evidence.signs
        for id, answer in zip(asked.signs, answers, strict=True):
            hard = tuple(float(o == answer) for o in planner.knowledge.signs[id].outcomes)
            told = (*told, SignEvidence(900, id, evidence.last_epoch, hard))
        after = Belief(planner.belief.model, replace(evidence, signs=told, askable=()))
        mean += float(chance) * price_anew(after, planner.means, asked.paths, asked.opens)
    return mean


@settle
@given(planners())
def test_the_gain_of_a_check_is_what_asking_it_would_save(planner: Planner) -> None:
    with pytest.MonkeyPatch.context() as patch:
        for name, value in NO_PRUNING.items():
            patch.setattr(planning, name, value)
        checks = planner.plan().checks
    for asked in checks:
        assert np.isfinite(asked.gain)
        now = price_anew(planner.belief, planner.means, asked.paths, CLOSED)
        saved = now - asked_in_turn(planner, asked)
        # A link of a hundred-millionth may be taken for none when outcomes that tell nothing apart are left out.
        assert asked.gain == pytest.approx(saved, abs=1e-7 * max(1.0, now))


def test_where_nothing_may_be_done_no_answer_is_worth_anything() -> None:
    """Neither a figure without end nor none at all, as the truck cannot be left alone and nothing else is permitted."""
    planner = joint_planner(repairs={"seal": repair({"a": 0.35}, minutes=60)})
    (asked,) = planner.plan().checks
    assert asked.gain == pytest.approx(0, abs=SAME)


def test_a_joint_that_nothing_may_close_again_is_not_opened_for_a_look() -> None:
    repairs = {"seal": repair({"a": 0.9}, minutes=60), "paste": repair({"a": 0.9}, closes="sealant", access=("apart",))}
    look_in = {"outside": check("drips"), "inside": check("drips", access=("apart",))}
    both = joint_planner(repairs=repairs, checks=look_in)
    assert {a.check for a in both.plan().checks} == {"outside", "inside"}
    barred = Forbidden("paste", "a_rule", "not at all", "")
    closed = replace(both, means=means(both.knowledge, forbidden=(barred,)))
    assert {a.check for a in closed.plan().checks} == {"outside"}


def behind_the_wheel(*looks: str, also: Check | None = None) -> Planner:
    """A cause of .2 with three like signs, each seen only with the wheel off (20 min, so 40 of money)."""
    signs = {s: sign(0.1) for s in ("p", "q", "r")}
    k = knowledge({"a": cause(shows=dict.fromkeys(signs, 0.6))}, signs, reported=SILENT)
    checks = {f"look_{s}": check(s, access=("wheel",)) for s in looks} | ({"outside": also} if also else {})
    k = at_work(k, repairs={"seal": repair({"a": 0.95}, parts=800)}, checks=checks)
    return _planner(k, {"a": 0.2}, Evidence(JOINT), shop())


def test_looks_that_share_an_opening_pay_for_it_together() -> None:
    alone = [behind_the_wheel(s).plan().checks[0] for s in "pqr"]
    assert all(a.opens == {"wheel"} and a.net_value == pytest.approx(a.gain - 40) for a in alone)
    assert all(a.net_value < 0 for a in alone)
    together = behind_the_wheel("p", "q", "r").plan().checks
    assert [a.check for a in together] == ["look_p", "look_q", "look_r"]
    assert together[0].net_value > 0 > together[1].net_value
    at_once = behind_the_wheel("p")
    three = replace(at_once.knowledge, checks={"all": check("p", "q", "r", access=("wheel",))})
    (all_three,) = _planner(three, {"a": 0.2}, Evidence(JOINT), shop()).plan().checks
    assert together[0].net_value == pytest.approx(all_three.net_value, abs=SAME)


def test_a_look_as_found_goes_before_one_that_opens_when_it_is_worth_a_third() -> None:
    planner = behind_the_wheel("p", "q", also=check("r"))
    inside, outside = sorted(planner.plan().checks, key=lambda a: not a.opens)[::2]
    for worth, first in ((10.0, "outside"), (9.9, "look_p")):
        ranked = [replace(inside, net_value=30.0), replace(outside, net_value=worth)]
        chosen = best_check(ranked, planner.knowledge)
        assert chosen is not None
        assert chosen.check == first
    assert best_check([replace(inside, net_value=1.0)], planner.knowledge) is not None


def test_a_check_costs_its_minutes_and_looking_again_a_second_visit() -> None:
    planner = behind_the_wheel("p", also=check("r", minutes=6, looks_again=True))
    # A minute costs 1 of labour and 1 of downtime, a second visit 30 minutes more.
    assert planner.check_cost(planner.knowledge.checks["outside"]) == pytest.approx(2 * (6 + 30))
    assert planner.access_cost(frozenset({"apart", "drained"})) == pytest.approx(2 * 70 + 0.5 * 60)


def joint_planner(*, repairs: dict[str, Repair], checks: dict[str, Check] | None = None) -> Planner:
    """One cause, leaking with .8, and a sign of it."""
    k = knowledge({"a": cause(shows={"drips": 0.8})}, {"drips": sign(0.05)}, reported=SILENT)
    k = at_work(k, repairs=repairs, checks=checks or {"look": check("drips")})
    return _planner(k, {"a": 0.8}, Evidence(JOINT), shop())


def may_be_left(planner: Planner, asked: Asked) -> bool:
    """Whether leaving the truck alone is permitted now and would no longer be after some answer."""
    empty = [i for i, p in enumerate(asked.paths) if not p.cure.any()]
    before = planner.belief.expect(
        now=np.stack([p.hold_multipliers(planner.means.shop.quiet_starts) for p in asked.paths])
    )
    return any(before[i] >= 0.5 > asked.outlook.hold[:, i].min() for i in empty)


@settle
@given(planners(opens=False))
def test_no_answer_makes_a_repair_dearer_on_average(planner: Planner) -> None:
    """Unless it shows a leak where the truck would have been left alone."""
    with pytest.MonkeyPatch.context() as patch:
        for name, value in NO_PRUNING.items():
            patch.setattr(planning, name, value)
        checks = planner.plan().checks
    for asked in checks:
        if not may_be_left(planner, asked):
            assert asked.gain >= -1e-9 * max(1.0, float(planner.plan().priced.cost.min()))
