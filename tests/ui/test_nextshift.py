"""The page for the next shift at the screen: states by one key, a note, and a file to give away."""

from pathlib import Path

import pytest

from leakdx.case import Done, Record
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.nextshift import NextShiftScreen
from tests.ui.driven import case_screen, opened, press, shown, until

pytestmark = pytest.mark.asyncio


async def test_states_are_said_by_key_and_by_click_a_note_is_left_and_the_page_given_away(tmp_path: Path) -> None:
    file = tmp_path / "next.txt"
    async with opened(tmp_path) as pilot:
        screen = await press(pilot, "p")
        await pilot.press("g")
        await until(pilot, lambda: "[?] not said: axle is on stands?" in shown(pilot))
        page = pilot.app.screen
        assert isinstance(page, NextShiftScreen)
        await pilot.press("5")
        await until(pilot, lambda: "[x] axle is on stands (AB" in shown(pilot) and not page.is_busy)
        await pilot.click("#states", offset=(8, 3))
        await until(pilot, lambda: "[x] a plug is out (AB" in shown(pilot) and not page.is_busy)
        await pilot.press("1")
        await until(pilot, lambda: isinstance(pilot.app.screen, ConfirmScreen))
        await pilot.press("y")
        await until(pilot, lambda: "[x] oil is drained (AB" in shown(pilot) and not page.is_busy)
        await pilot.press("a", *"pan is under it", "enter")
        await until(pilot, lambda: "For you: pan is under it" in shown(pilot))
        await pilot.press("f", *str(file), "enter")
        await until(pilot, file.exists)
        log = case_screen(pilot).sitting.interview.case.standing
    assert [entry.text for entry in log if isinstance(entry, Record)] == ["axle is on stands", "a plug is out"]
    assert [entry.act for entry in log if isinstance(entry, Done)] == ["drained"]
    text = file.read_text("utf-8")
    assert "Not yet: No oil in the axle" in text
    assert "Truck: axle is on stands (AB" in text
    assert screen.sitting.practice
