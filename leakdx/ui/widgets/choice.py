"""One way on in a dialog: its key and its words, to be pressed or clicked."""

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Click

from leakdx.ui.widgets.plain import Plain, plain


class Choice(Plain):
    """``action``: of the screen it stands on."""

    def __init__(self, key: str, words: str, action: str) -> None:
        super().__init__()
        self._action = action
        self.say(plain(key, "bold") + plain(f" {words}"))

    async def on_click(self, event: Click) -> None:
        """As if the key had been pressed."""
        event.stop()
        await self.screen.run_action(self._action)


class ChoiceRow(Horizontal):
    """Ways on, side by side."""

    def __init__(self, *choices: Choice) -> None:
        super().__init__()
        self._choices = choices

    def compose(self) -> ComposeResult:
        """The choices."""
        yield from self._choices


def back(words: str = "back") -> Choice:
    """The way back."""
    return Choice("Esc", words, "leave")
