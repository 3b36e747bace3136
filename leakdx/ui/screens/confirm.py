"""Something stands against it: say so, and let the hand decide."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll

from leakdx.ui.screens.base import Dialog
from leakdx.ui.widgets.choice import Choice, ChoiceRow
from leakdx.ui.widgets.plain import Plain


class ConfirmScreen(Dialog[bool]):
    """A warning with two ways on."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "take(True)", "Yes"),
        Binding("n,escape,q", "take(False)", "No"),
    ]

    def __init__(self, warning: str, question: str, yes: str = "yes, it was done") -> None:
        super().__init__()
        self._warning, self._question, self._yes = warning, question, yes

    def compose(self) -> ComposeResult:
        """What stands against it, and the two keys."""
        with Vertical(classes="dialog"):
            with VerticalScroll(can_focus=False):
                yield Plain(self._warning, classes="asked")
            yield Plain(self._question)
            yield ChoiceRow(Choice("y", self._yes, "take(True)"), Choice("n", "no", "take(False)"))

    def action_take(self, answer: bool) -> None:
        """Decided."""
        self.dismiss(answer)
