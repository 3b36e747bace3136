"""What a log means: epochs, which answer stands, what is open, spoiled and askable."""

import re
from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.case import Case, Done, LogEntry, Note, Observation, PlacesSeen, Reading, Told, Withdrawal
from leakdx.errors import CaseError
from leakdx.reasoning.timeline import FROM_AXLE, Timeline, could_not_have_been_seen, timeline
from tests.reasoning.workshop import truck, workshop

SHOP = workshop()


def saw(number: int, sign: str, answer: str) -> Observation:
    return Observation(number=number, who="AB", sign=sign, answer=answer)


def did(number: int, act: str) -> Done:
    return Done(number=number, who="AB", act=act)


def told(number: int, group: str, answer: str) -> Told:
    return Told(number=number, who="AB", group=group, answer=answer)


def reading(number: int, value: str) -> Reading:
    return Reading(number=number, who="AB", sign="flatness", value=value, unit="in")


def seen_in(line: Timeline) -> dict[tuple[str, int], str]:
    return {(answer.sign, answer.epoch): answer.answer for answer in line.answers}


def test_an_act_that_cures_starts_an_epoch_and_others_do_not() -> None:
    line = timeline(SHOP, truck(saw(1, "crust", "yes"), did(2, "drained"), did(3, "washed"), did(4, "driven")))
    assert line.epoch == 1
    assert [act.starts for act in line.acts] == [None, 1, None]
    assert line.acts[1].cures == {"old_spill": 1.0}


def test_what_cures_a_family_cures_its_causes_and_the_word_for_a_cause_counts_first() -> None:
    (act,) = timeline(SHOP, truck(did(1, "reseal"))).acts
    assert act.cures == {"residue": 0.8, "skin": 0.12}


def test_a_later_answer_replaces_within_an_epoch_and_stands_beside_across() -> None:
    log = (saw(1, "pits", "no"), saw(2, "pits", "yes"), did(3, "washed"), saw(4, "pits", "no"))
    line = timeline(SHOP, truck(*log))
    assert seen_in(line) == {("pits", 0): "yes", ("pits", 1): "no"}
    assert [answer.entry for answer in line.answers] == [2, 4]


def test_one_look_at_places_answers_each_of_them() -> None:
    line = timeline(SHOP, truck(PlacesSeen(number=1, who="AB", wet=("joint",), dry=("seal",), arc=(5, 7))))
    assert seen_in(line) == {("wet.joint", 0): "yes", ("wet.seal", 0): "no"}
    assert {answer.arc for answer in line.answers} == {(5, 7)}


def test_readings_are_all_kept() -> None:
    line = timeline(SHOP, truck(reading(1, "0.004"), reading(2, "0.006")))
    assert [row.value for row in line.readings] == ["0.004", "0.006"]
    assert line.answered == {"flatness"}


def test_unsure_takes_back_an_answer_and_is_not_asked_again_in_its_epoch() -> None:
    log = (saw(1, "crust", "yes"), saw(2, "crust", "unsure"))
    line = timeline(SHOP, truck(*log))
    assert not line.answers
    assert line.unsure == {"crust"}
    assert timeline(SHOP, truck(*log, did(3, "washed"))).unsure == frozenset()


def test_cannot_reach_takes_nothing_back_and_is_asked_again_once_something_opens() -> None:
    line = timeline(SHOP, truck(saw(1, "pits", "yes"), saw(2, "pits", "can't reach"), saw(3, "level", "can't reach")))
    assert seen_in(line) == {("pits", 0): "yes"}
    assert line.out_of_reach == {"pits", "level"}
    assert timeline(SHOP, truck(saw(1, "level", "can't reach"), did(2, "driven"))).out_of_reach == frozenset()


def test_not_fitted_holds_through_epochs_until_it_is_seen_after_all() -> None:
    log = (saw(1, "crust", "not fitted"), did(2, "washed"))
    assert timeline(SHOP, truck(*log)).not_fitted == {"crust"}
    assert timeline(SHOP, truck(*log, saw(3, "crust", "no"))).not_fitted == frozenset()


