"""The ring is tightened: which fastener is due, to what torque, and how many of how many in which pass."""

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.widgets import Footer

from leakdx.ui.actions import Where, bindings_of
from leakdx.ui.screens.base import Page
from leakdx.ui.widgets.flangeview import LEAST_COLUMNS, LEAST_ROWS, marked
from leakdx.ui.widgets.keylabel import KeyRow
from leakdx.ui.widgets.plain import Plain, plain
from leakdx.ui.widgets.titlebar import TitleBar

if TYPE_CHECKING:
    from leakdx.explain.fastening import Ring
    from leakdx.ui.screens.case import CaseScreen

AROUND = 9
"""Rows that are not the map's."""
OVER = "Every pass is done. Leave this page, tick the step, and write the as-left torque on the sheet."


class TightenScreen(Page):
    """One fastener after the other; a pass that is whole is written down, one that was interrupted is gone again."""

    BINDINGS = bindings_of("tighten")
    where: ClassVar[Where] = "tighten"
    about: ClassVar[str] = (
        "The ring in its order: Enter after each fastener that has come to its torque, Backspace for one back. A whole "
        "pass is written down; one that was broken off is begun anew, which does a tight fastener no harm. The axle "
        "maker's torque and order rule where they are known."
    )

    def __init__(self, case: "CaseScreen", ring: "Ring", done: int) -> None:
        super().__init__()
        self._case, self._ring = case, ring
        self.turn, self.place = done, 0
        """The pass and how many of it are tight, from 0."""

    def compose(self) -> ComposeResult:
        """Title, what is due, the map, keys, bar."""
        yield TitleBar("Tighten the ring")
        yield Plain(id="due")
        yield Plain(id="ring")
        yield Plain(id="legend")
        yield KeyRow(id="beside")
        yield Footer(show_command_palette=False, compact=True)

    async def on_mount(self) -> None:
        """Show where it is."""
        await self.query_one("#beside", KeyRow).show((("tight", "tight, next"), ("one_back", "one back")))
        self._show()

    def on_resize(self) -> None:
        """The map is as large as there is room."""
        self._show()

    @property
    def is_over(self) -> bool:
        """Whether every pass is done."""
        return self.turn >= len(self._ring.torques)

    def _show(self) -> None:
        from leakdx.diagrams.order import LEGEND, order_map

        ring, due = self._ring, 0 if self.is_over else self._ring.due(self.turn, self.place)
        tight = {ring.due(self.turn, place) for place in range(self.place)} if due else range(1, ring.count + 1)
        columns, rows = self.app.size.width - 4, self.app.size.height - AROUND
        if columns >= LEAST_COLUMNS and rows >= LEAST_ROWS:  # a window made too small says so, over this page
            drawn = order_map(ring.line, ring.turns, ring.dowels, tight, due, columns, rows)
            self.query_one("#ring", Plain).say(marked(drawn, str(due)))
        self.query_one("#legend", Plain).say(LEGEND)
        self.query_one("#due", Plain).say(plain(self._due_words(due), "bold"))

    def _due_words(self, due: int) -> str:
        ring = self._ring
        if self.is_over:
            return OVER
        at = f" (dowel, {ring.hour(due)} o'clock)" if due in ring.dowels else f" ({ring.hour(due)} o'clock)"
        where = f"Pass {self.turn + 1} of {len(ring.torques)}, {self.place + 1} of {ring.count}"
        return f"{where}: fastener {due}{at} to {ring.torques[self.turn]}"

    def action_tight(self) -> None:
        """The one that is due is tight."""
        if self.is_over or self.is_busy:
            return
        self.place += 1
        if self.place < self._ring.count:
            self._show()
        else:
            self.one_at_a_time(self._pass_done)

    def action_one_back(self) -> None:
        """One back, within the pass."""
        if self.place and not self.is_busy:
            self.place -= 1
            self._show()

    async def _pass_done(self) -> None:
        sitting, words = self._case.sitting, self._ring.pass_words(self.turn)
        said = await self._case.write(sitting.do(lambda: sitting.repairing.tightened(words)))
        if said.wrong:
            self.place -= 1
            self.notify(said.wrong, title="Not taken", severity="error", markup=False)
        else:
            self.turn, self.place = self.turn + 1, 0
        if self.is_alive:
            self._show()
