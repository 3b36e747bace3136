"""Repair paths: what the rules permit, what belongs together, what it costs; the worked expected costs."""

from itertools import chain, combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from leakdx.knowledge.model import FROM_MEMORY, Knowledge, Opening, Repair, Shop
from leakdx.reasoning.answer import Forbidden
from leakdx.reasoning.repair import LEAST_CURE, Means, expected_costs
from tests.reasoning import tiny

NOBODY: frozenset[str] = frozenset()
MARKED: dict[str, Any] = {"mark": FROM_MEMORY, "reason": "for a test"}


def repair(cures: dict[str, float], **fields: Any) -> Repair:
    """A repair that takes no time, so that its parts are its whole cost."""
    given_fields = {"minutes": (0.0, 0.0), "proof": "dry", "recheck": "later", **fields}
    return Repair(name="a repair", plain="a repair", cures=tiny.links(cures), **given_fields, **MARKED)


def shop(**fields: Any) -> Shop:
    figures = {
        "currency": "USD", "labour_rate": 120.0, "downtime_rate": 60.0, "comeback_cost": 800.0,
        "stop_and_ask_price": 2500.0, "second_visit_minutes": 30.0, "floor_minutes": 10.0, "quiet_starts": 0.15,
        "new_leak": {"gasket": 0.03, "sealant": 0.06}, "recheck_days": 14,
    }  # fmt: skip
    return Shop(name="a shop", **{**figures, **fields}, **MARKED)


def body(repairs: dict[str, Repair], causes: tuple[str, ...] = ("a", "b")) -> Knowledge:
    plain = tiny.knowledge({c: tiny.cause(30.0) for c in causes})
    openings = {
        "drained": Opening(name="drained", minutes=(10.0, 20.0), elapsed_hours=1.0, **MARKED),
        "carrier_out": Opening(name="carrier out", minutes=(100.0, 140.0), needs=("drained",), **MARKED),
    }
    return structs.replace(plain, repairs=repairs, openings=openings, shops={"home": shop()})


def means(knowledge: Knowledge, **fields: Any) -> Means:
    defaults: dict[str, Any] = {
        "history": {}, "forbidden": (), "required": (), "put_right": (), "open_now": NOBODY,
    }  # fmt: skip
    return Means(
        knowledge=knowledge, shop=knowledge.shops["home"], causes=tuple(knowledge.causes), **{**defaults, **fields}
    )


def ban(action: str, scope: str, **fields: Any) -> Forbidden:
    return Forbidden(action, "a_rule", scope, "for a test", **fields)


def actions(of: Means, *causes: str, opened: frozenset[str] = NOBODY) -> set[frozenset[str]]:
    return {frozenset(path.actions) for path in of.for_causes(causes, opened)}


def test_worked_expected_costs() -> None:
    """A leaks with .8, B is there and quiet with .4; a path cures A with .9 and closes once, B is left."""
    knowledge = body(
        {"fix_a": repair({"a": 0.9}, closes="gasket", parts=1000.0), "fix_b": repair({"b": 0.9}, parts=600.0)}
    )
    case = means(knowledge)
    assert case.prices.tolist() == [1000.0, 600.0]
    leaking, quiet = np.array([0.8, 0.0]), np.array([0.0, 0.4])
    paths = [case.path(frozenset({"fix_a"}), NOBODY), case.path(NOBODY, NOBODY)]
    kinds = np.stack([1 - leaking - quiet, quiet, leaking], axis=-1)
    hold = np.array([(p.hold_multipliers(0.15) * kinds).sum(axis=-1).prod() * (1 - p.new_leak) for p in paths])
    own = np.array([case.own_cost(p, NOBODY) for p in paths])
    assert hold == pytest.approx([0.838856, 0.188], abs=1e-6)
    assert expected_costs(case, paths, own, hold, leaking, quiet) == pytest.approx([1244.92, 1485.60], abs=0.01)


def test_access_is_paid_once_with_what_it_needs_and_not_when_open() -> None:
    out = {"access": ("carrier_out",), "parts": 10.0}
    case = means(body({"x": repair({"a": 0.9}, **out), "y": repair({"b": 0.9}, **out)}))
    both = case.path(frozenset({"x", "y"}), NOBODY)
    assert both.access == {"carrier_out", "drained"}
    assert case.minutes(both, NOBODY) == (110.0, 160.0)
    # 2.25 h hands-on at 180 an hour, one hour of waiting at 60, parts 20
    assert case.own_cost(both, NOBODY) == pytest.approx(2.25 * 180 + 60 + 20)
    assert case.own_cost(both, frozenset({"carrier_out", "drained"})) == pytest.approx(20)


