"""On every size nothing that has to be pressed is hidden, and the focus is never on something unseen."""

from pathlib import Path

import pytest
from textual.geometry import Region
from textual.widgets import OptionList

from leakdx.ui.screens.small import SmallScreen
from leakdx.ui.widgets.clockline import ClockLine
from leakdx.ui.widgets.keylabel import KeyLabel
from leakdx.ui.widgets.strip import Strip
from tests.ui.driven import Hand, asks, calm, opened, press, shown, until
from tests.ui.stories import Story, by_keys

pytestmark = pytest.mark.asyncio


SIZES = ((60, 20), (80, 24), (140, 40), (200, 60))
QUESTIONS = 9


async def test_every_answer_can_be_seen_and_reached_at_every_size(tmp_path: Path) -> None:
    story = Story("01-pinion-seal")
    async with opened(tmp_path, size=SIZES[0]) as pilot:
        await press(pilot, "n")
        for _ in range(QUESTIONS):
            screen = await asks(pilot)
            question = screen.question
            assert question is not None
            for size in SIZES:
                await pilot.resize_terminal(*size)
                await pilot.pause()
                _nothing_hidden(pilot)
            turn = screen.turn
            await by_keys(pilot, story, question)
            await until(pilot, lambda screen=screen, turn=turn: screen.turn != turn)  # type: ignore[misc]


def _nothing_hidden(pilot: Hand) -> None:
    screen = pilot.app.screen
    whole = screen.region
    for label in screen.query(KeyLabel):
        assert whole.contains_region(label.region), f"{label.action} is cut at {label.region} of {whole}"
        assert label.region.bottom <= screen.query_one("#moved").region.y
    outcomes = screen.query_one("#outcomes", OptionList)
    if outcomes.display and outcomes.option_count:
        assert outcomes.region.height >= min(outcomes.option_count, 3)
        assert whole.contains_region(outcomes.region)
    assert screen.query_one("#check").region.height == 1
    assert screen.query_one("#asked").region.height >= 1
    assert screen.query_one("#asked").region.bottom <= screen.query_one("Answers").region.y
    if screen.focused is not None:
        assert screen.focused.region.area > 0
        assert whole.overlaps(screen.focused.region)


@pytest.mark.parametrize("size", SIZES[:2], ids=str)
async def test_no_line_that_comes_late_moves_an_answer(size: tuple[int, int], tmp_path: Path) -> None:
    async with opened(tmp_path, size=size) as pilot:
        screen = await press(pilot, "p")
        await calm(pilot)
        stood = _answers_stand(pilot)
        strip, clocks = screen.query_one(Strip), screen.query_one(ClockLine)
        strip.advise("reseal the joint, and bring every fastener of its ring to its torque again")
        await pilot.pause()
        assert "Time to repair" in shown(pilot)
        assert _answers_stand(pilot) == stood
        clocks.display = True
        clocks.say("bead open since 7:10\nearliest fill 9:10\nearliest load 7:10")
        await pilot.pause()
        assert "earliest load" in shown(pilot)
        assert _answers_stand(pilot) == stood
        strip.advise("")
        clocks.display = False
        await pilot.pause()
        assert _answers_stand(pilot) == stood


def _answers_stand(pilot: Hand) -> list[Region]:
    """Where what is pressed stands."""
    return [pilot.app.screen.query_one(id).region for id in ("#outcomes", "#beside")]


async def test_every_screen_opens_over_the_case_once_and_closes(tmp_path: Path) -> None:
    async with opened(tmp_path, size=(60, 20)) as pilot:
        case = await press(pilot, "p")
        for keys in (*(key * 2 for key in "closwhvak"), ("f1",)):
            await pilot.press(*keys)
            await until(pilot, lambda: pilot.app.screen is not case)
            for _ in range(4):
                if pilot.app.screen is case:
                    break
                await pilot.press("escape")
                await pilot.pause()
            assert pilot.app.screen is case, keys


async def test_help_the_keys_and_too_small_a_window_come_over_every_screen_and_go(tmp_path: Path) -> None:
    async with opened(tmp_path, size=(80, 24)) as pilot:
        case = await press(pilot, "p")
        for key in ("", *"closwva"):
            if key:
                await pilot.press(key)
                await until(pilot, lambda: pilot.app.screen is not case)
            below = pilot.app.screen
            await pilot.press("f1", "f1")  # opens the help, and leaves it
            await until(pilot, lambda below=below: pilot.app.screen is below)  # type: ignore[misc]
            await pilot.press("ctrl+p", "f1")  # help over the list of keys, where there is one
            await pilot.resize_terminal(50, 15)
            await until(pilot, lambda: is_small(pilot))
            await pilot.press("k", "f1", "escape")  # none of them takes it away
            assert is_small(pilot)
            await pilot.resize_terminal(80, 24)
            await until(pilot, lambda: not is_small(pilot))
            for _ in range(4):
                if pilot.app.screen is case:
                    break
                await pilot.press("escape")
            assert pilot.app.screen is case, key


def is_small(pilot: Hand) -> bool:
    """Whether only the word stands there that the window is too small."""
    return isinstance(pilot.app.screen, SmallScreen)
