"""Repair paths against a brute force over all sets of actions, and what paths cost."""

from collections.abc import Collection, Iterator
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.knowledge.actions import Repair
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import Forbidden
from leakdx.reasoning.repair import LEAST_CURE, Means, Path, expected_costs, opening_closure
from tests.reasoning.tiny import cause, knowledge, means, opening, repair, shop

CAUSES = ("a", "b", "c")
OPENINGS = {"drained": opening(20, hours=1), "apart": opening(100, needs=("drained",)), "wheel": opening(30)}
NOTHING_OPEN: frozenset[str] = frozenset()


def garage(repairs: dict[str, Repair]) -> Knowledge:
    causes = {c: cause(family="one" if c == "a" else "two") for c in CAUSES}
    return replace(knowledge(causes), openings=OPENINGS, repairs=repairs)


def actions_of(paths: Collection[Path]) -> set[frozenset[str]]:
    return {frozenset(p.actions) for p in paths}


def ban(action: str, scope: str, *other: str, of: tuple[str, ...] = ()) -> Forbidden:
    return Forbidden(action, f"no_{action}", scope, "", of, other)


# -- against all sets of actions ---------------------------------------------------------------------------


@st.composite
def drawn_means(draw: st.DrawFn) -> Means:
    """Three causes, up to five actions, and any rules about them."""
    names = [f"r{i}" for i in range(draw(st.integers(1, 5)))]
    some = st.lists(st.sampled_from(names), max_size=2, unique=True).map(tuple)
    repairs = {}
    for name in names:
        others = [tuple(draw(some)) for _ in range(draw(st.sampled_from([0, 0, 0, 1, 2])))]
        closes = draw(st.sampled_from([None, None, "gasket", "sealant"]))
        reach = [(), ("wheel",), ("drained",)] if closes is None else [("apart",)]
        repairs[name] = repair(
            draw(st.dictionaries(st.sampled_from(CAUSES), st.sampled_from([0.12, 0.6, 0.95]), max_size=3)),
            closes=closes,
            access=draw(st.sampled_from([*reach, ("apart",)])),
            together_with=tuple(g for g in others if g),
        )
    scopes = st.sampled_from(["not as the cure", "not before", "not at all", "unless together with"])
    of = st.sampled_from([(), ("a",), ("two",)])
    bans = [
        ban(draw(st.sampled_from(names)), draw(scopes), *draw(some), of=draw(of))
        for _ in range(draw(st.sampled_from([0, 0, 1, 2])))
    ]
    return means(
        garage(repairs),
        forbidden=tuple(bans),
        required=draw(st.sampled_from([(), (), (names[0],)])),
        put_right=draw(some),
        open_now=draw(st.sampled_from([NOTHING_OPEN, frozenset({"drained", "apart"}), frozenset({"wheel"})])),
    )


def cures(m: Means, action: str, cause: str) -> float:
    """Chance that an action cures a cause, what is not to count as the cure left out."""
    family = "one" if cause == "a" else "two"
    for f in m.forbidden:
        if f.action == action and f.scope == "not as the cure" and (not f.of or {cause, family} & set(f.of)):
            return 0.0
    strength = m.knowledge.repairs[action].cures.get(cause)
    return m.knowledge.link(strength) if strength else 0.0


def is_complete(m: Means, actions: frozenset[str]) -> bool:
    """Whether nothing that must be done along is missing."""
    for action in actions:
        if any(not actions & set(group) for group in m.knowledge.repairs[action].together_with):
            return False
        for f in m.forbidden:
            if f.action == action and f.other:
                if f.scope == "not before" and not set(f.other) <= actions:
                    return False
                if f.scope == "unless together with" and not set(f.other) & actions:
                    return False
    return True


def permitted_sets(m: Means) -> Iterator[frozenset[str]]:
    """All sets of actions that may be done together."""
    repairs = m.knowledge.repairs
    barred = {f.action for f in m.forbidden if f.scope == "not at all"}
    allowed = [r for r in repairs if r not in barred]
    for size in range(len(allowed) + 1):
        for chosen in combinations(allowed, size):
            actions = frozenset(chosen)
            closings = [a for a in actions if repairs[a].closes]
            any_closes = any(r.closes for r in repairs.values())
            must_close = any_closes and "apart" in m.open_now
            is_closed = len(closings) <= 1 and (closings or not must_close)
            if is_closed and set(m.required) <= actions and is_complete(m, actions):
                yield actions


def smallest(sets: Collection[frozenset[str]]) -> set[frozenset[str]]:
    return {s for s in sets if not any(other < s for other in sets)}


