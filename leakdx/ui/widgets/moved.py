"""What the last answer wrote down, and what it changed."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical

from leakdx.ui.drafts import LEFT
from leakdx.ui.widgets.plain import Plain

if TYPE_CHECKING:
    from leakdx.ui.sitting import Said

FIRST_WORDS = "Answer by its number, or in the field; saved at once. F1: help. k: all keys."
NOTHING_MOVED = "no chance has moved by half a percent or more"


class Moved(Vertical):
    """Lines of a height that never changes, so that nothing above them moves."""

    def compose(self) -> ComposeResult:
        """What was written, on one line, and what it moved."""
        yield Plain(id="written")
        yield Plain(FIRST_WORDS, id="changed")

    def show_left(self, titles: tuple[str, ...]) -> None:
        """Say what was left half typed when the case was left; nothing where nothing was."""
        if titles:
            self.query_one("#written", Plain).say(f"{LEFT}:")
            self.query_one("#changed", Plain).say("; ".join(titles))

    def show(self, said: "Said") -> None:
        """Show what came of a reply."""
        self.set_class(bool(said.wrong), "wrong")
        written, changed = self.query_one("#written", Plain), self.query_one("#changed", Plain)
        written.say("Not taken" if said.wrong else f"Saved: {'; '.join(said.written)}")
        changed.say(said.wrong or f"Changed: {'; '.join(said.glance.moved) or NOTHING_MOVED}")
