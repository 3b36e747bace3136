"""A key with its words, which can be clicked in place of being pressed."""

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Click

from leakdx.ui.actions import ACTIONS, Action
from leakdx.ui.widgets.plain import Plain, plain

_BY_NAME: dict[str, Action] = {action.name: action for action in ACTIONS}


class KeyLabel(Plain):
    """One action of the screen: "? unsure"."""

    def __init__(self, action: str, words: str = "") -> None:
        row = _BY_NAME[action]
        super().__init__(classes="key")
        self.action = action
        self.say(plain(row.shown_key, "bold") + plain(f" {words or row.words.lower()}"))

    async def on_click(self, event: Click) -> None:
        """As if the key had been pressed."""
        event.stop()
        await self.app.run_action(f"screen.{self.action}", self)


class KeyRow(Horizontal):
    """Some keys side by side."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._shown: tuple[tuple[str, str], ...] = ()

    def compose(self) -> ComposeResult:
        """The labels."""
        for action, words in self._shown:
            yield KeyLabel(action, words)

    async def show(self, keys: tuple[tuple[str, str], ...]) -> None:
        """(action, words) of each key; the same ones again cost nothing."""
        if keys != self._shown:
            self._shown = keys
            await self.recompose()
