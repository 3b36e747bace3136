"""How quick the screen is, against Textual with nothing behind it, in the same run."""

import asyncio
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from msgspec import structs

from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.sitting import Said
from tests.ui.driven import Hand, asks, opened, press

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


class Timed:
    """Seconds of a thing done several times: by the clock, and of this process' own work, which other work on the
    machine does not lengthen."""

    def __init__(self) -> None:
        self.clock: list[float] = []
        self.work: list[float] = []

    @contextmanager
    def once(self) -> Iterator[None]:
        begun, worked = time.perf_counter(), time.process_time()
        yield
        self.clock.append(time.perf_counter() - begun)
        self.work.append(time.process_time() - worked)

    def __str__(self) -> str:
        return f"{1000 * statistics.median(self.clock):.0f} ms ({1000 * statistics.median(self.work):.0f} ms of work)"


async def _answer(pilot: Hand, screen: CaseScreen, timed: Timed) -> None:
    """From the key to what it changed on the screen."""
    was = screen.now
    with timed.once():
        pilot.app.simulate_key("1")
        while screen.now is was:
            await asyncio.sleep(0.001)
        await _drawn(screen)
    await asks(pilot)
    await pilot.pause()


@pytest.mark.asyncio
async def test_an_answer_against_a_redraw(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer with its posterior, and the same key with the same changes of the screen and nothing worked out."""
    answered, redrawn = Timed(), Timed()
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "1", "e")
        for _ in range(ROUNDS):
            await _answer(pilot, screen, answered)
            assert screen.now is not None
            known = Said(structs.replace(screen.now), ("the same again",))

            async def known_answer(*_: object, known: Said = known) -> Said:
                return known

            with monkeypatch.context() as patch:
                patch.setattr(screen.sitting, "answer", known_answer)
                await _answer(pilot, screen, redrawn)
    ratio = statistics.median(answered.work) / statistics.median(redrawn.work)
    print(f"answer {answered}, redraw {redrawn}, ratio of work {ratio:.2f}")
    assert ratio < MOST_OF_A_REDRAW
