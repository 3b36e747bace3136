"""A question that is answered by a line, over the screen that asks it."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input

from leakdx.clean import clean_line
from leakdx.ui.screens.base import Dialog
from leakdx.ui.widgets.choice import Choice, ChoiceRow, back
from leakdx.ui.widgets.plain import Plain


class LineScreen(Dialog[str | None]):
    """One line; None where it was left. ``typed``: what stands in the field at first."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Back", show=False)]

    def __init__(self, asked: str, hint: str = "", typed: str = "") -> None:
        super().__init__()
        self._asked, self._hint, self._at_first = asked, hint, typed

    def compose(self) -> ComposeResult:
        """The question and a field."""
        with Vertical(classes="dialog"):
            yield Plain(self._asked, classes="asked")
            yield Input(self._at_first, id="line", select_on_focus=False)
            if self._hint:
                yield Plain(self._hint, classes="hint")
            yield ChoiceRow(Choice("Enter", "take it", "take"), back())

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Take what was typed."""
        typed = clean_line(self.query_one("#line", Input).value)
        if typed:
            self.dismiss(typed)

    def action_leave(self) -> None:
        """Without an answer."""
        self.dismiss(None)
