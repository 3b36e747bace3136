"""The first line of a page: what it is, and the way back."""

from textual.app import ComposeResult
from textual.containers import Horizontal

from leakdx.ui.widgets.keylabel import KeyLabel
from leakdx.ui.widgets.plain import Plain


class TitleBar(Horizontal):
    """``id``: of the text; ``back``: where the way back leads to, in a word."""

    def __init__(self, text: str = "", *, id: str = "title", back: str = "back") -> None:
        super().__init__()
        self._text, self._text_id, self._back = text, id, back

    def compose(self) -> ComposeResult:
        """Text and key."""
        yield Plain(self._text, id=self._text_id)
        yield KeyLabel("back", self._back)
