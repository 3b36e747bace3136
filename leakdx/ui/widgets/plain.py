"""Text on the screen. What people typed is shown as it stands: nothing in it is markup, and nothing acts."""

from textual.content import Content
from textual.widgets import Static

from leakdx.clean import clean


def plain(text: str, style: str = "") -> Content:
    """Text that may hold anything, as something to show."""
    return Content.styled(clean(text), style) if style else Content(clean(text))


def lines(*parts: Content) -> Content:
    """Parts one below the other, empty ones left out."""
    return Content("\n").join([part for part in parts if part.plain])


class Plain(Static):
    """A text of any origin."""

    def __init__(self, text: str = "", *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(plain(text), id=id, classes=classes, markup=False)

    def say(self, text: str | Content) -> None:
        """Show this instead."""
        self.update(plain(text) if isinstance(text, str) else text)