def test_the_last_told_answer_stands_and_the_axle_answers_what_nobody_told() -> None:
    log = (told(1, "sealing", "paste"), told(2, "closed_by", "us"), told(3, "sealing", "sheet"))
    line = timeline(SHOP, truck(*log))
    assert [(fact.group, fact.answer, fact.entry) for fact in line.history] == [
        ("closed_by", "us", 2),
        ("sealing", "sheet", 3),
    ]
    from_axle = timeline(SHOP, truck(told(1, "sealing", "unsure"), axle="plain"))
    assert [(fact.answer, fact.entry) for fact in from_axle.history] == [("sheet", FROM_AXLE)]
    assert from_axle.unsure == {"sealing"}
    by_word = timeline(SHOP, truck(told(1, "sealing", "paste"), axle="plain"))
    assert [(fact.answer, fact.entry) for fact in by_word.history] == [("paste", 1)]


def test_what_is_told_of_the_truck_opens_what_it_says_until_another_answer_takes_its_place() -> None:
    paste = replace(SHOP.history["sealing"].answers["paste"], opens=("clean",))
    sealing = replace(SHOP.history["sealing"], answers={**SHOP.history["sealing"].answers, "paste": paste})
    shop = replace(SHOP, history={**SHOP.history, "sealing": sealing})
    came_clean = timeline(shop, truck(told(1, "sealing", "paste")))
    assert came_clean.open == {"clean": 1}
    assert "crust" in came_clean.spoiled
    assert came_clean.epoch == 0
    log = (told(1, "sealing", "paste"), did(2, "driven"), saw(3, "origin.joint", "yes"))
    assert could_not_have_been_seen(shop, truck(*log)) == ()
    assert timeline(shop, truck(*log, told(4, "sealing", "sheet"))).open.keys() == {"driven_since"}


def test_acts_open_and_close_and_spoil() -> None:
    washed = timeline(SHOP, truck(did(1, "washed")))
    assert washed.open == {"clean": 1}
    assert washed.spoiled == {"crust", "wet.joint", "wet.seal"}
    assert washed.must_drive_first
    driven = timeline(SHOP, truck(did(1, "washed"), did(2, "driven")))
    assert driven.open == {"clean": 1, "driven_since": 2}
    assert driven.spoiled == {"crust"}
    assert not driven.must_drive_first
    again = timeline(SHOP, truck(did(1, "washed"), did(2, "driven"), did(3, "washed")))
    assert again.must_drive_first
    assert set(again.open) == {"clean"}
    assert "driven_since" in again.done


def test_what_was_mended_has_not_been_driven_since() -> None:
    mended = timeline(SHOP, truck(did(1, "washed"), did(2, "driven"), did(3, "reseal")))
    assert mended.open == {"clean": 1}
    assert timeline(SHOP, truck(did(1, "washed"), did(2, "reseal"), did(3, "driven"))).open == {
        "clean": 1,
        "driven_since": 3,
    }


def test_an_answer_that_needs_an_opening_shows_that_it_is_open_until_a_repair_closes_it() -> None:
    line = timeline(SHOP, truck(saw(1, "pits", "no")))
    assert line.open == {"apart": 1}
    assert line.spoiled == {"torque"}
    assert timeline(SHOP, truck(saw(1, "pits", "no"), did(2, "reseal"))).open == {}
    assert timeline(SHOP, truck(saw(1, "pits", "unsure"))).open == {}


def test_what_is_made_and_done() -> None:
    line = timeline(SHOP, truck(saw(1, "pits", "unsure"), saw(2, "level", "can't reach"), did(3, "fill_up")))
    assert line.made(SHOP, "open_it")
    assert not line.made(SHOP, "look_level")
    assert line.is_done(SHOP, "fill_up")
    assert not line.is_done(SHOP, "washed")


def test_withdrawing_restores_what_was() -> None:
    before = (saw(1, "crust", "yes"), told(2, "closed_by", "us"))
    for wrong in (saw(3, "crust", "no"), did(3, "washed"), reading(3, "0.006"), told(3, "closed_by", "others")):
        log = (*before, wrong, Withdrawal(number=4, who="CD", entry=3), Note(number=5, who="CD", note="misread"))
        assert timeline(SHOP, truck(*log)) == timeline(SHOP, truck(*before))


