"""Clocks of the joint, on a line each: read anew each minute, shown only where one runs."""

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING

from textual import work

from leakdx.ui.widgets.plain import Plain

if TYPE_CHECKING:
    from leakdx.explain.clocks import Running

MINUTE = 60.0


class ClockLine(Plain):
    """``fetch`` gives the clocks as of now."""

    def __init__(self, fetch: "Callable[[], Awaitable[tuple[Running, ...]]]") -> None:
        super().__init__(id="clocks")
        self._fetch = fetch
        self.display = False

    def on_mount(self) -> None:
        """Now, and then each minute."""
        self.read()
        self.set_interval(MINUTE, self.read)

    @work(group="clocks", exclusive=True)
    async def read(self) -> None:
        """Read the clocks."""
        running = await self._fetch()
        self.display = bool(running)
        self.set_class(any(clock.urgent for clock in running), "care")
        self.say("\n".join(clock.words for clock in running))
