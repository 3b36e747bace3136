"""The usual ways on drawn trucks are what they are said to be, and all ways meet the same truck."""

import pytest

from leakdx.case import Reading
from leakdx.reasoning.repair import LEAST_CURE, opening_closure
from tests.published.policies.on_trucks import WAYS, by_the_list, for_what_is_likely, work
from tests.published.trucks import Job
from tests.published.worked import Outcome, all_seen, one_truck
from tests.published.worlds import world

RESEALED, SURE_AT_ONCE = 8, 9
"""Trucks of seed 1: one whose joint every checklist closes anew, one with a cause sure after the opening questions."""
FACES = {"housing_face_flatness", "carrier_face_flatness"}


def brought_in(number: int) -> Job:
    job = Job(world("unchanged"), 1, number)
    job.open_interview()
    return job


def measured(job: Job) -> set[str]:
    return {entry.sign for entry in job.log if isinstance(entry, Reading)}


def test_a_truck_answers_alike_whatever_it_was_asked_before() -> None:
    one, other = brought_in(RESEALED), brought_in(RESEALED)
    signs = sorted(one.knowledge.signs)
    for truck, order in ((one.truck, signs), (other.truck, signs[::-1])):
        truck.act(dict.fromkeys(one.knowledge.causes, 0.5))
        for sign in order:
            truck.look(sign)
    assert [one.truck.look(s) for s in signs] == [other.truck.look(s) for s in signs]
    assert one.truck.leaking() == other.truck.leaking()
    for job in (one, other):
        job.make("housing_face_flat")
    assert [e for e in one.log if isinstance(e, Reading)] == [e for e in other.log if isinstance(e, Reading)]


@pytest.mark.parametrize("way", ["checklist_90_held", "checklist_90_plain"])
def test_a_held_checklist_measures_the_faces_before_it_closes_the_joint(way: str) -> None:
    job = brought_in(RESEALED)
    spent = work(job, WAYS[way])
    assert measured(job) >= FACES
    assert 0 < spent.demanded < spent.looking


def test_the_helped_checklist_closes_the_joint_unmeasured() -> None:
    job = brought_in(RESEALED)
    spent = work(job, WAYS["checklist_90"])
    assert not measured(job) & FACES
    assert spent.demanded == 0


def test_the_plain_checklist_keeps_its_order_whatever_is_open() -> None:
    job = brought_in(RESEALED)
    now = job.diagnosis()
    planner, entries = now.planner, now.knowledge.checks

    def on_a_shut_truck(check: str) -> float:
        opens = opening_closure(now.knowledge, entries[check].access)
        return planner.check_cost(entries[check]) + planner.access_cost(opens)

    assert by_the_list(now) == min(now.offer.checks(), key=on_a_shut_truck)
    job.open(["washed", "driven"])
    assert by_the_list(job.diagnosis()) == min(job.diagnosis().offer.checks(), key=on_a_shut_truck)


def test_the_plain_checklist_repairs_what_is_likely_and_nothing_for_what_is_not() -> None:
    now = brought_in(SURE_AT_ONCE).diagnosis()
    (path,) = for_what_is_likely(now).paths
    likely = [i for i, chance in enumerate(now.belief.leaking) if chance > 0.5]
    assert likely
    assert all(path.cure[i] >= LEAST_CURE for i in likely)
    cheapest = now.means.for_causes([now.belief.causes[i] for i in likely], now.means.open_now)
    assert path.actions in {p.actions for p in cheapest}


def test_what_is_spent_is_told_apart() -> None:
    """Looks that rules want and access that the repair needs too are parts of what was spent on looking."""
    truck = one_truck("unchanged", "follow", 1, RESEALED)
    assert isinstance(truck, Outcome)
    assert 0 < truck.demanded + truck.used <= truck.looking


def test_all_that_can_be_seen_as_found_is_seen_for_nothing() -> None:
    job = brought_in(SURE_AT_ONCE)
    before = job.diagnosis()
    as_found = [c for c in before.offer.checks() if not before.planner.opens(job.knowledge.checks[c])]
    spent = all_seen(job)
    assert len(as_found) > 5
    assert all(job.diagnosis().timeline.made(job.knowledge, check) for check in as_found)
    assert spent.looking < sum(map(before.planner.check_cost, (job.knowledge.checks[c] for c in as_found)))
