"""Something else that was seen, told or done: typed in the trade's words, chosen from what fits."""

from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Footer, Input

from leakdx.ui.screens.listpage import ListPage
from leakdx.ui.widgets.field import Field
from leakdx.ui.widgets.plain import Plain, plain
from leakdx.ui.widgets.rows import Rows
from leakdx.ui.widgets.titlebar import TitleBar

if TYPE_CHECKING:
    from leakdx.interview.search import Found
    from leakdx.ui.screens.case import CaseScreen

NOTHING_FITS = "Nothing is called that. Try one word of it, or key a on the case: a note in your own words."
ANSWER, WRITE_DOWN = "Enter: answer it.", "Enter: it was done, write it down."
_KINDS = {"sign": "seen", "told": "told", "done": "done"}


class SawScreen(ListPage):
    """A search over all signs, facts and acts."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "into_list", "To the list", show=False),
    ]
    where = "saw"
    title_text = "Something else that was seen, told or done"
    about: ClassVar[str] = (
        "Type a few letters in the words that you use: bolt, weep, whine, washed. Enter takes the marked line: what is "
        "seen or told is then asked for its answer, what was done is written down."
    )

    def __init__(self, case: "CaseScreen") -> None:
        super().__init__()
        self._case = case
        self._found: tuple[Found, ...] = ()

    def compose(self) -> ComposeResult:
        """Title, field, list, details, bar."""
        yield TitleBar(self.title_text)
        yield Field(placeholder="what? one word is enough: bolt, weep, whine, washed", id="words")
        yield Rows(markup=False, id="rows")
        yield Plain("", id="details")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Everything, until something is typed."""
        self.query_one("#words").focus()
        self.show("")

    @on(Input.Changed, "#words")
    def _typed(self, event: Input.Changed) -> None:
        self.show(event.value)

    @on(Input.Submitted, "#words")
    def _taken(self) -> None:
        if self.marked is not None and self._found:
            self.choose(self.marked)

    @work(group="search", exclusive=True)
    async def show(self, typed: str) -> None:
        """What fits."""
        self._found = await self._case.sitting.find(typed)
        if self.is_alive:
            self.rows.highlighted = None
        self.fill([_row(found) for found in self._found], NOTHING_FITS)

    def action_into_list(self) -> None:
        """From the field into the list."""
        self.rows.focus()

    def details(self, at: int) -> str:
        """Its question, and what Enter does."""
        found = self._found[at]
        return f"{found.more}\n{WRITE_DOWN if found.kind == 'done' else ANSWER}"

    def choose(self, at: int) -> None:
        """Ask for its answer, or write down that it was done."""
        found = self._found[at]
        self.dismiss()
        if found.kind == "done":
            self._case.did(found.id, found.name)
        else:
            self._case.ask_about(found.id)


def _row(found: "Found") -> Content:
    return plain(f"{_KINDS[found.kind]}  ") + plain(found.name, "bold")
