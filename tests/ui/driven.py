"""The app under a test's hands: begun on a store of its own, and waited for until it asks."""

import asyncio
import time
from argparse import Namespace
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from functools import cache
from pathlib import Path

from textual.pilot import Pilot

from leakdx.commands.inputs import knowledge_here
from leakdx.commands.screen import given
from leakdx.knowledge.model import Knowledge
from leakdx.ui.app import LeakdxApp
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.home import HomeScreen
from tests.ui.idle import often_looked_at

LATEST = 60.0
Hand = Pilot[None]


@cache
def _knowledge() -> Knowledge:
    """Loaded once for all tests; what it takes to load it is tried in a real terminal."""
    return knowledge_here(None)


@asynccontextmanager
async def opened(folder: Path, size: tuple[int, int] = (80, 24), case: str | None = None) -> AsyncIterator[Hand]:
    """The app with its first list of cases on the screen, or on the named case."""
    args = Namespace(store=f"sqlite:///{folder / 'cases.db'}", knowledge=None, who="AB", bay="", case=case)
    app = LeakdxApp(given(args)._replace(knowledge=_knowledge))
    with often_looked_at():
        async with app.run_test(size=size, notifications=True) as pilot:
            await (until(pilot, lambda: is_home(app)) if case is None else asks(pilot))
            yield pilot


def is_home(app: object) -> bool:
    """Whether the list of cases stands there."""
    assert isinstance(app, LeakdxApp)
    return isinstance(app.screen, HomeScreen) and app.screen.is_fetched


async def until(pilot: Hand, holds: Callable[[], bool]) -> None:
    """Let the app go on until something holds."""
    latest = time.monotonic() + LATEST
    while not holds():
        assert time.monotonic() < latest, "it did not come"
        await asyncio.sleep(0.005)
    await pilot.pause()


async def comes(pilot: Hand, kind: type[object]) -> None:
    """Wait until a screen of a kind stands there."""
    await until(pilot, lambda: isinstance(pilot.app.screen, kind))


async def calm(pilot: Hand) -> None:
    """Wait until the bench has done all that was asked of it, and the screen has heard of it."""
    assert isinstance(pilot.app, LeakdxApp)
    for _ in range(2):  # what comes from the bench may ask for more
        await pilot.app.bench.run(lambda: None)
        await pilot.pause()


async def settled(pilot: Hand) -> str:
    """Wait until nothing is being worked out and the screen stays as it is; what stands there then."""
    seen = ""
    while seen != (now := shown(pilot)):
        seen = now
        await until(pilot, lambda: all(worker.is_finished for worker in pilot.app.workers))
    return now


def case_screen(pilot: Hand) -> CaseScreen:
    """The case that is open, whatever stands over it."""
    return next(screen for screen in pilot.app.screen_stack if isinstance(screen, CaseScreen))


async def asks(pilot: Hand) -> CaseScreen:
    """The case screen, once it waits for an answer."""

    def waits() -> bool:
        return any(isinstance(s, CaseScreen) and s.question is not None for s in pilot.app.screen_stack)

    await until(pilot, waits)
    return case_screen(pilot)


async def press(pilot: Hand, *keys: str) -> CaseScreen:
    """Press keys on a case, and wait until it asks again."""
    await pilot.press(*keys)
    return await asks(pilot)


def shown(pilot: Hand) -> str:
    """All that stands on the screen, as text."""
    lines = pilot.app.screen._compositor.render_strips()
    return "\n".join(line.text for line in lines)