def with_put_right(m: Means, actions: frozenset[str]) -> frozenset[str]:
    """The actions and what is put right beside them, where nothing else has to be opened or done for it."""
    if not actions:
        return actions
    repairs = m.knowledge.repairs
    barred = {f.action for f in m.forbidden if f.scope == "not at all"}
    there = opening_closure(m.knowledge, [o for a in actions for o in repairs[a].access]) | m.open_now
    added: set[str] = set()
    for extra in m.put_right:
        is_free = opening_closure(m.knowledge, repairs[extra].access) <= there
        closes = repairs[extra].closes is not None
        if extra not in barred and is_free and not closes:
            added |= with_companions(m, actions, extra, barred, there)
    return actions | added


def with_companions(
    m: Means, actions: frozenset[str], extra: str, barred: set[str], there: frozenset[str]
) -> frozenset[str]:
    """The extra and, first of each group, what it needs along; empty where one of these may not be done so."""
    if is_complete_with(m, actions, extra):
        return frozenset({extra})
    added = frozenset({extra})
    for group in companions_of(m, extra):
        if (actions | added) & set(group):
            continue
        repair = m.knowledge.repairs[group[0]]
        if group[0] in barred or repair.closes or not opening_closure(m.knowledge, repair.access) <= there:
            return frozenset()
        more = with_companions(m, actions | added, group[0], barred, there)
        if not more:
            return frozenset()
        added |= more
    return added


def companions_of(m: Means, action: str) -> list[tuple[str, ...]]:
    groups = list(m.knowledge.repairs[action].together_with)
    for f in m.forbidden:
        if f.action == action and f.scope == "not before":
            groups += [(other,) for other in f.other]
        elif f.action == action and f.scope == "unless together with" and f.other:
            groups.append(tuple(f.other))
    return groups


def is_complete_with(m: Means, actions: frozenset[str], extra: str) -> bool:
    """Whether what the extra action needs along is among the actions."""
    alone = replace(m, forbidden=tuple(f for f in m.forbidden if f.action == extra))
    groups = m.knowledge.repairs[extra].together_with
    if any(not actions & set(group) for group in groups):
        return False
    for f in alone.forbidden:
        if f.other and f.scope == "not before" and not set(f.other) <= actions:
            return False
        if f.other and f.scope == "unless together with" and not set(f.other) & actions:
            return False
    return True


@settings(max_examples=300, deadline=None)
@given(drawn_means(), st.sets(st.sampled_from(CAUSES), max_size=2))
def test_paths_are_the_minimal_complete_sets(m: Means, causes: set[str]) -> None:
    fitting = [
        s for s in permitted_sets(m) if all(any(cures(m, a, c) >= LEAST_CURE for a in s) for c in causes)
    ]  # fmt: skip
    expected = {with_put_right(m, s) for s in smallest(fitting)}
    assert actions_of(m.for_causes(sorted(causes), m.open_now)) == expected


@settings(max_examples=100, deadline=None)
@given(drawn_means())
def test_the_empty_path_stands_unless_something_must_be_done(m: Means) -> None:
    expected = {with_put_right(m, s) for s in smallest(list(permitted_sets(m)))}
    assert actions_of(m.nothing(m.open_now)) == expected
    for path in m.nothing(m.open_now):
        assert sum(m.knowledge.repairs[a].closes is not None for a in path.actions) <= 1


@settings(max_examples=100, deadline=None)
@given(drawn_means(), st.sampled_from(CAUSES))
def test_what_a_path_cures_opens_and_closes(m: Means, cause: str) -> None:
    repairs = m.knowledge.repairs
    for path in m.for_causes((cause,), m.open_now):
        left = [float(np.prod([1 - cures(m, a, c) for a in path.actions])) for c in CAUSES]
        np.testing.assert_allclose(path.cure, 1 - np.array(left), atol=1e-12)
        closings = [repairs[a].closes for a in path.actions if repairs[a].closes]
        assert len(closings) <= 1
        assert path.closes == (closings[0] if closings else None)
        assert path.new_leak == {None: 0.0, "gasket": 0.03, "sealant": 0.06}[path.closes]
        needed = opening_closure(m.knowledge, [o for a in path.actions for o in repairs[a].access])
        assert path.access <= needed <= path.access | m.open_now


# -- one thing at a time -----------------------------------------------------------------------------------


