"""Three hundred trucks with a fixed seed; ten thousand by command, see docs/simulation.md."""

import pytest

from tests.published import simulation
from tests.published.simulation import Outcome, Refused


@pytest.fixture(scope="module")
def wandered() -> list[Outcome | Refused]:
    """Trucks whose checks were made at random: quick, since none has to be weighed."""
    return simulation.run(300, jobs=2, seed=1, policy="wander")


def test_what_is_said_to_hold_holds_as_often(wandered: list[Outcome | Refused]) -> None:
    taken = simulation.repaired(wandered)
    assert not [truck for truck in wandered if isinstance(truck, Refused)]
    assert len(taken) >= 285
    print(simulation.report(wandered))
    assert abs(simulation.gap(taken)) < 0.06


def test_what_is_said_tells_trucks_apart(wandered: list[Outcome | Refused]) -> None:
    """Among those said to hold best, more hold than among those said to hold worst."""
    groups = simulation.groups(simulation.repaired(wandered))
    worst, best = groups[0], groups[-1]
    assert best[1] - worst[1] > 0.3
    assert best[0] - worst[0] > 0.3


def test_following_its_own_checks_comes_to_an_end() -> None:
    followed = simulation.run(40, jobs=2, seed=2, policy="follow")
    outcomes = [outcome for outcome in followed if isinstance(outcome, Outcome)]
    assert len(outcomes) == len(followed)
    ended = [o for o in outcomes if o.did != "look_further" and o.steps < simulation.MOST_STEPS]
    assert len(ended) >= 38
    assert abs(simulation.gap(simulation.repaired(outcomes))) < 0.2


def test_the_same_seed_gives_the_same_truck() -> None:
    assert simulation.one_truck(3, 7, "wander") == simulation.one_truck(3, 7, "wander")
