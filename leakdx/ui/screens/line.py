"""A question that is answered by a line, over the screen that asks it."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input

from leakdx.clean import clean_line
from leakdx.ui.screens.base import Dialog
from leakdx.ui.widgets.plain import Plain


class LineScreen(Dialog[str | None]):
    """One line; None where it was left. ``typed``: what stands in the field at first."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Back", show=False)]

    def __init__(self, asked: str, hint: str = "Enter takes it, Esc goes back", typed: str = "") -> None:
        super().__init__()
        self._asked, self._hint, self._at_first = asked, hint, typed

    def compose(self) -> ComposeResult:
        """The question and a field."""
        with Vertical(classes="dialog"):
            yield Plain(self._asked, classes="asked")
            yield Input(self._at_first, id="line", select_on_focus=False)
            yield Plain(self._hint, classes="hint")

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        typed = clean_line(event.value)
        if typed:
            self.dismiss(typed)

    def action_leave(self) -> None:
        """Without an answer."""
        self.dismiss(None)
