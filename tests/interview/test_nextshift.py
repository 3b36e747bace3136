"""The page for the next shift: what must not be done stands first, and how the truck stands comes of the log."""

from datetime import datetime, timedelta

import pytest

from leakdx.case import Done, LogEntry, Record, RecordKind
from leakdx.explain.words import path_name
from leakdx.interview.nextshift import FOR_NEXT, NextShift, next_shift, next_shift_text
from leakdx.interview.repairing import Repairing
from leakdx.interview.session import Interview
from leakdx.store.home import Unkept
from tests.shipped import diagnosis, flat, knowledge, trade

NOW = datetime(2026, 3, 2, 16, 0)


def begun(name: str, *more: LogEntry) -> Interview:
    interview = Interview(knowledge(), Unkept(diagnosis(name).case), "AB", lambda: NOW)
    if more:
        interview.write(more)
    return interview


def record(kind: RecordKind, text: str, note: str = "") -> Record:
    return Record(number=0, who="", kind=kind, text=text, note=note)


def on(page: NextShift) -> dict[str, bool | None]:
    return {state.id: state.is_on for state in page.states}


@pytest.fixture(scope="module")
def half_way() -> tuple[Interview, NextShift]:
    """Oil drained, a repair begun with a hold not signed, the axle on stands, a note left."""
    interview = begun("05")
    repairing = Repairing(interview)
    repairing.decide(diagnosis("05").repairs[0].actions, "the cheapest")
    repairing.tick("1.1")
    interview.did("drained")
    repairing.state(trade().truck_states["on_stands"].on)
    interview.note(f"{FOR_NEXT}gasket comes at seven")
    return interview, next_shift(interview, NOW)


def test_states_of_the_truck_come_of_what_was_done_or_said_and_say_what_not_to_do(
    half_way: tuple[Interview, NextShift],
) -> None:
    _, page = half_way
    assert on(page) == {"drained": True, "carrier_out": False, "wheel_off": False, "plug_out": None, "on_stands": True}
    states = trade().truck_states
    assert page.not_yet == (states["drained"].never, states["on_stands"].never)
    assert page.states[0].said == "AB, 2026-03-02 16:00"


def test_what_is_not_signed_is_held_first_and_the_next_step_is_named(half_way: tuple[Interview, NextShift]) -> None:
    _, page = half_way
    assert page.held[0].startswith("to be signed, step 1.1: ")
    assert page.next == "sign the hold of step 1.1"
    assert page.done[0].startswith("decided: ")
    assert "steps 1 of 33, last 2.1" in page.done
    assert "oil drained (AB, 2026-03-02 16:00)" in page.done
    assert page.notes == ("gasket comes at seven",)


def test_safety_stands_before_all_else_and_the_short_page_leaves_out_what_stands_beside_it(
    half_way: tuple[Interview, NextShift],
) -> None:
    _, page = half_way
    whole, short = (flat(next_shift_text(page, 80, whole=whole)) for whole in (True, False))
    assert short.startswith("May it be driven: not fit to drive")
    places = [whole.index(f"{head}: ") for head in ("May it be driven", "Not yet", "Next", "For you", "Held", "Truck")]
    assert places == sorted(places)
    assert "Truck: " not in short
    assert "Tractor 31" in whole


def test_a_state_that_is_over_is_said_so_and_a_word_taken_back_is_not_said() -> None:
    words = trade().truck_states["on_stands"]
    interview = begun("05", record("state", words.on))
    interview.write([record("state", words.off)])
    assert on(next_shift(interview, NOW))["on_stands"] is False
    for _ in range(2):
        interview.undo()
    assert on(next_shift(interview, NOW))["on_stands"] is None


def test_each_state_ends_by_what_ends_it_and_leaves_the_others_as_they_are() -> None:
    interview = begun("05", *(Done(number=0, who="", act=act) for act in ("carrier_out", "wheel_off")))
    left = ["drained", "carrier_out", "wheel_off"]
    assert [id for id, is_on in on(next_shift(interview, NOW)).items() if is_on] == left
    for id in ("wheel_off", "carrier_out", "drained"):
        (state,) = (state for state in next_shift(interview, NOW).states if state.id == id)
        interview.did(state.ends)
        left.remove(id)
        assert [id for id, is_on in on(next_shift(interview, NOW)).items() if is_on] == left
    assert not any(word in interview.diagnosis.fit_to_drive.reason for word in ("drained", "out of the axle"))


def test_a_carrier_that_is_in_leaves_the_axle_drained_and_not_fit_to_drive() -> None:
    interview = begun("05", Done(number=0, who="", act="carrier_out"), Done(number=0, who="", act="carrier_in"))
    made = interview.diagnosis
    assert made.fit_to_drive.answer == "no"
    assert [ban.say for ban in made.forbidden if ban.action == "driven" and ban.say.startswith("The ")] == [
        "The axle is drained."
    ]


def test_a_curing_joint_is_not_yet_loaded() -> None:
    steps = knowledge().repairs["reseal_with_sealant"].steps
    ticked = [record("step", step.do) for step in steps if step.clock]
    path = path_name(knowledge(), ("reseal_with_sealant", "new_fasteners"))
    page = next_shift(begun("02", record("decided", path, "no gasket"), *ticked), NOW + timedelta(hours=1))
    assert [line for line in page.not_yet if line.startswith("NO LOAD before ")]


def test_before_a_repair_the_next_check_is_next_and_many_looks_are_cut_to_the_last() -> None:
    page = next_shift(begun("02"), NOW)
    check = diagnosis("02").next_check
    assert check is not None
    assert page.next.startswith(check.question)
    assert page.seen[-1].endswith("before that, in the ledger")


def test_every_state_names_an_opening_that_there_is_and_an_act_that_ends_it() -> None:
    for state in next_shift(begun("05", Done(number=0, who="", act="carrier_out")), NOW).states:
        opening = trade().truck_states[state.id].opening
        assert not opening or opening in knowledge().openings
        assert bool(opening) == bool(state.begins) == bool(state.ends)
