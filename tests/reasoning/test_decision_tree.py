"""The decision tree against the live case that it stands for."""

from pathlib import Path

import pytest
from msgspec import structs

from leakdx.case import Case
from leakdx.knowledge.loader import load_knowledge
from leakdx.reasoning.decision_tree import FLOOR, ONE_AHEAD, Branch, Compiler, Limits, summary
from leakdx.reasoning.diagnosis import diagnose
from leakdx.reasoning.timeline import could_not_have_been_seen
from leakdx.reasoning.walk import gone_on
from tests.reasoning.shipped_case import KNOWLEDGE, said

SIX = load_knowledge([Path(__file__).parents[1] / "data" / "six"])
WET = Case(id="wet", complaint=SIX.complaint, log=())


COARSE = structs.replace(SIX, shops={id: structs.replace(s, floor_minutes=FLOOR) for id, s in SIX.shops.items()})
"""Six causes in a shop that asks for what a tree asks for."""


@pytest.fixture(scope="module")
def tree() -> Branch:
    return Compiler(SIX).compile(WET)


def test_chances_add_up_at_every_state_and_at_the_ends(tree: Branch) -> None:
    inner = [branch for branch in tree.walk() if branch.below]
    assert inner
    for branch in inner:
        assert sum(below.probability for below in branch.below) == pytest.approx(branch.probability, abs=1e-6)
        assert (branch.check is None) == (branch.leaf is not None)
    assert sum(branch.probability for branch, _ in tree.leaves()) == pytest.approx(1, abs=1e-6)


def test_each_branch_is_what_the_live_case_comes_to(tree: Branch) -> None:
    followed = 0

    def follow(branch: Branch, case: Case) -> None:
        nonlocal followed
        live = diagnose(COARSE, case, budget=ONE_AHEAD)
        followed += 1
        leader = int(live.belief.leaking_first.argmax())
        assert branch.leader == live.belief.causes[leader]
        assert branch.leader_probability == pytest.approx(live.belief.leaking_first[leader])
        if branch.leaf is not None:
            assert branch.leaf.do == live.decision.do
            assert branch.leaf.repair == live.repairs[0].actions
            assert branch.leaf.p_hold == pytest.approx(live.repairs[0].p_hold)
            return
        assert live.next_check is not None
        assert branch.check == live.next_check.id
        for below in branch.below:
            if below.leaf is None or below.leaf.ends == "decided":
                follow(below, gone_on(live, branch.check, below.answers[0]))

    follow(tree, WET)
    assert followed > 10


def test_looking_costs_time_and_money_and_pays(tree: Branch) -> None:
    told = summary(tree)
    now = diagnose(SIX, WET)
    assert told.money < now.repairs[0].expected_cost
    assert all(below.money > branch.money for branch in tree.walk() for below in branch.below)
    assert all(below.minutes > branch.minutes for branch in tree.walk() for below in branch.below)
    assert told.checks == pytest.approx(sum(b.probability for b in tree.walk() if b.check), abs=1e-12)


def test_what_is_cut_off_is_said_and_has_a_repair_of_its_own() -> None:
    shallow = Compiler(SIX, limits=Limits(depth=1)).compile(WET)
    told = summary(shallow)
    deep = [leaf for _, leaf in shallow.leaves() if leaf.ends == "deep"]
    assert told.cut_deep > 0
    assert all(leaf.repair or leaf.do != "repair" for leaf in deep)
    coarse = Compiler(SIX, limits=Limits(cut=0.2)).compile(WET)
    rare = [(branch, leaf) for branch, leaf in coarse.leaves() if leaf.ends == "rare"]
    assert sum(branch.probability for branch, _ in rare) == pytest.approx(summary(coarse).cut_rare)
    assert rare
    assert all(0 <= leaf.p_hold <= 1 and leaf.money > 0 for _, leaf in rare)
    assert summary(coarse).nodes < summary(Compiler(SIX).compile(WET)).nodes


def test_what_is_worth_less_than_the_floor_is_not_asked() -> None:
    none, usual, much = (summary(Compiler(SIX, limits=Limits(floor=f)).compile(WET)) for f in (1e6, FLOOR, 5.0))
    assert none.checks < usual.checks < much.checks


def test_no_more_nodes_than_allowed() -> None:
    capped = Compiler(SIX, limits=Limits(most=3)).compile(WET)
    assert sum(1 for branch in capped.walk() if branch.below) <= 3
    assert summary(capped).cut_deep > 0


def test_after_a_check_the_log_is_one_that_could_be_written_and_the_check_is_made() -> None:
    live = diagnose(KNOWLEDGE, said(("wet.carrier_joint", "yes")))
    for check, signs in list(live.offer.checks().items())[::4]:
        answers = {sign: KNOWLEDGE.signs[sign].outcomes[0] for sign in signs[:2]}
        case = gone_on(live, check, answers)
        assert could_not_have_been_seen(KNOWLEDGE, case) == ()
        assert check not in diagnose(KNOWLEDGE, case).offer.checks()
        assert case.log[: len(live.case.log)] == live.case.log
