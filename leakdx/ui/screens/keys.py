"""The list of all that can be done on a screen, over it: searched by a few letters, taken by Enter or by a click."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option as Row

from leakdx.ui.actions import Action
from leakdx.ui.screens.base import Dialog
from leakdx.ui.widgets.choice import ChoiceRow, back
from leakdx.ui.widgets.field import Field
from leakdx.ui.widgets.plain import plain
from leakdx.ui.widgets.rows import Rows, still_there

KEY_WIDTH = 6


class KeysScreen(Dialog[Action | None]):
    """Gives back the action that was chosen; None where it was left."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,ctrl+p", "leave", "Back", show=False),
        Binding("down", "mark(1)", show=False),
        Binding("up", "mark(-1)", show=False),
    ]

    def __init__(self, actions: tuple[Action, ...]) -> None:
        super().__init__()
        self._actions = self._found = actions

    def compose(self) -> ComposeResult:
        """A field, what fits, the way back."""
        with Vertical(classes="dialog"):
            yield Field(placeholder="what do you want to do? a few letters of it", id="line")
            yield Rows(*map(_row, self._actions), markup=False, id="actions")
            yield ChoiceRow(back())

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        self._found = found(self._actions, event.value)
        rows = self.query_one("#actions", Rows)
        rows.clear_options()
        rows.add_options(map(_row, self._found))
        rows.highlighted = 0 if self._found and event.value.strip() else None

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if still_there(event):
            self.dismiss(self._found[event.option_index])

    @on(Input.Submitted)
    def _taken(self) -> None:
        self.query_one("#actions", Rows).action_select()

    def action_mark(self, step: int) -> None:
        """From the field: the next line, or the one before."""
        rows = self.query_one("#actions", Rows)
        (rows.action_cursor_down if step > 0 else rows.action_cursor_up)()

    def action_leave(self) -> None:
        """Without one."""
        self.dismiss(None)


def found(actions: tuple[Action, ...], typed: str) -> tuple[Action, ...]:
    """Those in which every word that is typed occurs, first those that are called so."""
    words = typed.casefold().split()
    named = [a for a in actions if all(word in a.words.casefold() for word in words)]
    told = [a for a in actions if all(word in f"{a.words} {a.help}".casefold() for word in words)]
    return tuple(dict.fromkeys([*named, *told]))


def _row(action: Action) -> Row:
    text: Content = plain(f"{action.shown_key:>{KEY_WIDTH}}  ", "bold") + plain(action.words, "bold")
    return Row(text + plain(f"  {action.help}"))
