"""The repair written down step by step: in order of its holds, each tick an entry, each entry to be taken back."""

from collections.abc import Callable

import pytest
from msgspec import structs

from leakdx.case import Comeback, Done, Record
from leakdx.explain.course import Course, decided_actions, progress_words
from leakdx.explain.job import job_parts
from leakdx.explain.words import path_name
from leakdx.interview.question import ReplyError
from leakdx.interview.repairing import Repairing
from leakdx.interview.session import AFTER_REPAIR, Interview
from leakdx.store.home import Unkept
from tests.shipped import diagnosis, knowledge


def begun(name: str = "05", path: int = 0) -> tuple[Interview, Repairing]:
    """A shipped case in which a repair was decided on."""
    made = diagnosis(name)
    interview = Interview(knowledge(), Unkept(made.case), "AB")
    repairing = Repairing(interview)
    repairing.decide(made.repairs[path].actions, "the cheapest")
    return interview, repairing


def course(repairing: Repairing) -> Course:
    found = repairing.course()
    assert found is not None
    return found


def work(repairing: Repairing, until: Callable[[Course], bool] = lambda _: False) -> Course:
    """Tick and sign whatever is next."""
    while (mine := course(repairing)).next is not None and not until(mine):
        step = mine.next
        assert step is not None
        if step.done is None:
            repairing.tick(step.number)
        if step.step.hold:
            repairing.sign(step.number, "CD wrench 4")
    return mine


@pytest.fixture(scope="module")
def worked() -> tuple[Interview, Repairing, Course]:
    """A whole job, worked to its end."""
    interview, repairing = begun()
    return interview, repairing, work(repairing)


def test_the_steps_are_those_of_the_job_sheet_and_stay_while_it_is_worked(
    worked: tuple[Interview, Repairing, Course],
) -> None:
    made = diagnosis("05")
    sheet = [row.step for part in job_parts(made, made.repairs[0].actions) for row in part.rows]
    assert [step.step for step in worked[2].steps] == sheet


def test_what_is_opened_and_each_repair_stand_in_the_log_as_done(worked: tuple[Interview, Repairing, Course]) -> None:
    interview, _, end = worked
    acts = [entry.act for entry in interview.case.standing if isinstance(entry, Done)]
    assert acts.index("drained") < acts.index("carrier_out") < acts.index("reseal_with_gasket")
    assert set(end.actions) <= set(acts)
    assert end.next is None
    assert progress_words(end) == "33 of 33 steps done; to be looked at again"


def test_holds_are_signed_by_who_looked_with_what_else_is_on_file(worked: tuple[Interview, Repairing, Course]) -> None:
    _, _, end = worked
    signed = [step for step in end.steps if step.step.hold]
    assert all(step.signed is not None and step.signed.who == "CD" for step in signed)
    assert {step.signed.note for step in signed if step.signed} == {"wrench 4"}
    assert all(step.done is not None and step.done.who == "AB" for step in end.steps)


def test_a_repair_is_done_with_its_last_step_and_its_proof_comes_after(
    worked: tuple[Interview, Repairing, Course],
) -> None:
    interview, _, end = worked
    closed = next(e for e in interview.case.standing if isinstance(e, Done) and e.act == "reseal_with_gasket")
    for step in end.steps:
        assert step.done is not None
        if "reseal_with_gasket" in step.of:
            assert (step.done.number > closed.number) == (step.step.phase == "prove")


def test_nothing_after_a_hold_is_ticked_before_it_is_signed() -> None:
    _, repairing = begun()
    with pytest.raises(ReplyError, match=r"the hold after step 1\.1 is not signed .* do step 1\.1 and sign it first"):
        repairing.tick("1.2")
    repairing.tick("1.1")
    with pytest.raises(ReplyError, match=r"the hold after step 1\.1 is not signed .*; sign it first"):
        repairing.tick("1.2")
    repairing.sign("1.1", "CD")
    repairing.tick("1.2")


