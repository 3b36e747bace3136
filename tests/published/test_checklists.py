"""The usual ways on drawn trucks are what they are said to be, and all ways meet the same truck."""

from collections.abc import Iterator

import pytest

from leakdx.case import Reading
from leakdx.reasoning.repair import opening_closure
from tests.published.policies.on_trucks import WAYS, by_the_list, work
from tests.published.trucks import Job, Spent
from tests.published.worked import Outcome, all_seen, one_truck
from tests.published.worlds import world

ANY = 8
FEW = range(20)
"""Trucks of seed 1; among so few some joint is closed anew and some cause is likely from the start."""
FACES = {"housing_face_flatness", "carrier_face_flatness"}


def brought_in(number: int) -> Job:
    job = Job(world("unchanged"), 1, number)
    job.open_interview()
    return job


def closed_by(way: str) -> Iterator[tuple[Job, Spent]]:
    """Trucks whose joint a way closes anew, ready for it, and what was spent until then."""
    for job in map(brought_in, FEW):
        spent = work(job, WAYS[way])
        paths = job.diagnosis().planner.priced
        if paths.paths and paths.paths[paths.best_first()[0]].closes:
            yield job, spent


def measured(job: Job) -> set[str]:
    return {entry.sign for entry in job.log if isinstance(entry, Reading)}


def test_a_truck_answers_alike_whatever_it_was_asked_before() -> None:
    one, other = brought_in(ANY), brought_in(ANY)
    signs = sorted(one.knowledge.signs)
    for truck, order in ((one.truck, signs), (other.truck, signs[::-1])):
        truck.act(dict.fromkeys(one.knowledge.causes, 0.5))
        for sign in order:
            truck.look(sign)
    assert [one.truck.look(s) for s in signs] == [other.truck.look(s) for s in signs]
    assert one.truck.leaking() == other.truck.leaking()
    for job in (one, other):
        job.look("housing_face_flatness")
    assert one.log[-1] == other.log[-1]


@pytest.mark.parametrize("way", ["checklist_90_held", "checklist_90_fixed"])
def test_a_held_checklist_measures_the_faces_before_it_closes_the_joint(way: str) -> None:
    job, spent = next(closed_by(way))
    assert measured(job) >= FACES
    assert 0 < spent.demanded <= spent.looking


def test_the_helped_checklist_closes_joints_unmeasured() -> None:
    job, spent = next(closed_by("checklist_90"))
    assert not measured(job) & FACES
    assert spent.demanded == 0


def test_the_fixed_checklist_keeps_its_order_whatever_is_open() -> None:
    job = brought_in(ANY)
    now = job.diagnosis()
    planner, entries = now.planner, now.knowledge.checks

    def on_a_shut_truck(check: str) -> float:
        opens = opening_closure(now.knowledge, entries[check].access)
        return planner.check_cost(entries[check]) + planner.access_cost(opens)

    assert by_the_list(now) == min(now.offer.checks(), key=on_a_shut_truck)
    job.open(["washed", "driven"])
    assert by_the_list(job.diagnosis()) == min(job.diagnosis().offer.checks(), key=on_a_shut_truck)


def test_what_is_spent_is_told_apart() -> None:
    """Looks that rules want and access that the repair needs too are parts of what was spent on looking."""
    trucks = [truck for n in FEW[:5] if isinstance(truck := one_truck("unchanged", "follow", 1, n), Outcome)]
    assert all(0 <= part <= truck.looking + 1e-9 for truck in trucks for part in (truck.demanded, truck.used))
    assert any(truck.demanded > 0 for truck in trucks)


def test_all_that_can_be_seen_as_found_is_seen_for_nothing() -> None:
    """What is not made of it by then is moot by what was seen, or came to light only with what was opened."""
    job = brought_in(ANY)
    before = job.diagnosis()
    as_found = [c for c in before.offer.checks() if not before.planner.opens(job.knowledge.checks[c])]
    spent = all_seen(job)
    now = job.diagnosis()
    assert len(as_found) > 5
    assert not [c for c in as_found if c in now.offer.checks() and not now.timeline.made(job.knowledge, c)]
    assert spent.steps < len(as_found)