def mends(**more: Any) -> dict[str, Repair]:
    return {
        "seal_a": repair({"a": 0.95}, closes="gasket", access=("apart",), minutes=60, parts=40),
        "face_b": repair({"b": 0.95}, access=("apart",), minutes=90, together_with=(("seal_a", "paste_a"),)),
        "paste_a": repair({"a": 0.95}, closes="sealant", access=("apart",), minutes=50, hours=8),
        "clear": repair({"c": 0.95}, minutes=10),
        **more,
    }


def test_companions_come_along_and_only_one_way_of_closing() -> None:
    m = means(garage(mends()))
    assert actions_of(m.for_causes(("b",), NOTHING_OPEN)) == {
        frozenset({"face_b", "seal_a"}),
        frozenset({"face_b", "paste_a"}),
    }
    both = garage(mends(both=repair({"c": 0.95}, together_with=(("seal_a",), ("paste_a",)))))
    assert actions_of(means(both).for_causes(("c",), NOTHING_OPEN)) == {frozenset({"clear"})}


@pytest.mark.parametrize(
    ("forbidden", "expected"),
    [
        (ban("seal_a", "not at all"), [{"paste_a"}]),
        (ban("seal_a", "not as the cure"), [{"paste_a"}]),
        (ban("seal_a", "not as the cure", of=("one",)), [{"paste_a"}]),
        (ban("seal_a", "not as the cure", of=("two",)), [{"seal_a"}, {"paste_a"}]),
        (ban("seal_a", "not before", "clear"), [{"seal_a", "clear"}, {"paste_a"}]),
        (ban("seal_a", "not before", "clear", "face_b"), [{"seal_a", "clear", "face_b"}, {"paste_a"}]),
        (
            ban("seal_a", "unless together with", "clear", "face_b"),
            [{"seal_a", "clear"}, {"seal_a", "face_b"}, {"paste_a"}],
        ),
    ],
)
def test_each_scope_of_a_prohibition(forbidden: Forbidden, expected: list[set[str]]) -> None:
    m = means(garage(mends()), forbidden=(forbidden,))
    assert actions_of(m.for_causes(("a",), NOTHING_OPEN)) == {frozenset(e) for e in expected}


def test_what_is_no_cure_may_still_be_done_for_something_else() -> None:
    m = means(garage(mends()), forbidden=(ban("seal_a", "not as the cure"),))
    (path,) = (p for p in m.for_causes(("b",), NOTHING_OPEN) if "seal_a" in p.actions)
    assert tuple(path.cure) == pytest.approx((0.0, 0.95, 0.0))


def test_a_required_action_stands_in_every_path_and_leaves_none_where_it_is_barred() -> None:
    m = means(garage(mends()), required=("clear",))
    assert all("clear" in p.actions for p in [*m.for_causes(("a",), NOTHING_OPEN), *m.nothing(NOTHING_OPEN)])
    barred = means(garage(mends()), required=("clear",), forbidden=(ban("clear", "not at all"),))
    assert barred.for_causes(("a",), NOTHING_OPEN) == barred.nothing(NOTHING_OPEN) == []


def test_what_is_to_be_put_right_joins_at_no_access_of_its_own() -> None:
    m = means(garage(mends(bolts=repair(access=("apart",)))), put_right=("bolts", "clear", "face_b"))
    assert actions_of(m.for_causes(("c",), NOTHING_OPEN)) == {frozenset({"clear"})}
    joint = actions_of(m.for_causes(("a",), NOTHING_OPEN))
    assert joint == {frozenset({x, "face_b", "bolts", "clear"}) for x in ("seal_a", "paste_a")}
    assert actions_of(m.nothing(NOTHING_OPEN)) == {frozenset()}


def test_no_way_of_closing_is_added_by_the_way() -> None:
    m = means(garage(mends(look_in=repair({"c": 0.95}, access=("apart",)))), put_right=("seal_a", "paste_a"))
    assert actions_of(m.for_causes(("c",), NOTHING_OPEN)) == {frozenset({"clear"}), frozenset({"look_in"})}


def test_an_open_joint_must_be_closed() -> None:
    m = means(garage(mends()))
    opened = frozenset({"drained", "apart"})
    assert actions_of(m.nothing(opened)) == {frozenset({"seal_a"}), frozenset({"paste_a"})}
    assert actions_of(m.for_causes(("c",), opened)) == {frozenset({"clear", x}) for x in ("seal_a", "paste_a")}
    nothing_closes = means(garage(mends()), forbidden=(ban("seal_a", "not at all"), ban("paste_a", "not at all")))
    assert nothing_closes.nothing(opened) == []


