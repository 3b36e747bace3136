"""The value of a check against asking it: every answer entered in turn, the best path priced from scratch."""

from typing import Any

import numpy as np
import pytest
from msgspec import structs

from leakdx.knowledge.model import Check, Knowledge
from leakdx.reasoning import planning
from leakdx.reasoning.belief import Belief, Evidence, SignEvidence, compile_model
from leakdx.reasoning.further import further
from leakdx.reasoning.planning import CURES_NOTHING, GESTURE, HARDLY_CURES, Planner, Priced, best_check, neglect
from leakdx.reasoning.repair import Path, expected_costs
from tests.reasoning import tiny
from tests.reasoning.tiny import check, means, opening, repair, shop

NOBODY: frozenset[str] = frozenset()
OUTCOMES = {"p": ("no", "yes"), "q": ("no", "yes"), "look": ("even", "low")}


def knowledge(checks: dict[str, Check]) -> Knowledge:
    causes = {
        "a": tiny.cause(60.0, shows={"p": 0.8}, looks={"look": {"low": 0.6}}),
        "b": tiny.cause(45.0, leaks=0.7, shows={"q": 0.6, "p": 0.1}),
    }
    signs = {"p": tiny.sign(0.05), "q": tiny.sign(0.1), "look": tiny.look({"even": None, "low": 0.05})}
    repairs = {
        "fix_a": repair({"a": 0.9}, parts=500.0),
        "fix_b": repair({"b": 0.8}, parts=300.0),
        "close": repair({"a": 0.95}, parts=700.0, closes="gasket", access=("carrier_out",)),
    }
    openings = {"drained": opening(15.0, hours=1.0), "carrier_out": opening(120.0, needs=("drained",))}
    return structs.replace(tiny.knowledge(causes, signs), repairs=repairs, openings=openings, checks=checks)


def look(*reveals: str, **fields: Any) -> Check:
    """A check of six minutes."""
    return check(*reveals, minutes=6.0, **fields)


def planner(of: Knowledge, seen: tuple[SignEvidence, ...] = ()) -> Planner:
    askable = tuple(s for entry in of.checks.values() for s in entry.reveals)
    belief = Belief(compile_model(of), Evidence(of.complaint, signs=seen, askable=askable))
    return Planner(
        of, means(of, shop(labour_rate=120.0)), belief, {id: entry.reveals for id, entry in of.checks.items()}
    )


def best_cost(at: Planner, opened: frozenset[str]) -> float:
    """The least expected cost over all paths of these actions, priced one by one."""
    chosen = [NOBODY, *({"fix_a"}, {"fix_b"}, {"close"}, {"fix_a", "fix_b"}, {"close", "fix_b"})]
    paths = [at.means.path(frozenset(c), opened) for c in chosen]
    if opened & at.means.joint_access:
        paths = [p for p in paths if p.closes]
    own = np.array([at.means.own_cost(p, opened) for p in paths])
    multipliers = np.stack([p.hold_multipliers(at.means.shop.quiet_starts) for p in paths])
    hold = at.belief.expect(now=multipliers) * np.array([1 - p.new_leak for p in paths])
    costs = expected_costs(at.means, paths, own, hold, at.belief.leaking, at.belief.quiet)
    return float(np.where(neglect(paths, hold) == CURES_NOTHING, np.inf, costs).min())


def by_asking(of: Knowledge, signs: tuple[str, ...], opened: frozenset[str]) -> float:
    """Fall in the best cost when the signs are asked, one joint answer after the other."""
    before = planner(of)
    outlook = before.belief.outlook([signs], np.ones((1, len(before.belief.causes), 3)))[0]
    after = 0.0
    for answers, chance in zip(outlook.answers, outlook.probability, strict=True):
        seen = tuple(
            SignEvidence(1, sign, 0, tuple(float(o == answer) for o in OUTCOMES[sign]))
            for sign, answer in zip(signs, answers, strict=True)
        )
        after += float(chance) * best_cost(planner(of, seen), opened)
    return best_cost(before, NOBODY) - after


