"""F1: what the screen below is for, and every key of it."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen, Screen

from leakdx.ui.actions import actions_of
from leakdx.ui.screens.base import Page
from leakdx.ui.widgets.plain import Plain, lines, plain


class HelpScreen(ModalScreen[None]):
    """Help for a screen."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,f1", "leave", "Back", show=False)]

    def __init__(self, below: Screen[object]) -> None:
        super().__init__()
        self._below = below

    def compose(self) -> ComposeResult:
        """What it is for, then the keys."""
        with Vertical(classes="dialog"), VerticalScroll():
            yield Plain(id="help")

    def on_mount(self) -> None:
        """Write it."""
        below = self._below
        if not isinstance(below, Page):
            self.query_one("#help", Plain).say("Enter takes it, Esc goes back.")
            return
        keys = (plain(f"{a.shown_key:>6}  ", "bold") + plain(f"{a.words}. {a.help}") for a in actions_of(below.where))
        self.query_one("#help", Plain).say(lines(plain(below.about), plain(" "), *keys, plain("Esc: back")))

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(None)
