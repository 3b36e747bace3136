"""Trucks with fixed seeds: what is said is so as often. Long runs by command, see docs/simulation.md."""

from pathlib import Path

import numpy as np
import pytest

from leakdx.knowledge.model import NOT_LISTED
from tests.published import figures, simulation
from tests.published.policies.on_trucks import MOST_STEPS
from tests.published.reference.enumeration import ABSENT, LEAKING
from tests.published.worked import Outcome, Refused, least_loss, loss_of_asking, one_truck
from tests.published.worlds import world


@pytest.fixture(scope="module")
def wandered() -> list[Outcome | Refused]:
    """Trucks whose checks were made at random; the thousands are by command (docs/simulation.md)."""
    return simulation.run(400, jobs=2, seed=1, policy="wander")


def test_what_is_said_to_hold_holds_as_often(wandered: list[Outcome | Refused]) -> None:
    taken = figures.repaired(wandered)
    assert not [truck for truck in wandered if isinstance(truck, Refused)]
    assert len(taken) >= 380
    assert abs(figures.gap(taken)) < 0.06  # three times its error


def test_what_is_said_tells_trucks_apart(wandered: list[Outcome | Refused]) -> None:
    """Among those said to hold best, more hold than among those said to hold worst."""
    groups = figures.groups(figures.repaired(wandered))
    worst, best = groups[0], groups[-1]
    assert best[1].mean - worst[1].mean > 0.3
    assert best[0].mean - worst[0].mean > 0.3


def test_what_is_said_of_causes_is_so_as_often(wandered: list[Outcome | Refused]) -> None:
    for said, so in figures.belief_groups(figures.worked(wandered)):
        chance = (said.mean * (1 - said.mean) / said.number) ** 0.5
        assert abs(said.mean - so.mean) < 4 * chance + 0.01


def test_what_stands_first_is_mostly_so(wandered: list[Outcome | Refused]) -> None:
    first, three, *_ = (figures.figure(map(m.of, figures.worked(wandered))).mean for m in figures.MEASURES)
    assert first > 0.5
    assert three > first + 0.1


def test_following_its_own_checks_comes_to_an_end() -> None:
    followed = simulation.run(16, jobs=2, seed=2, policy="follow")
    outcomes = figures.worked(followed)
    assert len(outcomes) == len(followed)
    ended = [o for o in outcomes if o.did != "look_further" and o.steps < MOST_STEPS]
    assert len(ended) >= 15
    assert abs(figures.gap(figures.repaired(outcomes))) < 0.35


def test_the_same_seed_gives_the_same_truck() -> None:
    assert one_truck("unchanged", "wander", 3, 7) == one_truck("unchanged", "wander", 3, 7)


def test_a_run_that_was_broken_off_goes_on_and_gives_the_same(tmp_path: Path) -> None:
    with simulation.runner(1, "wander", keep=tmp_path) as working:
        first = working.run("unchanged", 5, range(4))
    (kept,) = tmp_path.rglob("*.jsonl")
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-100])
    with simulation.runner(1, "wander", keep=tmp_path) as working:
        assert working.run("unchanged", 5, [3, 1, 0, 2]) == [first[3], first[1], first[0], first[2]]
    assert len(kept.read_bytes().splitlines()) == len(whole.splitlines()) + 1, "only the cut one is worked again"
    assert simulation.run(4, 1, 5, "wander") == first


def test_asking_pays_for_what_is_not_listed_and_for_nothing_else() -> None:
    """Who stops to ask where only that leaks has lost nothing; where something else leaks, the price of asking."""
    truth = world("unchanged").truth(0)
    ask, causes = truth.free.shop.stop_and_ask_price, truth.free.causes
    unlisted = np.array([LEAKING if cause == NOT_LISTED else ABSENT for cause in causes])
    assert least_loss(truth, unlisted) == loss_of_asking(truth, unlisted) == ask
    plug = np.array([LEAKING if cause == "plug_leaking" else ABSENT for cause in causes])
    assert loss_of_asking(truth, plug) == pytest.approx(ask + least_loss(truth, plug))
    assert least_loss(truth, np.maximum(plug, unlisted)) == pytest.approx(ask + least_loss(truth, plug))
