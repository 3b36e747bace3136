"""When the app has nothing left to do: each pause of a test and each key waits for it.

Textual's own wait looks at the processor's time of each fiftieth of a second, so that a key takes a tenth of one in
which mostly nothing happens. Here the event loop is asked whether something is left to do, and what is due is painted
at once; the processor's time, looked at more often, only tells whether another thread is at work.
"""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic, process_time
from unittest.mock import patch

from textual._context import active_app

LOOK = 0.004
"""Seconds from one look to the next."""
AT_REST = 0.1
"""The part of that time below which no thread is at work."""


async def until_idle(min_sleep: float = 0.0, max_sleep: float = 1.0) -> None:
    """Wait until nothing is left to do or to paint, no longer than Textual's own wait does."""
    begun = monotonic()
    while (waited := monotonic() - begun) < max_sleep:
        worked = process_time()
        await asyncio.sleep(LOOK)
        if process_time() - worked < LOOK * AT_REST and _nothing_left() and waited >= min_sleep:
            return


def _nothing_left() -> bool:
    """Whether nothing waits for its turn, also once everything that is due was painted."""
    waiting = asyncio.get_running_loop()._ready  # type: ignore[attr-defined]
    app = active_app.get()
    if not waiting and app.is_running:
        app.screen._on_timer_update()
    return not waiting


@contextmanager
def often_looked_at() -> Iterator[None]:
    """In place of Textual's own wait."""
    with patch("textual.app.wait_for_idle", until_idle), patch("textual.pilot.wait_for_idle", until_idle):
        yield
