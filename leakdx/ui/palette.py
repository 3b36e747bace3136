"""The list of all that can be done on a screen, searched by a few letters."""

from textual.command import CommandPalette, DiscoveryHit, Hit, Hits, Provider

from leakdx.ui.actions import ACTIONS, Action, actions_of
from leakdx.ui.screens.base import LeftOnce, Page


class Palette(CommandPalette, LeftOnce[None]):
    """The list, over the screen that it is about."""

    def __init__(self) -> None:
        super().__init__(placeholder="what do you want to do? a few letters of it")


class ActionList(Provider):
    """Every action of the screen under it, from the one table."""

    def _actions(self) -> tuple[Action, ...]:
        return actions_of(self.screen.where) if isinstance(self.screen, Page) else ACTIONS[:0]

    def _run(self, action: Action) -> None:
        where = "app" if action.where == "anywhere" else "screen"
        self.app.call_later(self.screen.run_action, f"{where}.{action.name}")

    async def discover(self) -> Hits:
        """All of them."""
        for action in self._actions():
            yield DiscoveryHit(_shown(action), lambda action=action: self._run(action), help=action.help)

    async def search(self, query: str) -> Hits:
        """Those that what is typed fits."""
        matcher = self.matcher(query)
        for action in self._actions():
            score = max(matcher.match(action.words), matcher.match(action.help) / 2)
            if score > 0:
                yield Hit(score, _shown(action), lambda action=action: self._run(action), help=action.help)


def _shown(action: Action) -> str:
    return f"{action.words}  (key {action.shown_key})"
