"""A question that is answered by a line, over the screen that asks it."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input

from leakdx.clean import clean_line
from leakdx.ui.drafts import LEFT
from leakdx.ui.screens.base import Dialog
from leakdx.ui.widgets.choice import Choice, ChoiceRow, back
from leakdx.ui.widgets.field import Field
from leakdx.ui.widgets.plain import Plain

if TYPE_CHECKING:
    from leakdx.ui.drafts import PageDraft


class LineScreen(Dialog[str | None]):
    """One line; None where it was left. ``typed``: what stands in the field at first.

    ``draft``: keeps it letter by letter, and what was left there before stands in the field.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Back", show=False)]

    def __init__(self, asked: str, hint: str = "", typed: str = "", draft: "PageDraft | None" = None) -> None:
        super().__init__()
        self._asked, self._hint, self._usual, self._draft = asked, hint, typed, draft

    def compose(self) -> ComposeResult:
        """The question and a field."""
        with Vertical(classes="dialog"):
            yield Plain(self._asked, classes="asked")
            left = self._draft.left if self._draft else None
            yield Field(left.field if left else self._usual, id="line", select_on_focus=False)
            if left:
                yield Plain(f"{LEFT}. Ctrl+U wipes it.", classes="hint")
            if self._hint:
                yield Plain(self._hint, classes="hint")
            yield ChoiceRow(Choice("Enter", "take it", "take"), back())

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        if self._draft:
            self._draft.keep("" if event.value == self._usual else event.value)

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Take what was typed."""
        typed = clean_line(self.query_one("#line", Input).value)
        if typed:
            self.dismiss(typed)

    def action_leave(self) -> None:
        """Without an answer."""
        self.dismiss(None)
