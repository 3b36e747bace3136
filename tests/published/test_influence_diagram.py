"""Two checks and a repair as an influence diagram, solved by pyAgrum, beside the tests' own dynamic programming.

The planner is held against that dynamic programming in ``tests/reasoning/test_further.py``.
"""

from dataclasses import replace
from importlib import import_module
from itertools import permutations, product
from typing import Any

import numpy as np
import pytest

from tests.published.policies.instances import CHEAP, CLOSED, LEAKING, QUIET, REPORTED, Instance, draw
from tests.published.policies.optimum import Table

CAUSES, CHECKS = 3, 2


def small(seed: int) -> Instance:
    """Three causes and two checks of a drawn truck, which need no opening."""
    whole = draw(CHEAP, seed)
    some = whole.shares[:CAUSES]
    return replace(
        whole,
        shares=some * 1.12 / some.sum(), leaks=whole.leaks[:CAUSES], links=whole.links[:CHECKS, :CAUSES] + 0.05,
        strays=whole.strays[:CHECKS], minutes=whole.minutes[:CHECKS], needs=(0,) * CHECKS,
        cures=whole.cures[:CAUSES, :CAUSES], repair_minutes=whole.repair_minutes[:CAUSES],
        repair_parts=whole.repair_parts[:CAUSES], repair_needs=whole.repair_needs[:CAUSES],
    )  # fmt: skip


def least_cost(instance: Instance, order: tuple[int, ...]) -> float:
    """Expected cost of the best plan that may make the checks in this order, by pyAgrum."""
    gum: Any = import_module("pyagrum")
    solver: Any = import_module("pyagrum.influence_diagram.idcpp")
    diagram = gum.InfluenceDiagram()
    base = 1 / (1 + np.exp(-instance.model.log_odds))
    for c in range(CAUSES):
        node = diagram.addChanceNode(gum.LabelizedVariable(f"cause{c}", "", 3))
        leaks = base[c] * instance.leaks[c]
        diagram.cpt(node)[:] = [1 - base[c], base[c] - leaks, leaks]
    causes = [f"cause{c}" for c in range(CAUSES)]
    _noisy_or(gum, diagram, "reported", causes, np.full(CAUSES, REPORTED), instance.reported_stray, gather=True)
    for k in order:
        _noisy_or(gum, diagram, f"sign{k}", causes, instance.links[k], float(instance.strays[k]))
        diagram.addDecisionNode(gum.LabelizedVariable(f"make{k}", "", 2))
        diagram.addChanceNode(gum.LabelizedVariable(f"seen{k}", "", 3))  # not made, no, yes
        diagram.addArc(f"make{k}", f"seen{k}")
        diagram.addArc(f"sign{k}", f"seen{k}")
        for made, answer in product(range(2), repeat=2):
            diagram.cpt(f"seen{k}")[{f"make{k}": made, f"sign{k}": answer}] = np.eye(3)[made * (1 + answer)].tolist()
        diagram.addUtilityNode(gum.LabelizedVariable(f"cost{k}", "", 1))
        diagram.addArc(f"make{k}", f"cost{k}")
        for made in range(2):
            diagram.utility(f"cost{k}")[{f"make{k}": made}] = [-made * instance.check_cost(k, CLOSED)]
    diagram.addDecisionNode(gum.LabelizedVariable("repair", "", len(instance.paths)))
    diagram.addUtilityNode(gum.LabelizedVariable("price", "", 1))
    for name in (*causes, "repair"):
        diagram.addArc(name, "price")
    _prices(instance, diagram)
    first, second = order
    for before, after in ((f"seen{first}", f"make{second}"), (f"seen{first}", "repair"), (f"seen{second}", "repair")):
        diagram.addArc(before, after)
    engine = solver.ShaferShenoyLIMIDInference(diagram)
    engine.addNoForgettingAssumption([f"make{first}", f"make{second}", "repair"])
    engine.setEvidence({"reported": 1})
    engine.makeInference()
    return -float(engine.MEU()["mean"])


def _noisy_or(
    gum: Any, diagram: Any, name: str, causes: list[str], links: Any, stray: float, *, gather: bool = False
) -> None:
    """``gather``: one coin for all that leak together, as a zone has."""
    diagram.addChanceNode(gum.LabelizedVariable(name, "", 2))
    for cause in causes:
        diagram.addArc(cause, name)
    for world in product(range(3), repeat=CAUSES):
        through = [link for link, state in zip(links, world, strict=True) if state == LEAKING]
        no = (1 - stray) * float(np.prod([1 - link for link in (through[:1] if gather else through)]))
        diagram.cpt(name)[dict(zip(causes, world, strict=True))] = [no, 1 - no]


def _prices(instance: Instance, diagram: Any) -> None:
    """What a path costs where it is known what leaks and what is quiet."""
    owed = [instance.rate * m + p + instance.opening_cost(n, CLOSED) for m, p, n in
            zip(instance.repair_minutes, instance.repair_parts, instance.repair_needs, strict=True)]  # fmt: skip
    for world in product(range(3), repeat=CAUSES):
        for number, path in enumerate(instance.paths):
            needed = 0
            for action in path:
                needed |= instance.repair_needs[action]
            own = sum(instance.rate * instance.repair_minutes[a] + instance.repair_parts[a] for a in path)
            own += instance.opening_cost(needed, CLOSED)
            starts = {LEAKING: 1.0, QUIET: instance.shop.quiet_starts}
            stays = [
                starts.get(state, 0.0) * float(np.prod([1 - instance.cures[a, c] for a in path]))
                for c, state in enumerate(world)
            ]
            hold = float(np.prod([1 - stay for stay in stays]))
            later = (1 - hold) * instance.shop.comeback_cost + sum(s * o for s, o in zip(stays, owed, strict=True))
            at = {f"cause{c}": state for c, state in enumerate(world)} | {"repair": number}
            diagram.utility("price")[at] = [-(own + later)]


@pytest.mark.parametrize("seed", range(3))
def test_the_best_plan_of_two_checks_costs_what_an_influence_diagram_says(seed: int) -> None:
    instance = small(seed)
    table = Table(instance, instance.prices)
    theirs = min(least_cost(instance, order) for order in permutations(range(CHECKS)))
    assert theirs == pytest.approx(table.optimum, rel=1e-9)
    assert table.optimum < table.now(table.stop)
