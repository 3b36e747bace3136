"""How quick the screen is, against Textual with nothing behind it, in the same run."""

import asyncio
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from leakdx.ui.screens.case import CaseScreen
from tests.ui.driven import asks, opened, press

EMPTY = """
import time; begun = time.perf_counter()
from textual.app import App
class Empty(App):
    def on_mount(self): self.call_after_refresh(lambda: self.call_after_refresh(self.exit))
Empty().run(headless=True)
print(time.perf_counter() - begun)
"""
OURS = """
import time; begun = time.perf_counter()
from argparse import Namespace
from leakdx.commands.screen import given
from leakdx.ui.app import LeakdxApp
from leakdx.ui.screens.home import HomeScreen
HomeScreen.fetch = lambda self: self.app.call_after_refresh(self.app.exit)  # in place of what comes after the picture
LeakdxApp(given(Namespace(store=None, knowledge=None, who="AB", bay="", case=None))).run(headless=True)
print(time.perf_counter() - begun)
"""
ROUNDS = 7
MOST_OF_A_REDRAW, MOST_OF_AN_EMPTY_START = 3.0, 2.0


async def _drawn(screen: CaseScreen) -> None:
    drawn = asyncio.Event()
    screen.call_after_refresh(drawn.set)
    await drawn.wait()


def _started(program: str) -> float:
    made = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return float(made.stdout.split()[-1])


def test_first_picture_against_an_empty_app() -> None:
    pairs = [(_started(EMPTY), _started(OURS)) for _ in range(ROUNDS)]
    empty, ours = (statistics.median(times) for times in zip(*pairs, strict=True))
    print(f"first picture {1000 * ours:.0f} ms, empty app {1000 * empty:.0f} ms, ratio {ours / empty:.2f}")
    assert ours < MOST_OF_AN_EMPTY_START * empty


@pytest.mark.asyncio
async def test_an_answer_against_a_redraw(tmp_path: Path) -> None:
    """From the key to the posterior on the screen, and the same screen drawn anew with nothing worked out."""
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "1", "e")
        answered, redrawn = [], []
        for _ in range(ROUNDS):
            was = screen.now
            begun = time.perf_counter()
            pilot.app.simulate_key("1")
            while screen.now is was:
                await asyncio.sleep(0)
            await _drawn(screen)
            answered.append(time.perf_counter() - begun)
            await asks(pilot)
            begun = time.perf_counter()
            pilot.app.refresh_css(animate=False)
            screen.refresh(layout=True, recompose=False)
            await _drawn(screen)
            redrawn.append(time.perf_counter() - begun)
        ours, theirs = statistics.median(answered), statistics.median(redrawn)
        print(f"answer {1000 * ours:.0f} ms, redraw {1000 * theirs:.0f} ms, ratio {ours / theirs:.2f}")
        assert ours < MOST_OF_A_REDRAW * theirs
