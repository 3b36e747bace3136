"""One repair path: what, does it hold, how long, what it costs, what it needs first, what is barred."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Click
from textual.message import Message

from leakdx.ui.widgets.plain import Plain, lines, plain

if TYPE_CHECKING:
    from leakdx.explain.paths import PathCard


class Card(VerticalScroll, can_focus=True):
    """A path to be chosen: by its number, by Enter, or by a click on its head."""

    BINDINGS = [Binding("left", "app.focus_previous", show=False), Binding("right", "app.focus_next", show=False)]  # noqa: RUF012

    class Chosen(Message):
        """The head of a card was clicked."""

        def __init__(self, card: "PathCard") -> None:
            super().__init__()
            self.card = card

    def __init__(self, card: "PathCard", number: int) -> None:
        super().__init__(classes="card")
        self.card, self._number = card, number

    def compose(self) -> ComposeResult:
        """Head and body."""
        yield CardHead(self._number, self.card)
        yield Plain(classes="body")

    def on_mount(self) -> None:
        """Fill it."""
        self.query_one(".body", Plain).say(_body(self.card))


class CardHead(Plain):
    """Number and name of a path."""

    def __init__(self, number: int, card: "PathCard") -> None:
        super().__init__(classes="head")
        self._card = card
        self.say(plain(f"{number}  {card.name}", "bold"))

    def on_click(self, event: Click) -> None:
        """Choose it."""
        event.stop()
        self.post_message(Card.Chosen(self._card))


def _body(card: "PathCard") -> Content:
    return lines(
        _row("Holds", card.holds),
        _row("Hands-on", card.minutes or "nothing to do"),
        _row("Waiting", card.waiting or "none"),
        _row("In the end", card.cost),
        plain(" "),
        *_list("It needs first", card.first),
        *_list("Rules hold back", card.barred),
        plain(f"{card.leaves[:1].upper()}{card.leaves[1:]}"),
    )


def _list(head: str, texts: tuple[str, ...]) -> list[Content]:
    return [plain(head, "bold"), *(plain(f"- {text}") for text in texts)] if texts else []


def _row(label: str, text: str) -> Content:
    return plain(f"{label}: ", "bold") + plain(text)
