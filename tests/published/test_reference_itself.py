"""The reference checked against sums written out by hand (own derivation), before it may judge anything else."""

import numpy as np
import pytest

from tests.published import tiny
from tests.published.reference import enumeration, network, shares
from tests.published.reference.reader import Meaning, Story
from tests.published.reference.sampler import Truck

EXACT = 5e-7  # the sums below are printed to six places


def both(meaning: Meaning, base: dict[str, float], story: Story) -> enumeration.Posterior:
    """Full enumeration, after checking that both libraries say the same of the network."""
    plain = enumeration.posterior(meaning, base, story)
    found, weight = network.cause_marginals(meaning, base, story)
    assert weight == pytest.approx(plain.weight, rel=1e-12)
    for cause in meaning.causes:
        expected = tuple(part[cause] for part in plain.by_cause)
        assert found[cause] == pytest.approx(expected, abs=1e-13)
    builder = network.Builder(meaning, base, story)
    last = {c: nodes[builder.last] for c, nodes in builder.states.items()}
    by_elimination = network.marginals_by_elimination(builder.net, last.values())
    for cause, node in last.items():
        assert by_elimination[node][enumeration.LEAKING] == pytest.approx(plain.leaking[cause], abs=1e-12)
    return plain


def seen(sign: str, *by_epoch: str | None) -> tuple[tuple[str, int, tuple[float, ...]], ...]:
    """Sure answers yes / no to one sign, epoch by epoch."""
    chances = {"yes": (0.0, 1.0), "no": (1.0, 0.0)}
    return tuple((sign, epoch, chances[answer]) for epoch, answer in enumerate(by_epoch) if answer)


def test_present_is_not_leaking() -> None:
    of = tiny.tree(
        causes={"a": tiny.cause(0.035, 0.35, shows={"drip": 0.6, "pits": 0.8})},
        signs={"drip": tiny.sign(0.05), "pits": tiny.sign(0.02, "present")},
    )
    yes = both(tiny.meaning(of), {"a": 0.1}, Story(tiny.NOWHERE, seen=seen("drip", "yes")))
    assert (yes.present["a"], yes.leaking["a"]) == pytest.approx((0.356683, 0.310222), abs=EXACT)
    pits = both(tiny.meaning(of), {"a": 0.1}, Story(tiny.NOWHERE, seen=seen("pits", "yes") + seen("drip", "no")))
    assert (pits.present["a"], pits.leaking["a"]) == pytest.approx((0.779184, 0.138083), abs=EXACT)


@pytest.mark.parametrize(("rank", "expected"), [(0, 0.020640), (1, 0.128561), (2, 0.695880)])
def test_a_look_counts_once(rank: int, expected: float) -> None:
    of = tiny.tree(
        causes={"a": tiny.cause(0.07, looks={"torque": {"neighbours_low": 0.6, "one_low": 0.12}})},
        signs={"torque": tiny.look({"even": None, "one_low": 0.07, "neighbours_low": 0.02})},
    )
    answer = tuple(float(r == rank) for r in range(3))
    found = both(tiny.meaning(of), {"a": 0.07}, Story(tiny.NOWHERE, seen=(("torque", 0, answer),)))
    assert found.present["a"] == pytest.approx(expected, abs=EXACT)


@pytest.mark.parametrize(
    ("again", "expected"), [("yes", (0.496902, 0.215719, 0.714879)), ("no", (0.942434, 0.000247, 0.010417))]
)
def test_an_act_and_its_coin(again: str, expected: tuple[float, float, float]) -> None:
    of = tiny.tree(
        causes={"first": tiny.cause(0.3, shows={"drip": 0.8}), "second": tiny.cause(0.05, shows={"drip": 0.8})},
        signs={"drip": tiny.sign(0.02)},
    )
    cured = ({"first": 0.95}, frozenset[str]())
    story = Story(tiny.NOWHERE, acts=(cured,), seen=seen("drip", "yes", again))
    found = both(tiny.meaning(of), {"first": 0.3, "second": 0.05}, story)
    assert (found.leaking_first["first"], found.leaking["first"], found.leaking["second"]) == pytest.approx(
        expected, abs=EXACT
    )


def test_base_chances_from_shares() -> None:
    of = tiny.tree(
        causes={"a": tiny.cause(0.9, zone="one"), "b": tiny.cause(0.2, zone="two")},
        zones={"one": {"under": "much"}, "two": {"under": "little"}},
        places=("under",),
        transfers={"much": 0.95, "little": 0.12},
        place_signs={"reported": (1.0, 0.001)},
        complaint="under",
    )
    assert shares.solve(tiny.meaning(of)) == pytest.approx({"a": 0.124517, "b": 0.116990}, abs=EXACT)