def test_an_answer_not_told_leaves_an_action_possible() -> None:
    repairs = mends(seal_a=repair({"a": 0.95}, only_if={"sealing": ("gasket",)}))
    k = garage(repairs)
    assert "seal_a" in means(k).repairs
    assert "seal_a" in means(k, history={"sealing": "gasket"}).repairs
    assert "seal_a" not in means(k, history={"sealing": "sealant"}).repairs


def test_the_words_for_a_family_and_for_its_causes_both_count() -> None:
    k = garage({"all": repair({"two": 0.35, "c": 0.95})})
    assert tuple(means(k).cures["all"]) == pytest.approx((0.0, 0.35, 0.95))


def test_access_is_paid_once_with_what_it_needs_and_not_when_it_is_open() -> None:
    m = means(garage(mends()))
    path = next(p for p in m.for_causes(("b",), NOTHING_OPEN) if "paste_a" in p.actions)
    assert path.access == {"drained", "apart"}
    assert m.minutes(path, NOTHING_OPEN) == (90 + 50 + 100 + 20, 260)
    assert m.minutes(path, frozenset({"drained"})) == (240, 240)
    assert m.minutes(path, frozenset({"drained", "apart"})) == (140, 140)
    assert m.elapsed(path, NOTHING_OPEN) == (9, 9)
    assert m.elapsed(path, frozenset({"drained"})) == (8, 8)
    # A minute costs 1 of labour and 1 of downtime, an hour of waiting 60.
    assert m.own_cost(path, NOTHING_OPEN) == pytest.approx(260 * 2 + 9 * 60)
    assert m.own_cost(path, frozenset({"drained", "apart"})) == pytest.approx(140 * 2 + 8 * 60)


def test_waiting_for_cures_runs_side_by_side_and_ranges_count_at_their_middle() -> None:
    slow = replace(repair(parts=5), minutes=(10.0, 30.0), elapsed_hours=(1.0, 3.0))
    m = means(garage({"one": slow, "two": slow}), required=("one", "two"))
    (path,) = m.nothing(NOTHING_OPEN)
    assert (m.minutes(path, NOTHING_OPEN), m.elapsed(path, NOTHING_OPEN)) == ((20, 60), (1, 3))
    assert m.own_cost(path, NOTHING_OPEN) == pytest.approx(40 * 2 + 10 + 2 * 60)


def test_the_price_of_a_cause_is_its_cheapest_path_from_a_closed_truck() -> None:
    opened = frozenset({"drained", "apart"})
    m = means(garage(mends()), open_now=opened, forbidden=(ban("clear", "not at all"),))
    assert m.prices[0] == pytest.approx((60 + 120) * 2 + 40 + 60)
    assert m.prices[2] == m.shop.stop_and_ask_price
    assert (m.curable("a"), m.curable("c")) == (True, False)


def test_the_price_of_a_cause_does_not_hold_what_stands_in_every_path_anyway() -> None:
    dear, cheap = repair({"a": 0.95}, parts=7000), repair({"b": 0.95}, parts=50)
    free, bound = means(garage({"dear": dear, "cheap": cheap})), garage({"dear": dear, "cheap": cheap})
    for made in (means(bound, required=("dear",)), means(bound, put_right=("dear",))):
        assert made.prices == pytest.approx(free.prices)
    barred = means(bound, required=("dear",), forbidden=(ban("dear", "not at all"),))
    assert barred.prices[1] == barred.shop.stop_and_ask_price, (
        "where what is required is forbidden nothing is permitted"
    )


def test_expected_cost_is_own_cost_and_comeback_and_what_is_owed() -> None:
    m = means(garage({"fix": repair({"a": 0.9}, parts=100), "mend": repair({"b": 0.9}, parts=300)}), shop())
    paths = [*m.nothing(NOTHING_OPEN), *m.for_causes(("a",), NOTHING_OPEN)]
    leaking, quiet = np.array([[0.5, 0.2, 0.1], [0, 0, 0]]), np.array([[0, 0.4, 0], [0, 0, 0]])
    hold = np.array([[0.3, 0.6], [1, 1]])
    costs = expected_costs(m, paths, np.array([0.0, 100.0]), hold, leaking, quiet)
    owed = (0.2 + 0.15 * 0.4) * 300 + 0.1 * 2500
    assert costs[0] == pytest.approx((0.7 * 800 + 0.5 * 100 + owed, 100 + 0.4 * 800 + 0.05 * 100 + owed))
    assert tuple(costs[1]) == (0, 100)
