"""Reasons as a walk: why, why not, what if and what would change it, down and back, while nothing is written."""

import threading
from pathlib import Path

import pytest

from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.unseat import PAIRS_TRIED, Unseating
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.causes import CausesScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.reasons import PAIRS, TRYING, ReasonPage
from tests.ui.driven import Hand, opened, press, until

pytestmark = pytest.mark.asyncio


async def page(pilot: Hand, begins: str) -> ReasonPage:
    """The page whose title begins so, once its text is there."""

    def there() -> bool:
        screen = pilot.app.screen
        return isinstance(screen, ReasonPage) and screen.title_text.startswith(begins) and bool(screen.text)

    await until(pilot, there)
    screen = pilot.app.screen
    assert isinstance(screen, ReasonPage)
    return screen


async def test_one_walks_from_a_cause_down_and_comes_back_and_nothing_is_written(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "1", "e")
        log = screen.sitting.interview.case.log
        await pilot.press("c")
        await until(pilot, lambda: isinstance(pilot.app.screen, CausesScreen))
        await pilot.press("down", "enter")
        why = await page(pilot, "Why: ")
        await pilot.press("n")
        assert "what would speak for it" in (await page(pilot, "Why not: ")).text
        await pilot.press("t")
        await until(pilot, lambda: isinstance(pilot.app.screen, LineScreen))
        await pilot.press(*"no such thing", "enter")
        assert "can't be tried" in (await page(pilot, "What if: no such")).text
        await pilot.press("escape", "t")
        await until(pilot, lambda: isinstance(pilot.app.screen, LineScreen))
        await pilot.press(*"breather no flow: yes", "enter")
        assert "TRIED, NOT WRITTEN DOWN" in (await page(pilot, "What if: breather")).text
        await pilot.press("escape", "escape")
        assert pilot.app.screen == why
        await pilot.press("escape", "escape")
        assert isinstance(pilot.app.screen, CaseScreen)
        assert screen.sitting.interview.case.log == log


async def test_what_would_change_it_is_worked_out_while_answers_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The search itself is tested elsewhere; here it takes as long as the test lets it."""
    go_on, asked = threading.Event(), []

    def slow(diagnosis: Diagnosis, pairs: int) -> Unseating:
        asked.append(pairs)
        assert go_on.wait(60)
        return Unseating((), (), 7)

    monkeypatch.setattr("leakdx.ui.sitting.unseating", slow)
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "1", "e")
        await pilot.press("w")
        await page(pilot, "Why: ")
        await pilot.press("c")
        change = await page(pilot, "What would change it")
        assert change.text == TRYING
        await pilot.press("escape", "escape")
        entries = len(screen.sitting.interview.case.log)
        await press(pilot, "1")
        assert len(screen.sitting.interview.case.log) > entries
        go_on.set()
        await pilot.press("w")
        await page(pilot, "Why: ")
        await pilot.press("c")
        change = await page(pilot, "What would change it")
        await until(pilot, lambda: "7 trucks like this one" in change.text and PAIRS not in change.text)
        assert asked == [0, 0, PAIRS_TRIED]