@pytest.mark.parametrize(
    ("trail", "expected"),
    [
        (None, (0.857039, 0.178100)),
        ("yes", (0.105281, 0.994266)),
        ("no", (0.982827, 0.041535)),
    ],
)
def test_a_path_is_a_node(trail: str | None, expected: tuple[float, float]) -> None:
    of = tiny.tree(
        causes={"a": tiny.cause(0.1), "b": tiny.cause(0.05, zone="wheel")},
        zones={"joint": {}, "wheel": {"joint": "trails along"}},
        complaint="joint",
    )
    found = both(tiny.meaning(of), {"a": 0.1, "b": 0.05}, Story("joint", seen=seen("trail.wheel.joint", trail)))
    assert (found.leaking["a"], found.leaking["b"]) == pytest.approx(expected, abs=EXACT)
    assert (found.zones["joint"], found.zones["wheel"]) == pytest.approx(expected, abs=EXACT)


def test_what_a_path_of_repair_is_worth() -> None:
    of = tiny.tree(causes={"a": tiny.cause(0.8), "b": tiny.cause(0.0, leaks=0.0)})
    after = {"a": (1.0, 1.0, 0.9), "b": (1.0, 0.85, 0.0)}  # a is cured with .9; b stays, and starts with .15
    rows = enumeration.rows(tiny.meaning(of), {"a": 0.8, "b": 0.4}, Story(tiny.NOWHERE))
    held = enumeration.expect(rows, after)
    assert held * (1 - 0.03) == pytest.approx(0.838856, abs=EXACT)  # .03: the closing's own new leak


@pytest.mark.parametrize(("after", "expected"), [("no", (0.997550, 0.012346)), ("yes", (0.300849, 0.998798))])
def test_an_old_spill_and_a_leak(after: str, expected: tuple[float, float]) -> None:
    of = tiny.tree(
        causes={"spill": tiny.cause(0.3, shows={"oily": 0.95}), "leak": tiny.cause(0.2, shows={"oily": 0.95})},
        signs={"oily": tiny.sign(0.001)},
    )
    washed = ({"spill": 1.0}, frozenset[str]())
    story = Story(tiny.NOWHERE, acts=(washed,), seen=seen("oily", "yes", after))
    found = both(tiny.meaning(of), {"spill": 0.3, "leak": 0.2}, story)
    assert (found.leaking_first["spill"], found.leaking["leak"]) == pytest.approx(expected, abs=EXACT)
    assert found.leaking["spill"] == 0


def test_a_condition_seen_twice_counts_once_until_renewed() -> None:
    of = tiny.tree(causes={"a": tiny.cause(0.1, shows={"pits": 0.95})}, signs={"pits": tiny.sign(0.02, "present")})
    nothing: dict[str, float] = {}
    washed, renewed = (nothing, frozenset[str]()), (nothing, frozenset({"pits"}))
    for acts, answers in [((), ("yes",)), ((washed,), ("yes", "yes"))]:
        story = Story(tiny.NOWHERE, acts=acts, seen=seen("pits", *answers))
        assert both(tiny.meaning(of), {"a": 0.1}, story).present["a"] == pytest.approx(0.840849, abs=EXACT)
    story = Story(tiny.NOWHERE, acts=(renewed,), seen=seen("pits", "yes", "yes"))
    twice = 0.1 * (0.95 + 0.05 * 0.02**2) / (0.1 * (0.95 + 0.05 * 0.02**2) + 0.9 * 0.02**2)
    assert both(tiny.meaning(of), {"a": 0.1}, story).present["a"] == pytest.approx(twice, abs=1e-12)


def test_sampled_trucks_follow_the_enumeration() -> None:
    of = tiny.tree(
        causes={
            "a": tiny.cause(0.5, 0.6, leads_to={"b": 0.4}, shows={"drip": 0.7, "pits": 0.6}),
            "b": tiny.cause(0.5, 0.5, "wheel", also_zones={"joint": 0.3}, shows={"drip": 0.4}),
        },
        signs={"drip": tiny.sign(0.1), "pits": tiny.sign(0.1, "present")},
        zones={"joint": {}, "wheel": {"joint": "trails along"}},
        complaint="joint",
    )
    meaning, base = tiny.meaning(of), {"a": 0.3, "b": 0.2}
    washed = ({"a": 0.7}, frozenset({"pits"}))
    evidence = seen("drip", "yes", "no") + seen("pits", "yes", "no") + seen("wet.joint", None, "yes")
    story = Story("joint", decibans={"b": 3.0}, acts=(washed,), seen=evidence)
    rng = np.random.default_rng(7)
    matching, leaking = 0, 0
    for _ in range(60_000):
        truck = Truck(meaning, base, story, rng)
        seen_so = all(likelihood[truck.look(sign, epoch)] for sign, epoch, likelihood in evidence)
        if truck.look("reported.joint", 0) and seen_so:
            matching += 1
            leaking += "b" in truck.leaking()
    expected = both(meaning, base, story)
    assert matching / 60_000 == pytest.approx(expected.weight, abs=4 * (expected.weight / 60_000) ** 0.5)
    assert leaking / matching == pytest.approx(expected.leaking["b"], abs=2 / matching**0.5)  # 4 sd at the most
