"""A page of repairs that is left or covered while it is weighed or written down: nothing ends, nothing else goes."""

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from threading import Event

import pytest

from leakdx.case import Record
from leakdx.ui.screens.help import HelpScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.paths import PathsScreen
from leakdx.ui.screens.repair import RepairScreen
from leakdx.ui.sitting import Sitting
from leakdx.ui.widgets.pathcard import Card
from tests.ui.driven import Hand, calm, case_screen, comes, opened, until
from tests.ui.fields import decided, under_repair

pytestmark = pytest.mark.asyncio


async def test_repairs_left_while_they_are_weighed_end_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        weigh = case_screen(pilot).sitting.paths
        weighed = asyncio.Event()

        async def late(_: Sitting) -> object:
            made = await weigh()
            page = pilot.app.screen
            while page in pilot.app.screen_stack:
                await asyncio.sleep(0)
            weighed.set()
            return made

        monkeypatch.setattr(Sitting, "paths", late)
        await pilot.press("r")
        await comes(pilot, PathsScreen)
        await pilot.press("escape")
        await weighed.wait()
        await calm(pilot)
        assert pilot.app.is_running
        assert pilot.app.screen is case_screen(pilot)


async def test_a_page_opened_over_repairs_while_one_is_decided_on_stands(tmp_path: Path) -> None:
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        await pilot.press("r")
        await until(pilot, lambda: bool(pilot.app.screen.query(Card)))
        await pilot.press("1")
        await comes(pilot, LineScreen)
        await _covered(pilot, lambda: pilot.press("enter"), below=PathsScreen)


async def test_a_page_opened_over_a_repair_while_its_decision_is_taken_back_stands(tmp_path: Path) -> None:
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        await decided(pilot)
        await pilot.press("r")
        await comes(pilot, RepairScreen)
        await _covered(pilot, lambda: pilot.press("u"), below=RepairScreen)


async def _covered(pilot: Hand, act: Callable[[], Awaitable[None]], below: type[object]) -> None:
    """Something is written down while the help is opened over its page, and both stand as they stood."""
    case, may_go_on = case_screen(pilot), Event()
    was = _decisions(pilot)
    waiting = asyncio.ensure_future(case.sitting.bench.run(may_go_on.wait))  # what is written waits behind it
    await act()
    await comes(pilot, below)
    await pilot.press("f1")
    await comes(pilot, HelpScreen)
    may_go_on.set()
    await waiting
    await until(pilot, lambda: _decisions(pilot) != was)
    await calm(pilot)
    assert [type(screen) for screen in pilot.app.screen_stack[-2:]] == [below, HelpScreen]


def _decisions(pilot: Hand) -> int:
    """How many decisions stand."""
    standing = case_screen(pilot).sitting.interview.case.standing
    return sum(isinstance(entry, Record) and entry.kind == "decided" for entry in standing)