@pytest.fixture(autouse=True)
def nothing_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("HARDLY_THERE", "FAR_FETCHED", "TELLS_NOTHING"):
        monkeypatch.setattr(planning, name, -1.0)


@pytest.mark.parametrize("signs", [("p",), ("q",), ("look",), ("p", "q"), ("p", "q", "look")])
def test_a_check_gains_what_asking_it_saves(signs: tuple[str, ...]) -> None:
    of = knowledge({"one": look(*signs)})
    weighed = planner(of).plan().checks[0]
    assert weighed.gain == pytest.approx(by_asking(of, signs, NOBODY), abs=1e-6)
    assert weighed.gain >= -1e-9
    # 6 min at (120 + 60) an hour
    assert weighed.net_value == pytest.approx(weighed.gain - 18.0)


def test_a_check_gains_as_often_as_it_tells_anything() -> None:
    sure = planner(knowledge({"one": look("p")})).plan().checks[0]
    for never, part in (("0.25", 0.75), ("1", 0.0)):
        of = knowledge({"one": look("p", no_answer=tiny.raw(float(never)))})
        weighed = planner(of).plan().checks[0]
        assert weighed.gain == pytest.approx(part * sure.gain)
        assert weighed.net_value == pytest.approx(weighed.gain - 18.0), "its minutes are spent all the same"


def test_a_check_that_says_nothing_of_it_takes_the_word_of_the_knowledge() -> None:
    of = knowledge({"one": look("p"), "two": look("p", no_answer=tiny.raw(0.5))})
    of = structs.replace(of, words=structs.replace(of.words, no_answer=tiny.raw(0.25)))
    one, two = sorted(planner(of).plan().checks, key=lambda asked: asked.check)
    assert one.gain * 0.5 == pytest.approx(two.gain * 0.75)


def test_what_may_follow_a_check_counts_as_often_as_each_tells_anything() -> None:
    """Two checks, all four answers, written out: after "p" the better of stopping and of "q", which may fail too."""
    of = knowledge({"one": look("p", no_answer=tiny.raw(0.2)), "two": look("q", no_answer=tiny.raw(0.4))})
    at = planner(of)
    freely = structs.replace(at, means=structs.replace(at.means, shop=structs.replace(at.means.shop, floor_minutes=0)))
    plan = freely.plan()
    assert plan.ahead is not None
    none_left_out = tuple(structs.replace(a, best=tuple(range(len(plan.ahead.paths)))) for a in plan.checks)
    asked = {a.check: a for a in further(freely, structs.replace(plan, checks=none_left_out), 10**6).checks}
    expected, before = 0.0, best_cost(at, NOBODY)
    for p, chance in zip(*answers_of(of, "p", ()), strict=True):
        stop, then = best_cost(planner(of, (p,)), NOBODY), 0.0
        for q, often in zip(*answers_of(of, "q", (p,)), strict=True):
            then += often * best_cost(planner(of, (p, q)), NOBODY)
        expected += chance * min(stop, 18.0 + 0.6 * then + 0.4 * stop)
    assert asked["one"].with_more == pytest.approx(0.8 * (before - expected) - 18.0, abs=1e-6)
    assert asked["one"].with_more > asked["one"].net_value + 1


def answers_of(of: Knowledge, sign: str, seen: tuple[SignEvidence, ...]) -> tuple[list[SignEvidence], list[float]]:
    """Every answer to a sign as evidence, and its chance."""
    at = planner(of, seen)
    outlook = at.belief.outlook([(sign,)], np.ones((1, len(at.belief.causes), 3)))[0]
    given = [tuple(float(o == answer) for o in OUTCOMES[sign]) for (answer,) in outlook.answers]
    return [SignEvidence(1, sign, 0, likelihood) for likelihood in given], outlook.probability.tolist()


