"""A monkey at the keys and the mouse: ``python -m tests.ui.monkey [KEYS [SEEDS [FIRST]]]``; 20,000 in seeds 0 to 19."""

import asyncio
import random
import sys
import tempfile
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from unittest.mock import patch

from textual.pilot import WaitForScreenTimeout

from leakdx.pages import written
from leakdx.store.database.casestore import open_store
from leakdx.ui.actions import ACTIONS
from leakdx.ui.screens import textpage
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.home import HomeScreen
from tests.shipped import knowledge
from tests.ui.driven import Hand, asks, opened, settled

KEYS, SEEDS = 20_000, 20
AT_ONCE = 50
"""Keys that are pressed without waiting for what the last one did."""
_NAMED = ("enter", "escape", "up", "down", "left", "right", "tab", "shift+tab", "home", "end", "space", "backspace")
_LEAVES = {"q", "escape"}
"""At the first screen these end the app, and the monkey with it."""
TOUCHED = sorted({key for action in ACTIONS for key in action.keys.split(",")} | set("0123456789") | set(_NAMED))
_STAYS, _WAITS = 0.95, 0.8
"""Chances that it does not leave a case after all, and that it first waits for the question or goes back to it."""
_ODD = ["[", "]", "/", "@", "~", ":", "ä", "'", '"', "\\"]


async def run(seed: int, keys: int, folder: Path) -> int:
    """Press so many keys; returns how many entries were saved. Raises where the app crashes or an answer is lost.

    Where the monkey has left the app, it is started again on the same cases.
    """
    drawn = random.Random(seed)
    saved: dict[str, int] = {}
    pressed = 0
    while pressed < keys:
        size = drawn.choice([(80, 24), (60, 20), (140, 40)])
        async with writing_nothing(), opened(folder, size=size) as pilot:
            try:
                while pressed < keys and pilot.app.is_running:
                    pressed += AT_ONCE
                    await _at_once(pilot, drawn)
                    _count(pilot, saved)
                await _close_dialogs(pilot)
                await settled(pilot)
            except WaitForScreenTimeout:
                if pilot.app.is_running:  # one that was left meanwhile is waited for in vain
                    raise
            _count(pilot, saved)
    store = open_store(f"sqlite:///{folder / 'cases.db'}")
    for name, entries in saved.items():
        assert len(store.case(name, knowledge()).log) >= entries, f"seed {seed}: case {name} lost an entry"
    return sum(saved.values())


async def _close_dialogs(pilot: Hand) -> None:
    """What waits for an answer gets none."""
    for _ in range(6):
        if pilot.app.is_running and not isinstance(pilot.app.screen, CaseScreen | HomeScreen):
            await pilot.press("escape")


@asynccontextmanager
async def writing_nothing() -> AsyncIterator[None]:
    """A monkey writes no files."""
    with (
        patch.object(textpage, "write_text", lambda typed, text: Path(typed)),
        patch.object(written, "write_page", lambda page, path: str(path)),
    ):
        yield


def _count(pilot: Hand, saved: dict[str, int]) -> None:
    """How many entries each case on the screen has: so many have to be in the store."""
    for screen in pilot.app.screen_stack:
        if isinstance(screen, CaseScreen) and not screen.sitting.practice:
            name, log = screen.sitting.name, screen.sitting.interview.case.log
            saved[name] = max(saved.get(name, 0), len(log))


async def _at_once(pilot: Hand, drawn: random.Random) -> None:
    """Some keys, or a click anywhere."""
    if drawn.random() < 0.2:
        width, height = pilot.app.size
        await pilot.click(offset=(drawn.randrange(width), drawn.randrange(height)))
        await _begin_again(pilot, drawn)
        return
    if drawn.random() < _WAITS:
        await _answer(pilot, drawn)
    for _ in range(AT_ONCE):
        key = drawn.choice(_ODD if drawn.random() < 0.1 else TOUCHED)
        if key in _LEAVES and isinstance(pilot.app.screen, HomeScreen | CaseScreen) and drawn.random() < _STAYS:
            key = "n"
        if key in {*_LEAVES, "p"} and isinstance(pilot.app.screen, HomeScreen):
            key = "n"  # a case that is kept
        pilot.app.simulate_key(key)
        await asyncio.sleep(0)
    await pilot.pause()
    await _begin_again(pilot, drawn)


async def _answer(pilot: Hand, drawn: random.Random) -> None:
    """Back to the case, if there is one, and an answer to what it asks."""
    for _ in range(4):
        if isinstance(pilot.app.screen, CaseScreen | HomeScreen):
            break
        await pilot.press("escape")
    if isinstance(pilot.app.screen, CaseScreen):
        await asks(pilot)
        await pilot.press(drawn.choice(["1", "2", "question_mark"]), *drawn.choice([(), ("enter",), ("d",)]))


async def _begin_again(pilot: Hand, drawn: random.Random) -> None:
    """Out of a practice case, of which nothing is kept, and into one that is, new or known."""
    screen = pilot.app.screen
    if isinstance(screen, CaseScreen) and screen.sitting.practice:
        await pilot.press("escape")
    if isinstance(pilot.app.screen, HomeScreen):
        await pilot.press("escape", drawn.choice(["n", "enter"]))


def main() -> None:
    """Run the seeds one after another."""
    said = [int(word) for word in sys.argv[1:4]]
    keys, seeds, first = (*said, *(KEYS, SEEDS, 0)[len(said) :])
    for seed in range(first, first + seeds):
        with tempfile.TemporaryDirectory() as folder:
            entries = asyncio.run(run(seed, keys // seeds, Path(folder)))
        print(f"seed {seed}: {keys // seeds} keys, {entries} entries saved and found again")


if __name__ == "__main__":
    main()