def test_an_open_joint_is_closed_again_and_only_once() -> None:
    out = {"access": ("carrier_out",)}
    repairs = {
        "gasket": repair({"a": 0.9}, closes="gasket", **out),
        "sealant": repair({"a": 0.9}, closes="sealant", **out),
        "seal": repair({"b": 0.9}),
    }
    case = means(body(repairs))
    assert actions(case, "b") == {frozenset({"seal"})}
    opened = frozenset({"carrier_out", "drained"})
    assert actions(case, "b", opened=opened) == {frozenset({"seal", "gasket"}), frozenset({"seal", "sealant"})}
    assert {frozenset(p.actions) for p in case.nothing(opened)} == {frozenset({"gasket"}), frozenset({"sealant"})}


def test_scopes_of_prohibition() -> None:
    repairs = {"x": repair({"a": 0.9}), "y": repair({"b": 0.9}), "z": repair({"a": 0.9}, parts=5.0)}
    knowledge = body(repairs)
    assert actions(means(knowledge), "a") == {frozenset({"x"}), frozenset({"z"})}
    assert actions(means(knowledge, forbidden=(ban("x", "not at all"),)), "a") == {frozenset({"z"})}
    assert actions(means(knowledge, forbidden=(ban("x", "not as the cure", of=("a",)),)), "a") == {frozenset({"z"})}
    for scope in ("unless together with", "not before"):
        together = means(knowledge, forbidden=(ban("x", scope, other=("y",)),))
        assert actions(together, "a") == {frozenset({"x", "y"}), frozenset({"z"})}
    both = (ban("x", "not at all"), ban("z", "not at all"))
    assert not means(knowledge, forbidden=both).curable("a")
    assert means(knowledge, forbidden=both).prices[0] == 2500.0


def test_required_actions_stand_in_every_path_and_right_things_join_without_access_of_their_own() -> None:
    repairs = {
        "x": repair({"a": 0.9}),
        "look": repair({}),
        "near": repair({"b": 0.9}),
        "far": repair({"b": 0.9}, access=("carrier_out",)),
    }
    case = means(body(repairs), required=("look",), put_right=("near", "far"))
    assert actions(case, "a") == {frozenset({"x", "look", "near"})}


@st.composite
def bodies(draw: st.DrawFn) -> tuple[Means, tuple[str, ...]]:
    """Up to five actions over three causes, with companions, and the causes to be cured."""
    causes = ("a", "b", "c")
    names = [f"r{i}" for i in range(draw(st.integers(1, 5)))]
    repairs = {}
    for i, name in enumerate(names):
        cures = {c: draw(st.sampled_from([0.35, 0.6, 0.95])) for c in causes if draw(st.booleans())}
        # Only towards later ones, so that companions make no circle.
        later = names[i + 1 :]
        groups = tuple(
            tuple(draw(st.lists(st.sampled_from(later), min_size=1, max_size=2, unique=True)))
            for _ in range(draw(st.integers(0, 1)) if later else 0)
        )
        closes = draw(st.sampled_from([None, None, "gasket"]))
        repairs[name] = repair(cures, together_with=groups, closes=closes, access=("carrier_out",) if closes else ())
    wanted = tuple(draw(st.lists(st.sampled_from(causes), min_size=1, max_size=3, unique=True)))
    return means(body(repairs, causes)), wanted


@given(bodies())
@settings(max_examples=60, deadline=None)
def test_paths_are_the_minimal_legal_sets(drawn: tuple[Means, tuple[str, ...]]) -> None:
    """Against every subset of the actions."""
    case, wanted = drawn
    repairs = case.knowledge.repairs

    def legal(chosen: frozenset[str]) -> bool:
        cured = all(any(case.cures[r][case.causes.index(c)] >= LEAST_CURE for r in chosen) for c in wanted)
        companied = all(chosen & set(group) for r in chosen for group in repairs[r].together_with)
        return cured and companied and sum(repairs[r].closes is not None for r in chosen) <= 1

    every = chain.from_iterable(combinations(repairs, n) for n in range(len(repairs) + 1))
    fitting = [chosen for chosen in map(frozenset, every) if legal(chosen)]
    minimal = {chosen for chosen in fitting if not any(other < chosen for other in fitting)}
    assert actions(case, *wanted) == minimal
