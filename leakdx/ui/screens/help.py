"""F1: what the screen below is for, and every key of it."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen

from leakdx.ui.actions import actions_of
from leakdx.ui.screens.base import Dialog, Page
from leakdx.ui.widgets.choice import ChoiceRow, back
from leakdx.ui.widgets.plain import Plain, lines, plain


class HelpScreen(Dialog[None]):
    """Help for a screen."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,f1", "leave", "Back", show=False)]

    def __init__(self, below: Screen[object]) -> None:
        super().__init__()
        self._below = below

    def compose(self) -> ComposeResult:
        """What it is for, then the keys."""
        with Vertical(classes="dialog"):
            with VerticalScroll():
                help = Plain(id="help")
                help.say(self._text())
                yield help
            yield ChoiceRow(back())

    def _text(self) -> Content:
        below = self._below
        if not isinstance(below, Page):
            return plain("Enter takes it, Esc goes back.")
        keys = (plain(f"{a.shown_key:>6}  ", "bold") + plain(f"{a.words}. {a.help}") for a in actions_of(below.where))
        return lines(plain(below.about), plain(" "), *keys)

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(None)
