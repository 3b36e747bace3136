"""All causes with their chances as bars, and by how much the last answer moved each."""

from typing import TYPE_CHECKING, ClassVar

from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.listpage import ListPage
from leakdx.ui.widgets.causerows import cause_rows

if TYPE_CHECKING:
    from leakdx.explain.glance import Glance
    from leakdx.ui.screens.case import CaseScreen

BAR, NARROW_BAR, NARROW = 20, 8, 100
"""Cells of a bar, and columns below which it is shorter, so that the names have room."""


class CausesScreen(ListPage):
    """Causes, the likeliest first."""

    BINDINGS = bindings_of("causes")
    where = "causes"
    title_text = "Causes - chance of having leaked when it came in"
    about: ClassVar[str] = (
        "Every cause that is known, the likeliest first; behind the chance, by how much the last answer moved it: "
        "+10 dB is ten times as likely. Enter or w: why it stands where it stands."
    )

    def __init__(self, case: "CaseScreen", now: "Glance") -> None:
        super().__init__()
        self._case, self._now = case, now

    def on_mount(self) -> None:
        """Everything needed is there."""
        marks, width = self.leakdx.plain_marks, BAR if self.app.size.width >= NARROW else NARROW_BAR
        self.fill(cause_rows(self._now.causes, width, plain_marks=marks), self._now.trouble)
        self.rows.focus()

    def details(self, at: int) -> str:
        """Its whole name, and how sure it is."""
        from leakdx.explain.words import sure

        cause = self._now.causes[at]
        return f"{cause.name}: {sure(cause.chance)}\nEnter or w: why it stands there"

    def choose(self, at: int) -> None:
        """Why it stands there."""
        cause = self._now.causes[at]
        self._case.show_why(cause.id, cause.name)

    def action_why(self) -> None:
        """Why the marked one stands there."""
        if self.marked is not None:
            self.choose(self.marked)
