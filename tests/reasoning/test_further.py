"""What a check is worth with those that may follow it: against dynamic programming over every world, enumerated."""

import numpy as np
import pytest
from msgspec import structs

from leakdx.reasoning import further as ahead
from leakdx.reasoning import planning
from leakdx.reasoning.further import BUDGET, further
from leakdx.reasoning.planning import CURES_NOTHING, Plan, Planner, best_check, neglect
from tests.published.policies.instances import DEAR, Array, Instance, draw
from tests.published.policies.optimum import Table
from tests.published.policies.ours import Ours

TWO_AHEAD, FREELY = 2, 10**9


@pytest.fixture
def nothing_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("HARDLY_THERE", "FAR_FETCHED", "TELLS_NOTHING"):
        monkeypatch.setattr(planning, name, -1.0)
    monkeypatch.setattr(ahead, "PROMISING", -np.inf)


@pytest.fixture(scope="module")
def instances() -> tuple[Instance, ...]:
    return tuple(draw(DEAR, seed) for seed in range(3))


def at_start(instance: Instance) -> Planner:
    return Ours(Table(instance), floor=False).planner(Table(instance).start)


def with_best_everywhere(plan: Plan) -> Plan:
    """As if every path were the best after some answer, so that none is left out."""
    assert plan.ahead is not None
    every = tuple(range(len(plan.ahead.paths)))
    return structs.replace(plan, checks=tuple(structs.replace(a, best=every) for a in plan.checks))


def costs_of(instance: Instance, planner: Planner, plan: Plan) -> Array:
    """What stopping costs with the paths of a plan; curing nothing is out while a leak is likelier than not."""
    assert plan.ahead is not None
    chosen = [frozenset(int(a.removeprefix("repair")) for a in path.actions) for path in plan.ahead.paths]
    columns = [instance.paths.index(actions) for actions in chosen]
    careless = neglect(plan.ahead.paths, instance.after.hold[:, columns]) == CURES_NOTHING
    return np.where(careless[:, None], np.inf, instance.prices[:, :, columns])


@pytest.mark.parametrize("steps", [2, 3])
def test_it_is_the_value_by_dynamic_programming(
    steps: int, instances: tuple[Instance, ...], nothing_left_out: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ahead, "MOST_STEPS", steps)
    for instance in instances:
        planner = at_start(instance)
        plan = planner.plan()
        table = Table(instance, costs_of(instance, planner, plan))
        looked = further(planner, with_best_everywhere(plan), FREELY)
        assert len(looked.checks) == instance.checks
        for asked in looked.checks:
            check = int(asked.check.removeprefix("check"))
            fall = table.now(table.stop) - table.now(table.look(check, table.steps(steps - 1)))
            assert asked.with_more == pytest.approx(fall, abs=1e-6), asked.check
            assert asked.with_more >= asked.net_value - 1e-6


def test_what_is_made_next_is_what_the_live_plan_would_want(instances: tuple[Instance, ...]) -> None:
    followed = 0
    for instance in instances:
        table = Table(instance)
        ours = Ours(table, floor=False)
        first = max(ours.plan(table.start).checks, key=lambda asked: asked.worth)
        check = int(first.check.removeprefix("check"))
        for row, then in enumerate(first.then):
            answers = tuple(row + 1 if k == check else 0 for k in table.checks)
            live = ours.plan((answers, instance.needs[check])).checks
            if then is not None:
                followed += 1
                assert next(a for a in live if a.check == then).worth > 0
    assert followed >= 2


def test_a_budget_of_nothing_looks_no_further_and_a_small_one_at_fewer(instances: tuple[Instance, ...]) -> None:
    planner = at_start(instances[0])
    plan = planner.plan()
    assert further(planner, plan, 0) == plan
    reached = [sum(np.isfinite(a.with_more) for a in further(planner, plan, b).checks) for b in (100, 300, BUDGET)]
    assert 0 < reached[0] < reached[1] < reached[2]


def test_what_a_check_spoils_is_not_looked_at_after_it(instances: tuple[Instance, ...]) -> None:
    """With everything else lost by it, a check is worth what it is worth alone."""
    planner = at_start(instances[0])
    free = {a.check: a for a in further(planner, planner.plan()).checks}
    first = max(free.values(), key=lambda asked: asked.with_more - asked.net_value)
    checks = dict(planner.knowledge.checks)
    others = tuple(sign for check in checks if check != first.check for sign in checks[check].reveals)
    checks[first.check] = structs.replace(checks[first.check], spoils=others)
    knowledge = structs.replace(planner.knowledge, checks=checks)
    spoiling = structs.replace(planner, knowledge=knowledge, means=structs.replace(planner.means, knowledge=knowledge))
    alone = {a.check: a for a in further(spoiling, spoiling.plan()).checks}[first.check]
    assert alone.with_more == pytest.approx(first.net_value, abs=1e-6)
    assert set(alone.then) == {None}
    assert first.with_more > first.net_value + 1


def test_a_further_check_has_to_be_worth_the_floor(instances: tuple[Instance, ...]) -> None:
    planner = at_start(instances[0])
    dear = structs.replace(planner.means.shop, floor_minutes=1e6)
    held = structs.replace(planner, means=structs.replace(planner.means, shop=dear))
    for asked in further(held, held.plan()).checks:
        assert set(asked.then) <= {None}
        assert asked.with_more <= asked.net_value + 1e-6  # fewer paths, and nothing after it


@pytest.fixture
def ranked(instances: tuple[Instance, ...]) -> Planner:
    return at_start(instances[0])


def test_a_check_comes_first_for_what_follows_it_only_by_the_floor(ranked: Planner) -> None:
    one, two = (structs.replace(a, opens=frozenset(), net_value=v, with_more=v) for a, v in
                zip(ranked.plan().checks[:2], (50.0, 20.0), strict=True))  # fmt: skip
    for more, first in ((59.0, one), (61.0, two)):
        chosen = best_check([one, structs.replace(two, with_more=more)], ranked.knowledge, 10.0)
        assert chosen is not None
        assert chosen.check == first.check


def test_an_as_found_look_does_not_go_before_a_dear_one_for_what_follows_it(ranked: Planner) -> None:
    dear, look = ranked.plan().checks[:2]
    dear = structs.replace(dear, opens=frozenset({"carrier"}), net_value=300.0, with_more=350.0)
    look = structs.replace(look, opens=frozenset(), net_value=5.0, with_more=340.0)
    chosen = best_check([dear, look], ranked.knowledge, 0.0)
    assert chosen is not None
    assert chosen.check == dear.check
