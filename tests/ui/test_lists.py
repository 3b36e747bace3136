"""Causes, ledger, other checks, the search and the texts: each opened from a case, used, and left again."""

import asyncio
from pathlib import Path

import pytest
from textual.widgets import OptionList

from leakdx.case import Observation
from leakdx.ui.bench import CaseLine
from leakdx.ui.screens.causes import CausesScreen
from leakdx.ui.screens.home import HomeScreen
from leakdx.ui.screens.ledger import LedgerScreen
from leakdx.ui.screens.others import OthersScreen
from leakdx.ui.screens.textpage import TextPage
from tests.ui.driven import asks, case_screen, opened, press, shown, until

pytestmark = pytest.mark.asyncio


async def test_causes_stand_with_chance_and_what_moved_and_can_be_asked_why(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "1", "e")
        assert screen.now is not None
        leader = screen.now.causes[0]
        await pilot.press("c")
        await until(pilot, lambda: isinstance(pilot.app.screen, CausesScreen))
        text = shown(pilot)
        assert leader.name[:30] in text
        assert f"{leader.decibans:+.1f} dB" in text
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(pilot.app.screen, TextPage) and bool(pilot.app.screen.text))
        assert leader.name in shown(pilot)
        await pilot.press("escape", "escape")
        assert pilot.app.screen is case_screen(pilot)


async def test_a_line_of_the_ledger_is_answered_anew_withdrawn_and_put_back(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await press(pilot, "1", "e")
        screen = await press(pilot, "1")
        case = screen.sitting.interview
        last = case.case.standing[-1]
        await pilot.press("l")
        await until(pilot, lambda: isinstance(pilot.app.screen, LedgerScreen) and pilot.app.screen.marked is not None)
        await pilot.press("r")
        await asks(pilot)
        await press(pilot, "2")
        assert last.number in case.case.withdrawn
        assert len(case.case.standing) == 3
        screen = await press(pilot, "u")
        assert case.case.standing[-1] == last
        await pilot.press("l")
        await until(pilot, lambda: isinstance(pilot.app.screen, LedgerScreen) and pilot.app.screen.marked is not None)
        await pilot.press("home", "x")
        await until(pilot, lambda: 1 in case.case.withdrawn)
        await pilot.press("y")
        await until(pilot, lambda: 1 not in case.case.withdrawn)


async def test_another_check_is_made_at_once(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await press(pilot, "1", "e")
        await pilot.press("o")
        await until(pilot, lambda: isinstance(pilot.app.screen, OthersScreen) and pilot.app.screen.marked is not None)
        await pilot.press("down", "enter")
        screen = await asks(pilot)
        others = await screen.sitting.others()
        assert screen.question is not None
        assert screen.question.check == others[1].id


async def test_something_else_is_found_by_a_word_and_then_answered(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await press(pilot, "1", "e")
        await pilot.press("s", *"whine")
        found = await case_screen(pilot).sitting.find("whine")
        await until(pilot, lambda: found[0].name in shown(pilot))
        await pilot.press("enter")
        screen = await asks(pilot)
        assert screen.question is not None
        assert screen.question.id == found[0].id
        screen = await press(pilot, "1")
        seen = screen.sitting.interview.case.standing[-1]
        assert isinstance(seen, Observation)
        assert seen.sign == found[0].id


async def test_what_was_done_against_a_hold_is_asked_back_first(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        screen = await press(pilot, "p")
        screen.did("washed", "washed")
        await until(pilot, lambda: "HOLD stood before it" in shown(pilot))
        await pilot.press("n")
        assert screen.sitting.interview.case.log == ()
        screen.did("washed", "washed")
        await until(pilot, lambda: "HOLD stood before it" in shown(pilot))
        await pilot.press("y")
        await until(pilot, lambda: len(screen.sitting.interview.case.log) == 1)


async def test_the_whole_answer_is_sent_and_written_to_a_file_and_nothing_is_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "a.txt"
    monkeypatch.chdir(tmp_path)
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await pilot.press("v")
        await until(pilot, lambda: isinstance(pilot.app.screen, TextPage) and bool(pilot.app.screen.text))
        page = pilot.app.screen
        assert isinstance(page, TextPage)
        await pilot.press("p")
        assert pilot.app.clipboard == page.text
        await until(pilot, lambda: "Sent to the terminal" in shown(pilot))
        for _ in range(2):
            await pilot.press("f", *file.name, "enter")
            await until(pilot, file.exists)
        assert file.read_text("utf-8") == page.text
        await until(pilot, lambda: "Not written" in shown(pilot))


async def test_below_the_least_size_it_says_so_and_comes_back(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await pilot.resize_terminal(59, 24)
        await until(pilot, lambda: "needs 60 columns and 20 rows" in " ".join(shown(pilot).split()))
        await pilot.resize_terminal(60, 20)
        await until(pilot, lambda: pilot.app.screen is case_screen(pilot))


async def test_cases_that_are_fetched_while_the_app_ends_are_listed_nowhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(tmp_path) as pilot:
        home = pilot.app.screen
        assert isinstance(home, HomeScreen)
        assert home.is_alive

        async def late(*_: object, **__: object) -> tuple[CaseLine, ...]:
            while home.query(OptionList):
                await asyncio.sleep(0)
            return (CaseLine("late", "", 0, "", None, ""),)

        monkeypatch.setattr(home.bench, "cases", late)
        home.fetch()
    assert not home._cases
