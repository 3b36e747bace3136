"""A text to read: why something is so, the whole answer, what is held. It can be sent to the clipboard or to a file."""

from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Footer

from leakdx.errors import LeakdxError
from leakdx.ui.actions import Where, bindings_of
from leakdx.ui.screens.base import Page
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.widgets.plain import Plain
from leakdx.ui.widgets.titlebar import TitleBar

MARGIN = 4
SENT = "Sent to the terminal's clipboard. Not every terminal takes it; key f writes it to a file."


class TextPage(Page):
    """A text under its title. ``fetch`` gives the text for a width in characters."""

    BINDINGS = bindings_of("text")
    where: ClassVar[Where] = "text"
    about: ClassVar[str] = "A text to read. The arrow keys scroll it; Esc goes back."

    def __init__(self, title: str, fetch: Callable[[int], Awaitable[str]]) -> None:
        super().__init__()
        self.title_text, self._fetch = title, fetch
        self.text = ""

    def compose(self) -> ComposeResult:
        """Title and text."""
        yield TitleBar(self.title_text)
        with VerticalScroll(id="page"):
            yield Plain("...", id="text")
        yield Footer(show_command_palette=False, compact=True)

    @property
    def given(self) -> str:
        """What is copied or written to a file."""
        return self.text

    @property
    def width(self) -> int:
        """Columns that a text has."""
        return max(self.app.size.width - MARGIN, 40)

    def on_mount(self) -> None:
        """Fetch it."""
        self.query_one("#page").focus()
        self.show()

    @work(group="text", exclusive=True)
    async def show(self) -> None:
        """Fetch and show the text."""
        try:
            self.text = await self._fetch(self.width)
        except LeakdxError as error:
            self.text = f"{error}."
        if self.is_alive:
            self.query_one("#text", Plain).say(self.text)

    def action_copy(self) -> None:
        """Send it to the terminal's clipboard; whether it arrives, the terminal does not say."""
        self.app.copy_to_clipboard(self.given)
        self.notify(SENT, markup=False)

    def action_file(self) -> None:
        """Write it to a file."""

        def written(typed: str | None) -> None:
            if typed:
                self._write(typed)

        self.app.push_screen(LineScreen("Write it to which file? A new one; nothing is written over."), written)

    @work(group="file")
    async def _write(self, typed: str) -> None:
        try:
            path = await self.bench.run(write_text, typed, self.given)
        except LeakdxError as error:
            self.notify(str(error), title="Not written", severity="error", markup=False)
            return
        self.notify(f"Written to {path}", markup=False)


def write_text(typed: str, text: str) -> Path:
    """Write a new file, by its typed name; an existing one is refused. Raises StorageError."""
    from leakdx.store.files import typed_path, write_new

    path = typed_path(typed)
    write_new(path, text.encode())
    return path
