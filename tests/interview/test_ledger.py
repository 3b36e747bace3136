"""The ledger: one line for each entry, marked where it was taken back; a line can be answered anew."""

from pathlib import Path

from leakdx.interview.ledger import ledger
from leakdx.interview.understand import understand
from tests.interview.test_session import SIX, begun, say


def test_a_line_for_each_entry_and_a_mark_for_each_withdrawal(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    say(interview, "1 rest dry")
    interview.note("a remark")
    interview.undo(1)
    lines = ledger(SIX, interview.case)
    gone = [(line.number, line.gone > 0, line.can_be_revised) for line in lines]
    assert gone[0] == (1, True, False)
    assert gone[-1][1:] == (False, False)
    assert all("AB" in line.signed for line in lines)


def test_a_revised_line_stands_in_place_of_the_old_one_and_undo_brings_the_old_one_back(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    for line in ("1 rest dry", "no"):
        say(interview, line)
    before = interview.case.standing
    number = before[-1].number
    question = interview.again(number)
    assert question is not None
    interview.revise(number, question, understand(question, "yes"))
    assert [e.number for e in interview.case.standing] == [
        *(e.number for e in before[:-1]),
        interview.case.log[-1].number,
    ]
    interview.undo()
    assert interview.case.standing == before
    interview.put_back()
    assert number in interview.case.withdrawn or interview.case.standing[-1].number > number


def test_places_are_answered_anew_as_one_look(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    say(interview, "1 rest dry")
    question = interview.again(1)
    assert question is not None
    assert question.kind == "places"
    assert interview.again(99) is None