@pytest.mark.parametrize(
    ("act", "said"),
    [
        (lambda r: r.tick("9.9"), "there is no step 9.9"),
        (lambda r: r.sign("1.1", "CD"), "tick step 1.1 first"),
        (lambda r: r.sign("2.1", "CD"), "no hold to sign"),
        (lambda r: r.untick("1.1"), "is not ticked"),
        (lambda r: r.recheck("moist"), "finds it dry, damp or wet"),
        (lambda r: r.close("fine"), "closed as held, not held or not known"),
        (lambda r: r.decide((), "why"), "nothing to repair in this path"),
        (lambda r: r.decide(("new_fasteners",), " \x1b "), "needs its reason"),
        (lambda r: (r.tick("1.1"), r.sign("1.1", "  ")), "signed by initials"),
        (lambda r: (r.tick("1.1"), r.tick("1.1")), "ticked already"),
        (lambda r: (r.close("held"), r.close("held")), "closed already"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_written(act: Callable[[Repairing], object], said: str) -> None:
    interview, repairing = begun()
    before = len(interview.case.log)
    with pytest.raises(ReplyError, match=said):
        act(repairing)
    assert len(interview.case.log) - before <= 1


def test_a_step_taken_back_takes_its_signature_and_the_repair_that_was_done_by_it() -> None:
    interview, repairing = begun("01")
    end = work(repairing, lambda mine: mine.next is not None and mine.next.step.phase == "prove")
    last = [step for step in end.doing("replace_pinion_seal") if step.done][-1]
    assert "replace_pinion_seal" in end.finished
    repairing.untick(last.number)
    again = course(repairing)
    assert again.steps[again.place(last.number)].done is None
    assert "replace_pinion_seal" not in again.finished
    repairing.tick(last.number)
    if last.step.hold:
        repairing.sign(last.number, "CD")
    assert "replace_pinion_seal" in course(repairing).finished
    for _ in range(2):
        interview.undo()
    assert "replace_pinion_seal" not in course(repairing).finished


def test_against_closing_stands_what_is_open_and_what_was_found() -> None:
    _, repairing = begun("01")
    assert repairing.stands_against_closing("held") == (
        "8 steps not ticked or not signed.",
        "No recheck is written down.",
    )
    repairing.recheck("wet", "after 20 miles")
    assert "The last recheck found it wet." in repairing.stands_against_closing("held")
    work(repairing)
    repairing.recheck("dry", "after 500 miles")
    assert repairing.stands_against_closing("held") == ()


def test_what_was_done_before_it_came_back_is_over() -> None:
    interview, repairing = begun("10")
    work(repairing)
    interview.write([Comeback(number=0, who="", place=interview.case.complaint)])
    assert repairing.course() is None


def test_another_decision_keeps_the_steps_that_both_repairs_have() -> None:
    _, repairing = begun("11", path=0)
    work(repairing, lambda mine: mine.next is not None and mine.next.step.phase == "clean")
    was = {step.step.do for step in course(repairing).steps if step.is_over}
    repairing.decide(diagnosis("11").repairs[1].actions, "no gasket to be had")
    now = course(repairing)
    assert now.decided.note == "no gasket to be had"
    ticked = {step.step.do for step in now.steps if step.is_over}
    assert ticked
    assert ticked <= was


def test_a_decision_is_read_by_names_ids_and_synonyms_and_not_out_of_other_words() -> None:
    actions = ("reseal_with_gasket", "new_fasteners")
    assert decided_actions(knowledge(), path_name(knowledge(), actions)) == actions
    assert decided_actions(knowledge(), "regasket + new_fasteners") == actions
    assert decided_actions(knowledge(), "regasket, and ask the maker") == ()


def test_no_repair_has_a_name_that_would_be_read_as_two() -> None:
    for id, repair in knowledge().repairs.items():
        assert decided_actions(knowledge(), repair.name) == (id,)


def test_a_decision_in_other_words_is_none_to_be_worked() -> None:
    case = diagnosis("01").case
    said = Record(number=len(case.log) + 1, who="AB", kind="decided", text="send it to the maker")
    interview = Interview(knowledge(), Unkept(structs.replace(case, log=(*case.log, said))), "AB")
    assert Repairing(interview).course() is None


def test_once_every_step_is_over_it_is_looked_at_again_or_closed() -> None:
    interview, repairing = begun("01")
    assert interview.question().id != AFTER_REPAIR
    end = work(repairing)
    asked = interview.question()
    assert (asked.kind, asked.id) == ("end", AFTER_REPAIR)
    assert asked.text == f"Look again: {' '.join(end.rechecks_due)}"
    repairing.recheck("dry", "after 20 miles")
    assert interview.question().text == "Close the case, or look again."
    repairing.recheck("wet", "after 500 miles")
    assert interview.question().id != AFTER_REPAIR


def test_what_is_seen_after_the_repair_is_asked_about_further() -> None:
    interview, repairing = begun("01")
    work(repairing)
    interview.saw("carrier joint")
    assert interview.question().id != AFTER_REPAIR


def test_a_look_again_is_that_of_the_repair_last_decided_on() -> None:
    _, repairing = begun("01")
    work(repairing)
    repairing.recheck("wet", "after 20 miles")
    repairing.decide(course(repairing).actions, "once more")
    assert course(repairing).rechecks == ()


def test_scraping_is_held_by_what_has_to_be_read_before_it_and_ends_what_could_be_read() -> None:
    interview, repairing = begun("05")
    at = work(repairing, lambda mine: mine.next is not None and mine.next.act == "scraped").next
    assert at is not None
    assert [
        said for said in repairing.stands_before(at.number) if said.startswith("HOLD stood before it: Before scraping")
    ]
    repairing.tick(at.number)
    last = interview.case.standing[-1]
    assert isinstance(last, Done)
    assert last.act == "scraped"
    assert course(repairing).steps[course(repairing).place(at.number)].is_over
    repairing.untick(at.number)
    assert course(repairing).steps[course(repairing).place(at.number)].done is None
