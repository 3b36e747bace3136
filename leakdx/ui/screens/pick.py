"""One of a few words, over the screen that asks for it: by number or by a click."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import OptionList
from textual.widgets.option_list import Option as Row

from leakdx.ui.screens.base import Dialog
from leakdx.ui.widgets.choice import ChoiceRow, back
from leakdx.ui.widgets.plain import Plain, plain


class PickScreen(Dialog[str | None]):
    """``options``: what is given back, and its words; None where it was left."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "leave", "Back", show=False),
        *(Binding(str(n), f"number({n})", show=False) for n in range(1, 10)),
    ]

    def __init__(self, asked: str, options: tuple[tuple[str, str], ...]) -> None:
        super().__init__()
        self._asked, self._options = asked, options

    def compose(self) -> ComposeResult:
        """The question and what can be answered."""
        with Vertical(classes="dialog"):
            yield Plain(self._asked, classes="asked")
            rows = (plain(f"{n:>2}", "bold") + plain(f"  {words}") for n, (_, words) in enumerate(self._options, 1))
            yield OptionList(*map(Row, rows), markup=False)
            yield ChoiceRow(back())

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._options[event.option_index][0])

    def action_number(self, number: int) -> None:
        """By its number."""
        if number <= len(self._options):
            self.dismiss(self._options[number - 1][0])

    def action_leave(self) -> None:
        """Without an answer."""
        self.dismiss(None)
