"""Why something is so, and from there: why not, what if, what would change it, how sure; one comes back from each."""

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING, ClassVar

from textual import work

from leakdx.errors import LeakdxError
from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.textpage import TextPage
from leakdx.ui.widgets.plain import Plain

if TYPE_CHECKING:
    from leakdx.ui.sitting import Sitting

ASKED = "Try which answer? Nothing is written down. As it would be typed: breather does not flow: yes"
HINT = "also: did ACT, or without ENTRY, such as without 7. Enter tries it, Esc goes back"
TRYING = "Trying every answer on this truck. It takes some seconds; Esc goes back to work meanwhile."
PAIRS = "\nTwo answers together are being tried ..."


class ReasonPage(TextPage):
    """A text of reasons from which one can ask on. ``thing``: what it is about; None: the whole answer."""

    BINDINGS = bindings_of("reasons")
    where = "reasons"
    about: ClassVar[str] = "Reasons. n, t, c and m ask on from here; Esc comes back, step by step."

    def __init__(
        self,
        sitting: "Sitting",
        thing: str | None,
        name: str,
        title: str | None = None,
        fetch: Callable[[int], Awaitable[str]] | None = None,
    ) -> None:
        super().__init__(title or f"Why: {name}", fetch or (lambda width: sitting.why(thing, width)))
        self._sitting, self._thing, self._what = sitting, thing, name

    def _ask_on(self, title: str, fetch: Callable[[int], Awaitable[str]]) -> None:
        if title != self.title_text:  # else it stands here already
            self.app.push_screen(ReasonPage(self._sitting, self._thing, self._what, title, fetch))

    def action_against(self) -> None:
        """Why not."""
        thing = self._thing
        if thing is None:
            self.notify("Why not is asked of one thing: open it from causes, checks or repairs.", markup=False)
        else:
            self._ask_on(f"Why not: {self._what}", lambda width: self._sitting.why_not(thing, width))

    def action_try(self) -> None:
        """What if."""

        def tried(line: str | None) -> None:
            if line:
                self._ask_on(f"What if: {line}", lambda width: self._sitting.what_if(line, width))

        self.app.push_screen(LineScreen(ASKED, HINT), tried)

    def action_change(self) -> None:
        """What would change it."""
        self.app.push_screen(ChangePage(self._sitting, self._thing, self._what))

    def action_sure(self) -> None:
        """How sure."""
        self._ask_on("How sure the answer is", self._sitting.how_sure)


class ChangePage(ReasonPage):
    """What would change the answer: single answers first, then pairs, worked out while one reads."""

    about: ClassVar[str] = "What would change the answer, each tried on this truck. Pairs of answers come below, later."

    def __init__(self, sitting: "Sitting", thing: str | None, name: str) -> None:
        super().__init__(sitting, thing, name, "What would change it", lambda width: sitting.what_changes(width, 0))

    @work(group="text", exclusive=True)
    async def show(self) -> None:
        """Singles as soon as they are known, then pairs."""
        self._say(TRYING)
        try:
            self._say(await self._fetch(self.width) + PAIRS)
            self._say(await self._sitting.what_changes(self.width, None))
        except LeakdxError as error:
            self._say(f"{error}.")

    def action_change(self) -> None:
        """It stands here already."""

    def _say(self, text: str) -> None:
        self.text = text
        if self.is_alive:
            self.query_one("#text", Plain).say(text)
