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
from textual.widget import Widget

from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.sitting import Said
from tests.ui.driven import Hand, asks, calm, opened, press

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
    await calm(pilot)


async def _drawn_anew(pilot: Hand, screen: CaseScreen, timed: Timed, *, parts: bool) -> None:
    """What stands there already, drawn once more: every part of it laid out anew, or the screen alone."""
    with timed.once():
        for part in screen.walk_children(Widget) if parts else ():
            part.refresh(layout=True)
        screen.refresh()
        await _drawn(screen)
    await pilot.pause()


@pytest.mark.asyncio
async def test_an_answer_against_a_redraw(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer with its posterior, against Textual drawing the same change with nothing reasoned, in turns.

    The redraw is the same key on the same screen: the same widgets are given what stood in them before the answer, so
    that each line which the answer has changed is changed back and drawn, and no diagnosis is made for it. Printed as
    well, held to nothing: all parts laid out and drawn anew with what they hold already, and a bare refresh of the
    screen with nothing changed.
    """
    answered, redrawn, parts, bare = Timed(), Timed(), Timed(), Timed()
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = await press(pilot, "1", "e")
        await calm(pilot)
        for _ in range(ROUNDS):
            before = screen.now
            await _answer(pilot, screen, answered)
            assert before is not None
            known = Said(structs.replace(before), ("as it stood before",))

            async def known_answer(*_: object, known: Said = known) -> Said:
                return known

            with monkeypatch.context() as patch:
                patch.setattr(screen.sitting, "answer", known_answer)
                await _answer(pilot, screen, redrawn)
            await _drawn_anew(pilot, screen, parts, parts=True)
            await _drawn_anew(pilot, screen, bare, parts=False)
    of_redraw, of_parts, of_bare = (
        statistics.median(answered.work) / statistics.median(other.work) for other in (redrawn, parts, bare)
    )
    print(f"answer {answered}, the same change redrawn {redrawn}: {of_redraw:.2f} of its work")
    print(f"all parts drawn anew {parts}: {of_parts:.2f}; a bare refresh {bare}: {of_bare:.2f}")
    assert of_redraw < MOST_OF_A_REDRAW
