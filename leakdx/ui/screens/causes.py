"""All causes with their chances as bars, and by how much the last answer moved each."""

from typing import TYPE_CHECKING, ClassVar

from textual.content import Content

from leakdx.ui.actions import bindings_of
from leakdx.ui.marks import bar
from leakdx.ui.screens.listpage import ListPage
from leakdx.ui.widgets.plain import plain

if TYPE_CHECKING:
    from leakdx.explain.glance import Glance
    from leakdx.ui.screens.case import CaseScreen

BAR = 20


class CausesScreen(ListPage):
    """Causes, the likeliest first."""

    BINDINGS = bindings_of("causes")
    where = "causes"
    title_text = "Causes - chance of having leaked when it came in, and what the last answer moved (10 dB: ten times)"
    about: ClassVar[str] = "Every cause that is known, the likeliest first. Enter or w: why it stands where it stands."

    def __init__(self, case: "CaseScreen", now: "Glance") -> None:
        super().__init__()
        self._case, self._now = case, now

    def on_mount(self) -> None:
        """Everything needed is there."""
        self.fill([self._row(at) for at in range(len(self._now.causes))], self._now.trouble)
        self.rows.focus()

    def _row(self, at: int) -> Content:
        from leakdx.explain.words import percent

        cause = self._now.causes[at]
        shown = bar(cause.chance, BAR, plain=self.leakdx.plain_marks)
        moved = f"{cause.decibans:+6.1f} dB" if abs(cause.decibans) >= 0.05 else " " * 9
        return plain(f"{shown} {percent(cause.chance):>9} {moved}  ") + plain(cause.name, "bold" if at == 0 else "")

    def choose(self, at: int) -> None:
        """Why it stands there."""
        cause = self._now.causes[at]
        self._case.show_why(cause.id, cause.name)

    def action_why(self) -> None:
        """Why the marked one stands there."""
        if self.marked is not None:
            self.choose(self.marked)
