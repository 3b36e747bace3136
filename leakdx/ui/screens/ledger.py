"""The ledger: everything that was answered, to be revised, withdrawn, put back or asked about."""

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.content import Content

from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.listpage import ListPage
from leakdx.ui.widgets.plain import plain

if TYPE_CHECKING:
    from leakdx.interview.ledger import LedgerLine
    from leakdx.ui.screens.case import CaseScreen

NOTHING_YET = "Nothing was answered yet."


class LedgerScreen(ListPage):
    """Lines in the order written; what was taken back stays, marked as withdrawn."""

    BINDINGS = bindings_of("ledger")
    where = "ledger"
    title_text = "Ledger - everything that was answered"
    about: ClassVar[str] = (
        "Everything that was answered, with who and when. r answers the marked line anew; x takes it back, and it "
        "stays here, marked; y lets what was taken back last stand again; w says what hangs on it."
    )

    def __init__(self, case: "CaseScreen") -> None:
        super().__init__()
        self._case = case
        self._lines: tuple[LedgerLine, ...] = ()

    def on_mount(self) -> None:
        """Fetch the lines."""
        self.rows.focus()
        self.show(last=True)

    @work(group="ledger", exclusive=True)
    async def show(self, *, last: bool = False) -> None:
        """Fetch the lines, and mark the last one at first."""
        self._lines = await self._case.sitting.ledger()
        self.fill([_row(line) for line in self._lines], NOTHING_YET)
        if last and self._lines and self.is_alive:
            self.rows.highlighted = len(self._lines) - 1

    def details(self, at: int) -> str:
        """Who, when, and what can be done."""
        line = self._lines[at]
        if line.gone:
            return f"{line.signed}\nWithdrawn by entry {line.gone}. y: what was taken back last stands again"
        return f"{line.signed}\n{'Enter or r: answer it anew   ' if line.can_be_revised else ''}x: withdraw   w: why"

    def choose(self, at: int) -> None:
        """Answer it anew."""
        self.action_revise()

    def _line(self) -> "LedgerLine | None":
        return self._lines[self.marked] if self.marked is not None and self._lines else None

    def action_revise(self) -> None:
        """Answer the marked line anew, on the case."""
        line = self._line()
        if line is None:
            return
        if line.can_be_revised:
            self.dismiss()
            self._case.revise(line.number)
        else:
            self.notify("Only what was seen, read or told is answered anew; x takes this line back.", markup=False)

    @work(group="ledger")
    async def action_withdraw(self) -> None:
        """Take the marked line back."""
        line = self._line()
        if line is not None and not line.gone:
            await self._case.done(self._case.sitting.undo(line.number))
            self.show()

    @work(group="ledger")
    async def action_put_back(self) -> None:
        """Let what was taken back last stand again."""
        await self._case.done(self._case.sitting.put_back())
        self.show()

    def action_why(self) -> None:
        """What the marked line means."""
        line = self._line()
        if line is not None and line.about:
            self._case.show_why(line.about, line.said)


def _row(line: "LedgerLine") -> Content:
    gone = "[withdrawn] " if line.gone else ""
    return plain(f"{line.number:>3}  {gone}") + plain(line.said, "strike" if line.gone else "")