def test_access_is_counted_once_and_an_open_joint_has_to_be_closed() -> None:
    of = knowledge({"inside": look("p", access=("carrier_out",))})
    weighed = planner(of).plan().checks[0]
    opened = frozenset({"carrier_out", "drained"})
    assert weighed.opens == opened
    assert weighed.gain == pytest.approx(by_asking(of, ("p",), opened), abs=1e-6)
    # access 135 min at 180 an hour and one hour of waiting at 60
    assert weighed.net_value == pytest.approx(weighed.gain - 18.0 - 135 * 3.0 - 60.0)


def test_looks_that_share_an_opening_are_worth_what_they_are_worth_together() -> None:
    alone = knowledge({"one": look("p", access=("carrier_out",)), "two": look("look", access=("carrier_out",))})
    both = by_asking(alone, ("p", "look"), frozenset({"carrier_out", "drained"})) - 2 * 18.0 - 135 * 3.0 - 60.0
    weighed = planner(alone).plan().checks
    assert weighed[0].net_value == pytest.approx(max(both, weighed[0].gain - 18.0 - 465.0), abs=1e-6)


def test_what_spoils_or_opens_waits_while_one_as_found_is_worth_a_third() -> None:
    checks = {"wash": look("p", spoils=("q",)), "look": look("q")}
    of = knowledge(checks)
    weighed = {c.check: c for c in planner(of).plan().checks}
    first = structs.replace(weighed["wash"], net_value=90.0)
    second = structs.replace(weighed["look"], net_value=30.0)
    chosen = best_check([first, second], of)
    assert chosen is not None
    assert chosen.check == "look"
    chosen = best_check([first, structs.replace(second, net_value=29.0)], of)
    assert chosen is not None
    assert chosen.check == "wash"
    assert best_check([], of) is None


def test_curing_nothing_stands_last_while_a_leak_is_likelier_than_not() -> None:
    at = planner(knowledge({"one": look("p")}))
    priced = at.plan().priced
    order: list[Any] = [priced.paths[i].actions for i in priced.best_first()]
    assert order[-1] == ()
    costs = [priced.cost[i] for i in priced.best_first()[:-1]]
    assert costs == sorted(costs)


def test_what_hardly_cures_stands_behind_every_repair_while_a_leak_is_likelier_than_not() -> None:
    names = ["nothing", "gesture", "half", "whole"]
    cures = [0.0, 0.1, 0.5, 0.9]
    paths = tuple(Path((n,), np.array([c]), None, 0.0, NOBODY) for n, c in zip(names, cures, strict=True))
    cost = np.array([40.0, 50.0, 300.0, 500.0])

    def order(hold: list[float]) -> list[str]:
        return [names[i] for i in Priced(paths, cost, np.array(hold), cost).best_first()]

    leaks = [0.2, 0.2 + GESTURE - 1e-6, 0.2 + GESTURE, 0.8]
    assert list(neglect(paths, np.array(leaks))) == [CURES_NOTHING, HARDLY_CURES, 0, 0]
    assert order(leaks) == ["half", "whole", "gesture", "nothing"]
    assert order([0.6, 0.65, 0.7, 0.9]) == names  # most likely dry anyway: the cheapest first
    just_past_even = [0.45, 0.52, 0.7, 0.9]  # the leak stays likelier than not for whoever does nothing
    assert list(neglect(paths, np.array(just_past_even))) == [CURES_NOTHING, HARDLY_CURES, 0, 0]
    assert order(just_past_even) == ["half", "whole", "gesture", "nothing"]


def test_the_gesture_is_told_from_the_least_that_any_path_does_where_none_cures_nothing() -> None:
    paths = tuple(Path((n,), np.array([c]), None, 0.0, NOBODY) for n, c in (("a", 0.2), ("b", 0.6)))
    assert list(neglect(paths, np.array([0.2, 0.4]))) == [HARDLY_CURES, 0]