def test_times_written_down_change_nothing() -> None:
    late = Observation(number=1, who="AB", sign="crust", answer="yes", at=datetime(2026, 3, 2, 8, 10))
    assert timeline(SHOP, truck(late)) == timeline(SHOP, truck(saw(1, "crust", "yes")))


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        (saw(1, "crusts", "yes"), "Entry 1: there is no sign 'crusts'."),
        (saw(1, "torque", "yes"), "Entry 1: 'torque' is answered by one of even, one_low, all_low, unsure,"),
        (told(1, "sealings", "paste"), "Entry 1: there is no history group 'sealings'."),
        (told(1, "sealing", "glue"), "Entry 1: 'sealing' is answered by one of paste, sheet."),
        (did(1, "painted"), "Entry 1: there is no act or repair 'painted'."),
        (PlacesSeen(number=1, who="AB", wet=("roof",)), "Entry 1: there is no sign 'wet.roof'."),
    ],
)
def test_an_entry_that_the_knowledge_does_not_know_is_one_sentence(entry: LogEntry, says: str) -> None:
    with pytest.raises(CaseError, match=re.escape(says)):
        timeline(SHOP, truck(entry))


def test_an_unknown_axle_is_one_sentence() -> None:
    with pytest.raises(CaseError, match=r"no axle family 'fancy'; known are plain\."):
        timeline(SHOP, Case(id="KD-1", complaint="joint", axle="fancy"))


def test_what_nobody_can_have_seen_yet() -> None:
    log = (
        saw(1, "origin.joint", "yes"),
        did(2, "washed"),
        PlacesSeen(number=3, who="AB", wet=("joint",)),
        saw(4, "origin.joint", "unsure"),
        did(5, "driven"),
        saw(6, "origin.joint", "no"),
        saw(7, "pits", "yes"),
    )
    faults = dict(could_not_have_been_seen(SHOP, truck(*log)))
    assert set(faults) == {1, 3}
    assert 'needs "clean", and no act washed stands before it' in faults[1]
    assert "has not been driven since it was cleaned" in faults[3]


def test_an_act_withdrawn_leaves_its_answers_unseeable() -> None:
    log = (did(1, "washed"), did(2, "driven"), saw(3, "origin.joint", "yes"), Withdrawal(number=4, who="AB", entry=1))
    ((number, _),) = could_not_have_been_seen(SHOP, truck(*log))
    assert number == 3


ANSWERS = (
    st.sampled_from([("crust", "yes"), ("crust", "no"), ("pits", "yes"), ("torque", "one_low"), ("level", "unsure")])
    .map(lambda pair: saw(0, *pair))
    .__or__(st.sampled_from([("sealing", "paste"), ("closed_by", "us")]).map(lambda pair: told(0, *pair)))
)


def numbered(log: list[LogEntry]) -> Case:
    fields = [
        type(e)(**{**{f: getattr(e, f) for f in e.__struct_fields__}, "number": i + 1}) for i, e in enumerate(log)
    ]
    return truck(*fields)


@given(st.lists(ANSWERS, unique_by=lambda e: getattr(e, "sign", None) or getattr(e, "group", None)), st.randoms())
@settings(max_examples=60)
def test_the_order_of_answers_to_different_questions_changes_no_answer(log: list[LogEntry], random: object) -> None:
    shuffled = sorted(log, key=lambda _: random.random())  # type: ignore[attr-defined]
    first, second = timeline(SHOP, numbered(log)), timeline(SHOP, numbered(shuffled))
    assert seen_in(first) == seen_in(second)
    assert {(f.group, f.answer) for f in first.history} == {(f.group, f.answer) for f in second.history}
    assert (first.open.keys(), first.spoiled, first.unsure) == (second.open.keys(), second.spoiled, second.unsure)


@given(st.lists(ANSWERS))
@settings(max_examples=60)
def test_repeating_every_answer_changes_no_answer(log: list[LogEntry]) -> None:
    once, twice = timeline(SHOP, numbered(log)), timeline(SHOP, numbered([*log, *log]))
    assert seen_in(once) == seen_in(twice)
    assert once.unsure == twice.unsure
