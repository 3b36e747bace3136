"""The first screen: the cases at hand, open ones first and where each stopped; a new one; one to practise on."""

from datetime import UTC, datetime
from time import monotonic
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Footer, Input, OptionList
from textual.widgets.option_list import Option as Row

from leakdx.errors import LeakdxError
from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.base import Page
from leakdx.ui.widgets.clockline import MINUTE
from leakdx.ui.widgets.field import Field
from leakdx.ui.widgets.keylabel import KeyRow
from leakdx.ui.widgets.plain import Plain, plain
from leakdx.ui.widgets.rows import still_there

if TYPE_CHECKING:
    from leakdx.ui.bench import CaseLine

LOADING = "Fetching the cases ..."
NONE_YET = "No case is open. Key n begins one; key p opens a truck to practise on."
BEGIN = (("begin", "new case"), ("practise", "practice case"), ("leave", "leave"))
SECOND_PRESS = 0.5
"""Seconds within which a key that leaves was meant for the screen that was left before."""
NONE_FOUND = "No case has that in it."


class HomeScreen(Page):
    """Cases, to go on with or to begin."""

    BINDINGS = bindings_of("home")
    where = "home"
    about: ClassVar[str] = (
        "The trucks at hand, the last worked on first. Enter goes on with the one that is marked, just where it was "
        "left; n begins a new one, p opens one to practise on."
    )

    def __init__(self) -> None:
        super().__init__()
        self._cases: tuple[CaseLine, ...] = ()
        self._closed_too = False
        self._left = ""
        """The case that was opened last: it is marked when one comes back."""
        self._back_at = float("-inf")
        """When it came to stand here again, in seconds."""
        self.is_fetched = False
        """Whether the list stands there."""

    def compose(self) -> ComposeResult:
        """Head, list, field to search by, bar."""
        yield Plain("leakdx - why is the axle wet, and what will hold", id="title")
        yield KeyRow(id="begin")
        yield Field(placeholder="part of a unit number, a word of the story; Enter, or Esc for all", id="find")
        yield Plain(LOADING, id="state")
        yield OptionList(markup=False, id="cases")
        yield Footer(show_command_palette=False, compact=True)

    async def on_mount(self) -> None:
        """The first picture needs nothing but this screen; the cases come after it."""
        await self.query_one("#begin", KeyRow).show(
            (("begin", "new case"), ("practise", "practice case"), ("leave", "leave"))
        )
        self.call_after_refresh(self.fetch)
        self.set_interval(MINUTE, self._read_clocks)

    def _read_clocks(self) -> None:
        """Where a bead's clock runs the list is read anew."""
        if self.is_current and any(case.clocks for case in self._cases):
            self.fetch()

    def on_screen_resume(self) -> None:
        """Back from a case: it stands elsewhere now."""
        self._back_at = monotonic()
        if self._cases or self.query_one("#state", Plain).display:
            self.fetch()

    @work(group="fetch", exclusive=True)
    async def fetch(self) -> None:
        """Fetch the list on the bench."""
        words = self.query_one("#find", Input).value
        try:
            cases = await self.bench.cases(words, closed=self._closed_too)
        except LeakdxError as error:
            if self.is_alive:
                self.query_one("#state", Plain).say(str(error))
            return
        if self.is_alive:
            self._show(cases, NONE_FOUND if words.strip() else NONE_YET)

    def _show(self, cases: "tuple[CaseLine, ...]", none: str) -> None:
        table, state = self.query_one("#cases", OptionList), self.query_one("#state", Plain)
        marked = self._cases[table.highlighted].id if table.highlighted is not None and self._cases else ""
        marked, self._left = self._left or marked, ""
        self._cases = cases
        table.clear_options()
        table.add_options([Row(_line(case)) for case in cases])
        self.is_fetched = True
        state.display = not cases
        state.say(none)
        ids = [case.id for case in cases]
        if ids:
            table.highlighted = ids.index(marked) if marked in ids else 0
            if self.focused is None:
                table.focus()

    @on(OptionList.OptionSelected, "#cases")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if still_there(event):
            self.leakdx.go_on(self._cases[event.option_index].id)

    @on(Input.Submitted, "#find")
    def _searched(self) -> None:
        self.fetch()
        self.query_one("#cases").focus()

    def left_for(self, id: str) -> None:
        """A case is opened over this screen."""
        self._left = id

    def action_begin(self) -> None:
        """A new case."""
        self.leakdx.begin()

    def action_practise(self) -> None:
        """The practice case."""
        self.leakdx.practise()

    def action_find(self) -> None:
        """A field to search by."""
        field = self.query_one("#find", Input)
        field.display = True
        field.focus()

    def action_leave(self) -> None:
        """Out of the app, unless it was meant for what was left just now."""
        if monotonic() - self._back_at > SECOND_PRESS:
            super().action_leave()

    def action_back(self) -> None:
        """All cases again."""
        field = self.query_one("#find", Input)
        if field.display:
            field.value, field.display = "", False
            self.fetch()
            self.query_one("#cases").focus()

    def action_everything(self) -> None:
        """Closed cases as well, or no longer."""
        self._closed_too = not self._closed_too
        self.fetch()


def _line(case: "CaseLine") -> Content:
    """The truck, and under it where it stopped."""
    state = f"closed: {case.outcome}" if case.outcome else "open"
    count = f"{case.entries} {'entry' if case.entries == 1 else 'entries'}"
    stopped = [state, count, f"worked on {_ago(case.changed)}"]
    stopped += [f"then most likely: {case.stopped}"] if case.stopped else []
    head = plain(case.unit or "truck not named", "bold") + plain(f"  ({case.id})\n    {', '.join(stopped)}")
    return head + plain("".join(f"\n    {words}" for words in case.clocks), "bold")


def _ago(moment: str, now: datetime | None = None) -> str:
    """How long ago a moment (ISO, UTC) was, as people say it."""
    minutes = ((now or datetime.now(UTC)) - datetime.fromisoformat(moment)).total_seconds() / 60
    for most, per, word in ((60, 1, "min"), (48 * 60, 60, "h"), (float("inf"), 24 * 60, "days")):
        if minutes < most:
            return f"{max(int(minutes / per), 0)} {word} ago" if minutes >= 1 else "just now"
    raise AssertionError
