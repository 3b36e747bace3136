"""The table of actions: each does something, no key means two things on one screen, and the bar is never overfull."""

import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import get_args

import pytest
from textual.widgets._footer import FooterKey

from leakdx.cli import main
from leakdx.errors import ExitCode
from leakdx.ui.actions import ACTIONS, BAR_MOST, Where, actions_of
from leakdx.ui.app import LeakdxApp
from leakdx.ui.screens.base import Page
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.entry import EntryScreen
from leakdx.ui.screens.help import HelpScreen
from leakdx.ui.screens.home import HomeScreen
from leakdx.ui.screens.keys import found
from leakdx.ui.widgets.field import Field
from tests.ui.driven import opened, press, settled, shown, until

WHERE: tuple[Where, ...] = get_args(Where)
HEAVY = ("numpy", "pint", "experta", "sqlalchemy", "yaml", "leakdx.knowledge", "leakdx.reasoning", "leakdx.store")


def pages() -> dict[str, type]:
    """Kind of screen -> its class; "anywhere" is the app's own."""
    found: dict[str, type] = {"anywhere": LeakdxApp}
    waiting = list(Page.__subclasses__())
    while waiting:
        page = waiting.pop()
        waiting += page.__subclasses__()
        if page.where != "anywhere":
            found[page.where] = page
    return found


@pytest.mark.parametrize("action", ACTIONS, ids=lambda action: f"{action.where}-{action.name}")
def test_every_action_has_a_screen_that_does_it(action: object) -> None:
    row = next(one for one in ACTIONS if one is action)
    assert hasattr(pages()[row.where], f"action_{row.name}")
    assert row.help.endswith(".")


@pytest.mark.parametrize("where", WHERE)
def test_no_key_means_two_things_on_one_screen_and_the_bar_has_room(where: Where) -> None:
    rows = actions_of(where)
    keys = Counter(key for row in rows for key in row.keys.split(","))
    assert [key for key, count in keys.items() if count > 1] == []
    assert sum(row.bar for row in rows) <= BAR_MOST
    width = sum(len(row.shown_key) + len(row.words) + 2 for row in rows if row.bar)
    assert width <= 80


def test_plain_keys_are_enough() -> None:
    assert all("+" not in action.keys.split(",")[0] for action in ACTIONS)


@pytest.mark.asyncio
@pytest.mark.parametrize("where", ["home", "case"])
async def test_every_key_is_in_the_list_of_keys_and_in_the_help(where: Where, tmp_path: Path) -> None:
    async with opened(tmp_path, size=(120, 60)) as pilot:
        if where == "case":
            assert isinstance(await press(pilot, "p"), CaseScreen)
        else:
            assert isinstance(pilot.app.screen, HomeScreen)
        await pilot.press("f1")
        await until(pilot, lambda: isinstance(pilot.app.screen, HelpScreen))
        text = " ".join(shown(pilot).split())
        assert all(action.words in text for action in actions_of(where))
        await pilot.press("escape", "k")
        await until(pilot, lambda: actions_of(where)[0].help in shown(pilot))


def test_the_list_of_keys_is_searched_by_words_and_what_is_called_so_stands_first() -> None:
    actions = actions_of("case")
    assert found(actions, "  ") == actions
    assert found(actions, "UNDO")[0].name == "undo"
    assert found(actions, "unsure")[0].name == "unsure"
    assert found(actions, "withdrawn by nobody") == ()


def test_nothing_heavy_is_loaded_for_the_first_picture() -> None:
    program = (
        "import sys\nfrom leakdx.commands.screen import run\nfrom leakdx.ui.screens.home import HomeScreen\n"
        f"print([m for m in {HEAVY!r} if m in sys.modules])"
    )
    made = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert made.stdout.strip() == "[]"


def test_what_should_not_happen_is_a_sentence_and_no_trace(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def fails(_: HomeScreen) -> None:
        raise RuntimeError("broken on purpose")

    run = LeakdxApp.run
    monkeypatch.setattr(LeakdxApp, "run", lambda self: run(self, headless=True))
    monkeypatch.setattr("leakdx.commands.screen.is_terminal", lambda: True)
    monkeypatch.setattr(HomeScreen, "fetch", fails)
    assert main(["screen"]) == ExitCode.INTERNAL
    said = capfd.readouterr().err
    assert "this should not happen (RuntimeError" in said
    assert "Traceback" not in said
    assert len(said.splitlines()) == 1


def test_without_a_terminal_it_is_the_help_and_a_sentence() -> None:
    alone = subprocess.run([sys.executable, "-m", "leakdx"], capture_output=True, text=True, stdin=subprocess.DEVNULL)
    assert alone.returncode == 0
    assert alone.stdout.startswith("usage: leakdx")
    screen = subprocess.run(
        [sys.executable, "-m", "leakdx", "screen"], capture_output=True, text=True, stdin=subprocess.DEVNULL
    )
    assert screen.returncode == 2
    assert "'leakdx ask' asks in plain lines" in screen.stderr
    assert len(screen.stderr.splitlines()) == 1


@pytest.mark.asyncio
async def test_the_bar_offers_no_key_that_would_be_typed_into_the_field_in_use(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        for opens in (("slash",), ("p", "t"), ("s",), ("m", "enter")):
            for key in opens:
                await pilot.press(key)
                await settled(pilot)
            assert isinstance(pilot.app.focused, Field), opens
            offered = {key.key_display for key in pilot.app.screen.query(FooterKey)}
            assert "Ctrl+P" in offered
            assert not any(len(key) == 1 for key in offered), opens
            assert ("Esc" in offered) == isinstance(pilot.app.screen, CaseScreen)
            await pilot.press("escape")
            await settled(pilot)
            if isinstance(pilot.app.screen, CaseScreen | EntryScreen):
                assert "k" in {key.key_display for key in pilot.app.screen.query(FooterKey)}
