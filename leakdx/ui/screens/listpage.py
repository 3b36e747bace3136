"""A list to choose from, with the chosen line's full text below it."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Footer, OptionList
from textual.widgets.option_list import Option as Row

from leakdx.ui.screens.base import Page
from leakdx.ui.widgets.plain import Plain
from leakdx.ui.widgets.rows import Rows, still_there
from leakdx.ui.widgets.titlebar import TitleBar

FETCHING = "..."


class ListPage(Page):
    """Title, list, details. A subclass says what stands in it and what Enter does."""

    title_text: ClassVar[str] = ""

    def compose(self) -> ComposeResult:
        """Title, list, details, bar."""
        yield TitleBar(self.title_text)
        yield Rows(markup=False, id="rows")
        yield Plain(FETCHING, id="details")
        yield Footer(show_command_palette=False, compact=True)

    @property
    def rows(self) -> OptionList:
        """The list."""
        return self.query_one("#rows", OptionList)

    @property
    def marked(self) -> int | None:
        """The place of the line that is marked."""
        return self.rows.highlighted

    def fill(self, rows: list[Content], none: str) -> None:
        """Show these lines, the mark where it was; ``none``: what is said where there are none."""
        if not self.is_alive:
            return
        was = self.marked or 0
        self.rows.clear_options()
        self.rows.add_options([Row(row) for row in rows])
        if rows:
            self.rows.highlighted = min(was, len(rows) - 1)
        else:
            self.query_one("#details", Plain).say(none)

    @on(OptionList.OptionHighlighted, "#rows")
    def _marked(self, event: OptionList.OptionHighlighted) -> None:
        if still_there(event):
            self.query_one("#details", Plain).say(self.details(event.option_index))

    @on(OptionList.OptionSelected, "#rows")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if still_there(event):
            self.choose(event.option_index)

    def details(self, at: int) -> str | Content:
        """More about a line."""
        return ""

    def choose(self, at: int) -> None:
        """A line was chosen."""
