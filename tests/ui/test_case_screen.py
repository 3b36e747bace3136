"""The case screen: answers by key, what they change, back and forth, and nothing lost."""

from pathlib import Path

import pytest

from leakdx.case import Comeback, PlacesSeen
from leakdx.store.entries import closings_first
from leakdx.ui.screens.case import CaseScreen
from tests.ui.driven import asks, calm, case_screen, opened, press, shown, until
from tests.ui.fields import under_repair

pytestmark = pytest.mark.asyncio


async def test_the_practice_case_asks_and_shows_what_an_answer_changed(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        screen = await press(pilot, "p")
        assert screen.question is not None
        assert screen.question.kind == "places"
        screen = await press(pilot, "1", "e")
        assert isinstance(screen.sitting.interview.case.log[0], PlacesSeen)
        text = shown(pilot)
        assert "PRACTICE" in text
        assert "Saved: 1. wet: carrier joint; dry:" in text
        assert "carrier joint" in text
        assert " dB)" in text


async def test_a_new_case_begins_with_questions_that_may_be_skipped(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        asked = []
        screen = await press(pilot, "n")
        for _ in range(4):
            assert screen.question is not None
            asked.append(screen.question.kind)
            turn = screen.turn
            await pilot.press("question_mark", *(["enter"] if asked[-1] == "text" else []))
            await until(pilot, lambda s=screen, t=turn: s.turn != t)  # type: ignore[misc]
            screen = await asks(pilot)
        assert asked == ["complaint", "axle", "text", "history"]
        assert screen.sitting.interview.case.log == ()


async def test_what_was_answered_is_in_the_store_and_goes_on_where_it_stopped(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "n")
        await press(pilot, "1")
        await press(pilot, "1")
        await press(pilot, *"Unit 9", "enter")
        screen = await press(pilot, "2")
        name, case, question = screen.sitting.name, screen.sitting.interview.case, screen.question
        assert (case.complaint, case.axle, len(case.log)) == ("carrier_joint", "onyx_single", 1)
    async with opened(tmp_path, case=name) as pilot:
        screen = await asks(pilot)
        assert screen.sitting.interview.case == case
        assert screen.question == question


async def test_undo_and_put_back_go_as_far_as_there_is_something(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await press(pilot, "1", "e")
        screen = await press(pilot, "question_mark")
        stood = screen.sitting.interview.case.standing
        for _ in range(2):
            screen = await press(pilot, "u")
        assert screen.sitting.interview.case.standing == ()
        for _ in range(2):
            screen = await press(pilot, "y")
        assert screen.sitting.interview.case.standing == stood
        await press(pilot, "y")
        assert "Nothing was taken back" in shown(pilot)


async def test_undo_twice_at_once_takes_two_back(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await press(pilot, "1", "e")
        screen = await press(pilot, "question_mark")
        assert screen.sitting.interview.case.standing
        pilot.app.simulate_key("u")
        pilot.app.simulate_key("u")
        await calm(pilot)
        await asks(pilot)
        assert screen.sitting.interview.case.standing == ()


async def test_came_back_twice_at_once_is_written_down_once(tmp_path: Path) -> None:
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        screen = await asks(pilot)
        knowledge, log = screen.sitting.interview.knowledge, screen.sitting.interview.case.log
        await screen.done(screen.sitting.did(closings_first(knowledge, ())[0]))
        await asks(pilot)
        pilot.app.simulate_key("b")
        pilot.app.simulate_key("b")
        await calm(pilot)
        await asks(pilot)
        came = [entry for entry in screen.sitting.interview.case.log if isinstance(entry, Comeback)]
        assert len(came) == 1
        assert len(screen.sitting.interview.case.log) > len(log)
        assert f"It is written down already, as entry {came[0].number}" in shown(pilot)


async def test_back_from_an_answer_anew_is_the_case_and_the_answer_stands(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "1", "e")
        stood, question = screen.sitting.interview.case.standing, screen.question
        screen.revise(1)
        await until(pilot, lambda: screen.question is not None and screen.question != question)
        screen = await press(pilot, "escape")
        assert screen.sitting.interview.case.standing == stood
        assert screen.question == question


async def test_fairly_sure_marks_the_next_answer_only(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "f", "1", "e")
        seen = screen.sitting.interview.case.log[0]
        assert isinstance(seen, PlacesSeen)
        assert seen.sure == "fairly"
        assert not screen.answers.is_fairly


async def test_a_typed_answer_that_cannot_be_is_said_and_kept_to_be_mended(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await press(pilot, "t", *"99", "enter")
        assert "There is no number 99 here" in shown(pilot)
        screen = await press(pilot, "backspace", "backspace", *"1 arc 5-7", "enter")
        seen = screen.sitting.interview.case.log[0]
        assert isinstance(seen, PlacesSeen)
        assert seen.arc == (5, 7)


async def test_a_key_twice_in_a_row_opens_one_case(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await pilot.press("p", "p", "p")
        await asks(pilot)
        await until(pilot, lambda: all(w.is_finished for w in pilot.app.workers if w.group == "open"))
        assert sum(isinstance(screen, CaseScreen) for screen in pilot.app.screen_stack) == 1


async def test_a_second_press_before_the_next_question_answers_nothing(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await press(pilot, "1", "e")
        await pilot.press("1", "1", "1")
        screen = await asks(pilot)
        assert len(screen.sitting.interview.case.log) <= len(case_screen(pilot).sitting.interview.case.log)
