"""What would change it, against every set of one and two answers on a small knowledge."""

from itertools import combinations
from math import exp
from pathlib import Path

import pytest

from leakdx.case import Case, Done, LogEntry, Observation, PlacesSeen, Told
from leakdx.errors import CaseError
from leakdx.knowledge.loader import load_knowledge
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.supposed import Change, changes, span, supposed
from leakdx.reasoning.unseat import Choice, Unseats, how_likely, unseating
from leakdx.reasoning.walk import acts_before

SIX = load_knowledge([Path(__file__).parents[1] / "data" / "six"])
LOGS: dict[str, tuple[LogEntry, ...]] = {
    "nothing": (),
    "pinion": (
        PlacesSeen(number=1, who="AB", wet=("pinion_seal",)),
        Told(number=2, who="AB", group="sealing_material", answer="sealant"),
    ),
    "joint": (
        PlacesSeen(number=1, who="AB", wet=("carrier_joint",), dry=("pinion_seal",)),
        Observation(number=2, who="AB", sign="breather_wont_blow", answer="no", sure="fairly"),
    ),
}


def made(name: str) -> Diagnosis:
    return diagnose(SIX, Case(id=name, complaint=SIX.complaint, log=LOGS[name]))


def choices(diagnosis: Diagnosis) -> tuple[str, tuple[str, ...]]:
    priced = diagnosis.plan.priced
    return diagnosis.answers.causes[0].id, priced.paths[priced.best_first()[0]].actions if priced.paths else ()


def tried(diagnosis: Diagnosis, *changed: Change) -> tuple[str, tuple[str, ...]] | None:
    try:
        return choices(diagnose(SIX, supposed(diagnosis, changed)))
    except CaseError:
        return None


@pytest.mark.parametrize("name", LOGS)
def test_every_smallest_set_of_one_or_two_answers_is_found_and_no_other(name: str) -> None:
    diagnosis = made(name)
    every, now = changes(diagnosis), choices(diagnosis)
    all_changes = (*every[:: len(every) // 5], *(c for c in every if c.entry))
    found = unseating(diagnosis, 10**6, all_changes)
    assert found.pairs == found.pairs_tried
    for which, sets in enumerate((found.leader, found.repair)):
        alone = {c for c in all_changes if (then := tried(diagnosis, c)) and then[which] != now[which]}
        together = {
            frozenset(pair)
            for pair in combinations([c for c in all_changes if c not in alone], 2)
            if pair[0].id != pair[1].id and (then := tried(diagnosis, *pair)) and then[which] != now[which]
        }
        expected = {frozenset([c]) for c in alone} | together
        assert {frozenset(one.changed) for one in sets} == expected
    assert found.leader or found.repair


@pytest.mark.parametrize("name", ["pinion"])
def test_what_it_says_would_be_then_is_so_when_it_is_answered(name: str) -> None:
    diagnosis = made(name)
    found = unseating(diagnosis, 0)

    def then(one: Unseats) -> tuple[Choice, ...]:
        return choices(diagnose(SIX, supposed(diagnosis, one.changed)))

    assert all(then(one)[0] == one.then for one in found.leader)
    assert all(then(one)[1] == one.then for one in found.repair[::3])
    assert found.tried <= len(changes(diagnosis))


def test_what_can_still_be_had_comes_first_and_the_cheapest_first() -> None:
    found = unseating(made("pinion"), 0).repair
    keys = [(one.is_otherwise, sum(one.minutes)) for one in found]
    assert keys == sorted(keys)
    assert {one.is_otherwise for one in found} == {False, True}


def test_an_answer_given_otherwise_stands_at_its_entry_and_one_still_to_be_had_at_the_end() -> None:
    diagnosis = made("joint")
    case = supposed(diagnosis, [Change(2, "breather_wont_blow", "yes"), Change(1, "wet.pinion_seal", "yes")])
    places, seen = case.log
    assert isinstance(places, PlacesSeen)
    assert set(places.wet) == {"carrier_joint", "pinion_seal"}
    assert places.dry == ()
    assert isinstance(seen, Observation)
    assert (seen.number, seen.answer, seen.sure) == (2, "yes", "fairly")
    new = next(c for c in changes(diagnosis) if not c.entry and diagnosis.planner.opens(SIX.checks[c.check]))
    log = supposed(diagnosis, [new]).log
    assert log[:2] == diagnosis.case.log
    assert [type(entry) for entry in log[2:-1]] == [Done] * (len(log) - 3)
    assert len(log) > 3
    assert span(diagnosis, [new]) > SIX.checks[new.check].minutes


def test_pairs_that_are_not_tried_are_counted() -> None:
    found = unseating(made("nothing"), 2, changes(made("nothing"))[::9])
    assert found.pairs_tried == 2
    assert found.pairs > 2


@pytest.mark.parametrize("name", LOGS)
def test_how_likely_a_look_shows_something_is_how_much_less_likely_the_whole_then_is(name: str) -> None:
    diagnosis = made(name)
    likely = how_likely(diagnosis, changes(diagnosis))
    seen = 0
    for change, chance in likely.items():
        # What is normal leaves out a factor that no cause changes, and an act before a look is one more epoch.
        if change.answer == SIX.signs[change.id].outcomes[0] or list(acts_before(diagnosis, change.check)):
            continue
        after = diagnose(SIX, supposed(diagnosis, [change]))
        if after.evidence.history == diagnosis.evidence.history:
            assert chance == pytest.approx(exp(after.belief.log_evidence - diagnosis.belief.log_evidence), rel=1e-9)
            seen += 1
    assert seen > 3
    for sign in {change.id for change in likely}:
        assert sum(p for change, p in likely.items() if change.id == sign) == pytest.approx(1)


def test_what_was_answered_or_is_told_has_no_chance() -> None:
    diagnosis = made("joint")
    assert not any(change.entry or change.id in SIX.history for change in how_likely(diagnosis, changes(diagnosis)))


def test_where_no_look_is_asked_about_nothing_is_worked_out_however_wide_the_case(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("leakdx.reasoning.belief.AT_ONCE", 0)
    monkeypatch.setattr("leakdx.reasoning.belief.WIDENED", 0)
    assert how_likely(made("joint"), ()) == {}
